"""Lots that do not count, or not to the end, and why."""

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from prepstore.cell_types import LotState, fold
from prepstore.planning.plan import Plan
from prepstore.stores import Holding


class WhyNot(StrEnum):
    """Why a lot does not count."""

    QUARANTINE = "in quarantine"
    RESERVED = "reserved"
    EXPIRED = "out of date"
    OPENED_TOO_LONG = "opened too long"


@dataclass(frozen=True, slots=True)
class NotCounted:
    """A lot that holds what does not count: why, and after which last day (None: always)."""

    holding: Holding
    why: WhyNot
    last_day: date | None


def not_counted(plan: Plan, name: str) -> tuple[NotCounted, ...]:
    """Return the lots of an item or solution (folded) that do not count for all of the period.

    A lot that goes out of date counts until its last day; it is named where the period uses the
    item later, or ends later.
    """
    last = plan.last_use.get(name, plan.period.last)
    return tuple(
        NotCounted(held, why, held.last_day if held.is_usable else None)
        for held in plan.stores.of(name)
        if held.amount > 0 and (why := _why_not(held, last)) is not None
    )


def all_not_counted(plan: Plan) -> tuple[NotCounted, ...]:
    """Return all lots that do not count for all of the period, in the order of their items."""
    names = dict.fromkeys(
        fold(held.lot.item) for held in plan.stores.holdings.values() if held.amount > 0
    )
    return tuple(one for name in sorted(names) for one in not_counted(plan, name))


def _why_not(held: Holding, last: date) -> WhyNot | None:
    if held.lot.state is LotState.QUARANTINE:
        return WhyNot.QUARANTINE
    if held.lot.state is LotState.RESERVED:
        return WhyNot.RESERVED
    if held.is_in_date(last):
        return None
    is_printed = held.lot.expiry is not None and held.lot.expiry == held.last_day
    return WhyNot.EXPIRED if is_printed else WhyNot.OPENED_TOO_LONG
