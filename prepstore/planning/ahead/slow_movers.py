"""Lots that nobody has used for long and no session of the term uses: for a yearly clear-out."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from prepstore.amounts import is_more_than_nothing
from prepstore.cell_types import ItemKind, fold
from prepstore.planning.ahead.term import Term
from prepstore.stores import Holding


@dataclass(frozen=True, slots=True)
class SlowMover:
    """A lot, the day of its last use (or on which it came), and what it would cost anew.

    The value goes by the least price a unit of what is sold; None where nothing is.
    """

    held: Holding
    since: date
    value: Decimal | None


def slow_movers(term: Term, last_moved: Mapping[str, date]) -> Iterator[SlowMover]:
    """Yield the lots that are slow movers, the longest unused first.

    Args:
        term: The weeks ahead.
        last_moved: The day on which each lot was last used, or else came, by folded label.
    """
    first = term.plans[0]
    until = term.days.today - timedelta(days=first.catalogue.settings.slow_mover)
    drawn = {label for plan in term.plans for label in plan.taken}
    found = []
    for label, held in term.opening.holdings.items():
        since = last_moved.get(label)
        item = first.catalogue.items.get(fold(held.lot.item))
        comes_back = item is not None and item.kind is ItemKind.APPARATUS
        if since is None or since > until or label in drawn or comes_back:
            continue
        if is_more_than_nothing(held.amount):
            found.append(SlowMover(held, since, _value(term, held)))
    yield from sorted(found, key=lambda one: (one.since, one.held.label))


def _value(term: Term, held: Holding) -> Decimal | None:
    offers = term.plans[0].packs.get(fold(held.lot.item), ())
    prices = [offer.price / offer.size for offer in offers]
    return held.amount * min(prices) if prices else None
