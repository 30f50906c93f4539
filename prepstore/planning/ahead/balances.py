"""How each item stands from week to week: what is used, what comes, what goes out of date."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from prepstore.amounts import ZERO, is_more_than_nothing, settle
from prepstore.cell_types import ItemKind
from prepstore.chemistry.conversions import Material
from prepstore.planning.ahead.term import Term
from prepstore.planning.draws import Served
from prepstore.planning.plan import StockRow

_DAY = timedelta(days=1)


@dataclass(frozen=True, slots=True)
class WeekOfItem:
    """One week of an item, in its unit; the balance is below nothing where need is unserved."""

    use: Decimal
    arrives: Decimal
    expires: Decimal
    balance: Decimal


@dataclass(frozen=True, slots=True)
class ItemAhead:
    """An item over the weeks, in its unit.

    `first_short` is the place of the first week that is not covered, spare included; `order_by` the
    last day on which some pack, ordered then, comes in time for it. `unserved` is what the weeks
    lack, in the order in which it is served, and `restock` what the last week's end does.
    """

    name: str
    material: Material
    opening: Decimal
    weeks: tuple[WeekOfItem, ...]
    first_short: int | None
    order_by: date | None
    unserved: tuple[Served, ...]
    restock: Decimal


def items_ahead(term: Term) -> tuple[ItemAhead, ...]:
    """Return how everything that is not made up stands from week to week, by the items' order."""
    served: dict[str, list[Served]] = {}
    for one in term.served():
        served.setdefault(one.demand.name, []).append(one)
    return tuple(_item(term, row, served.get(row.name, [])) for row in _rows(term))


def _rows(term: Term) -> Iterator[StockRow]:
    """Yield the last week's row of each item but apparatus, and of each solution that is bought."""
    last = term.plans[-1]
    catalogue = last.catalogue
    for name, item in catalogue.items.items():
        if item.kind is not ItemKind.APPARATUS:
            yield last.stock[name]
    for name in catalogue.solutions:
        if catalogue.is_bought(name):
            yield last.stock[name]


def _item(term: Term, last: StockRow, served: list[Served]) -> ItemAhead:
    opening = sum(
        (
            held.amount
            for held in term.opening.of(last.name)
            if held.is_usable and _is_in_date(held.last_day, term.opens_on)
        ),
        ZERO,
    )
    weeks = tuple(_weeks(term, last.name, opening, served))
    unserved = tuple(one for one in served if is_more_than_nothing(one.unserved))
    first = min(
        (one for one in unserved if term.week_of(one.demand.day_of_use) is not None),
        key=lambda one: one.demand.day_of_use,
        default=None,
    )
    first_short = None if first is None else term.week_of(first.demand.day_of_use)
    return ItemAhead(
        name=last.name,
        material=last.material,
        opening=opening,
        weeks=weeks,
        first_short=first_short,
        order_by=_order_by(term, last.name, unserved, first_short),
        unserved=unserved,
        restock=last.restock,
    )


def _is_in_date(last_day: date | None, day: date) -> bool:
    return last_day is None or day <= last_day


def _weeks(
    term: Term, name: str, opening: Decimal, served: Iterable[Served]
) -> Iterator[WeekOfItem]:
    use = _by_week(term, ((one.demand.day_of_use, one.demand.amount) for one in served))
    arrives = _by_week(
        term,
        (
            (delivery.due, delivery.amount)
            for delivery in term.opening.deliveries
            if delivery.name == name and delivery.due >= term.days.today
        ),
    )
    expires = _by_week(term, ((last + _DAY, left) for last, left in _left_over(term, name)))
    balance = opening
    for used, come, gone in zip(use, arrives, expires, strict=True):
        balance = settle(balance + come - used - gone)
        yield WeekOfItem(settle(used), come, gone, balance)


def _by_week(term: Term, amounts: Iterable[tuple[date, Decimal]]) -> list[Decimal]:
    """Return the sums of amounts by the weeks of their days."""
    sums = [ZERO] * len(term.plans)
    for day, amount in amounts:
        place = term.week_of(day)
        if place is not None:
            sums[place] += amount
    return sums


def _left_over(term: Term, name: str) -> Iterator[tuple[date, Decimal]]:
    """Yield the last day of each usable lot, a delivery that has come included, and what is left.

    What is out of date when the weeks begin has never been counted.
    """
    for held in term.closing.of(name):
        if held.last_day is not None and held.is_usable and held.last_day >= term.opens_on:
            yield held.last_day, held.amount


def _order_by(
    term: Term, name: str, unserved: Iterable[Served], first_short: int | None
) -> date | None:
    packs = term.plans[0].packs.get(name, ())
    if first_short is None or not packs:
        return None
    needed_by = min(
        one.demand.day_of_need
        for one in unserved
        if term.week_of(one.demand.day_of_use) == first_short
    )
    return max(term.days.calendar.order_by(needed_by, pack.lead_days) for pack in packs)
