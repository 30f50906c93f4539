"""What it costs to keep what a term's orders bring: as part of the question, and of the answer."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO
from prepstore.planning.ahead.balances import ItemAhead
from prepstore.planning.ahead.chances import Asked, Chance, last_day_of, order_of, shelf_life_of
from prepstore.planning.ahead.keeping_by_day import Arrived, cost_of_keeping
from prepstore.planning.ahead.term import Term
from prepstore.planning.ordering.jointly import prices_of
from prepstore.planning.ordering.model import Candidate, Keeping

WEEKS_A_YEAR: Final = 52


@dataclass(frozen=True, slots=True)
class TermRow:
    """Packs of one code to order in one week."""

    chance: Chance
    packs: int
    price: Decimal

    @property
    def cost(self) -> Decimal:
        """Return the price of all packs of the row."""
        return self.price * self.packs


def candidate_of(term: Term, chance: Chance, *, is_counted: bool) -> Candidate:
    """Return a pack in a week; where its keeping is not counted apart, what it costs at most."""
    offer = chance.offer
    rate = ZERO if is_counted else term.plans[0].catalogue.settings.holding_cost
    kept = rate * _weeks_kept(term, chance) / WEEKS_A_YEAR
    return Candidate(offer.code, order_of(chance), offer.size, tuple(prices_of(offer)), kept)


_MOST_EXACT: Final = 250
"""So many sums of what is left are counted exactly; beyond that it would take too long."""


def keepings_of(term: Term, asked: Sequence[Asked]) -> dict[str, Keeping]:
    """Return what keeping costs, by item, of all that keeps; nothing where that is too much."""
    share = term.plans[0].catalogue.settings.holding_cost / WEEKS_A_YEAR
    found: dict[str, Keeping] = {}
    first = size = 0
    for one in asked:
        places = range(first, first + len(one.chances))
        first += len(one.chances)
        if share and one.chances and shelf_life_of(term, one.item) is None:
            found[one.item.name] = keeping = _keeping(term, one, places, share)
            size += sum(len(keeping.weights(come)) for come, _ in keeping.ends)
    return found if size <= _MOST_EXACT else {}


def _keeping(term: Term, one: Asked, places: Iterable[int], share: Decimal) -> Keeping:
    come = sorted(
        zip(places, one.chances, strict=True),
        key=lambda pair: (pair[1].arrives, pair[1].offer.code, pair[1].week),
    )
    queue = [
        (place, step, chance, price.price / chance.offer.size)
        for place, chance in come
        for step, price in enumerate(prices_of(chance.offer))
    ]
    ends = tuple(
        (
            sum(chance.arrives <= week.last for _, _, chance, _ in queue),
            sum((amount for on, amount in used_of(one.item) if on <= week.last), ZERO),
        )
        for week in term.weeks
    )
    return Keeping(
        tuple((place, step) for place, step, _, _ in queue),
        tuple(price for *_, price in queue),
        ends,
        share,
    )


def used_of(item: ItemAhead) -> list[tuple[date, Decimal]]:
    """Return what proposed orders are used for: day and amount."""
    return [(one.demand.day_of_use, one.unserved) for one in item.unserved]


def _weeks_kept(term: Term, chance: Chance) -> int:
    """Return at how many ends of weeks a pack is there, and in date, if nobody uses it."""
    last_day = last_day_of(term, chance)
    return sum(
        chance.arrives <= week.last and (last_day is None or week.last <= last_day)
        for week in term.weeks
    )


def keeping_of(
    term: Term,
    rows: Sequence[TermRow],
    chances: Sequence[Chance],
    counted: Mapping[str, Keeping],
) -> tuple[Decimal, Decimal]:
    """Return what keeping costs, first in, first out, and what the answer's bound counts too much.

    Of what is not `counted`, the bound has all packs kept as long as they are in date; what is used
    saves at most the price of the dearest.
    """
    share = term.plans[0].catalogue.settings.holding_cost / WEEKS_A_YEAR
    ends = [week.last for week in term.weeks]
    total = too_much = ZERO
    for name, item in {one.item.name: one.item for one in chances}.items() if share else ():
        arrived = [_arrived(term, row) for row in rows if row.chance.item.name == name]
        total += cost_of_keeping(arrived, used_of(item), ends)
        if name not in counted:
            of_item = [one for one in chances if one.item.name == name]
            too_much += _most_saved(of_item, used_of(item), ends)
    return total * share, too_much * share


def _arrived(term: Term, row: TermRow) -> Arrived:
    chance = row.chance
    return Arrived(
        chance.arrives,
        chance.offer.code,
        chance.offer.size * row.packs,
        row.price / chance.offer.size,
        last_day_of(term, chance),
    )


def _most_saved(
    chances: Sequence[Chance], uses: Iterable[tuple[date, Decimal]], ends: Iterable[date]
) -> Decimal:
    """Return the most that what is used saves of keeping an item: as if all of it were dearest."""
    dearest = max(price.price / one.offer.size for one in chances for price in prices_of(one.offer))
    soonest = min(one.arrives for one in chances)
    has_come = [end for end in ends if end >= soonest]
    return dearest * sum((amount * sum(end >= on for end in has_come) for on, amount in uses), ZERO)
