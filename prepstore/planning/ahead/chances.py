"""The packs that may be ordered in the weeks of a term, and what an item wants of them."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from itertools import product

from prepstore.amounts import ZERO
from prepstore.cell_types import fold
from prepstore.planning.ahead.balances import ItemAhead
from prepstore.planning.ahead.term import Term
from prepstore.planning.ordering.jointly import prices_of
from prepstore.planning.ordering.model import Cover
from prepstore.planning.orders import Offer


@dataclass(frozen=True, slots=True)
class Chance:
    """A pack that may be ordered in a week, and when it is there."""

    item: ItemAhead
    offer: Offer
    week: int
    placed: date
    arrives: date


@dataclass(frozen=True, slots=True)
class Want:
    """An amount of an item that arrivals from one day to another can serve; `must` of it first.

    One that `is_late`, whatever is done, is served by what is ordered today.
    """

    amount: Decimal
    must: Decimal
    first: date
    last: date
    is_late: bool = False


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of one item: its wants, the packs that can serve any, and what cannot be."""

    item: ItemAhead
    wants: tuple[Want, ...]
    chances: tuple[Chance, ...]
    is_dropped: bool
    is_out_of_date: bool


def asked_of(term: Term, item: ItemAhead) -> Asked:
    """Return what the term asks of an item of which there are packs."""
    chances = tuple(_chances(term, item, term.plans[0].packs[item.name]))
    needs, cannot = _needs(term, item, chances)
    restock = _restock(term, item, chances)
    wants = _together((*needs, *restock))
    serving = tuple(one for one in chances if _serves_any(one, wants))
    return Asked(item, wants, serving, bool(item.restock and not restock), cannot)


def order_of(chance: Chance) -> tuple[str, int]:
    """Return in which order a pack would be: of a supplier (folded), in a week."""
    return fold(chance.offer.supplier.supplier), chance.week


def _chances(term: Term, item: ItemAhead, offers: Sequence[Offer]) -> Iterator[Chance]:
    """Yield each pack in each week that has a working day from today on: on the first of them."""
    days = term.days
    for week, period in enumerate(term.weeks):
        placed = max(period.first, days.today)
        if placed > period.last:
            continue
        placed = placed if period.first <= days.today else days.calendar.on_or_after(placed)
        if placed > period.last:
            continue
        for offer in sorted(offers, key=lambda one: one.code):
            yield Chance(item, offer, week, placed, days.calendar.arrival(placed, offer.lead_days))


def _needs(term: Term, item: ItemAhead, chances: Sequence[Chance]) -> tuple[tuple[Want, ...], bool]:
    """Return what sessions and batches want, and whether some of it can never be in date."""
    keeps = shelf_life_of(term, item)
    soonest = min(one.arrives for one in chances)
    wants: list[Want] = []
    cannot = False
    for one in item.unserved:
        demand = one.demand
        first = date.min if keeps is None else demand.day_of_use - timedelta(days=keeps)
        last = demand.day_of_need
        is_late = last < soonest
        if is_late:
            # No order can meet it in time: it takes what, ordered today, comes first.
            first = last = soonest
        elif not any(first <= chance.arrives <= last for chance in chances):
            cannot = True
            continue
        wants.append(Want(one.unserved, one.unserved - one.of_spare, first, last, is_late))
    return tuple(wants), cannot


def _restock(term: Term, item: ItemAhead, chances: Sequence[Chance]) -> tuple[Want, ...]:
    """Return the restock, wanted at the end of the last week; none where nothing comes by then."""
    keeps = shelf_life_of(term, item)
    first = date.min if keeps is None else term.last_day - timedelta(days=keeps)
    if item.restock and any(first <= one.arrives <= term.last_day for one in chances):
        return (Want(item.restock, ZERO, first, term.last_day),)
    return ()


def _together(wants: Iterable[Want]) -> tuple[Want, ...]:
    """Return wants of the same days as one."""
    sums: dict[tuple[date, date, bool], tuple[Decimal, Decimal]] = {}
    for one in wants:
        days = one.first, one.last, one.is_late
        amount, must = sums.get(days, (ZERO, ZERO))
        sums[days] = amount + one.amount, must + one.must
    return tuple(Want(amount, must, *days) for days, (amount, must) in sums.items())


def shelf_life_of(term: Term, item: ItemAhead) -> int | None:
    """Return how many days an item keeps from when it comes; None where it keeps."""
    kept = term.plans[0].catalogue.kept(item.name)
    return kept.shelf_life if kept else None


def last_day_of(term: Term, chance: Chance) -> date | None:
    """Return until when what arrives is in date; None where it keeps."""
    keeps = shelf_life_of(term, chance.item)
    return None if keeps is None else chance.arrives + timedelta(days=keeps)


def _serves_any(chance: Chance, wants: Iterable[Want]) -> bool:
    return any(want.first <= chance.arrives <= want.last for want in wants)


def all_covers(asked: Iterable[Asked]) -> Iterator[Cover]:
    """Yield what must be covered of all items; candidates are all their chances, in order."""
    first = 0
    for one in asked:
        yield from _covers(one.chances, one.wants, first)
        first += len(one.chances)


def _covers(chances: Sequence[Chance], wants: Sequence[Want], first: int) -> Iterator[Cover]:
    """Yield what must arrive from one day to another: all that nothing else can serve.

    A want is served by what arrives in an interval of days, so this is enough for each of them to
    be served (Hall's condition for intervals).
    """
    least_price = min(
        (price.price / one.offer.size for one in chances for price in prices_of(one.offer)),
        default=ZERO,
    )
    for begins, ends in product(
        sorted({one.first for one in wants}), sorted({one.last for one in wants})
    ):
        inside = [want for want in wants if begins <= want.first and want.last <= ends]
        begun, ended = {want.first for want in inside}, {want.last for want in inside}
        if begins in begun and ends in ended:
            must = sum((want.must for want in inside), ZERO)
            amount = sum((want.amount for want in inside), ZERO)
            places = tuple(
                place
                for place, one in enumerate(chances, start=first)
                if begins <= one.arrives <= ends
            )
            yield Cover(places, must, amount - must, least_price)
    yield from _late_covers(chances, wants, first, least_price)


def _late_covers(
    chances: Sequence[Chance], wants: Sequence[Want], first: int, least_price: Decimal
) -> Iterator[Cover]:
    """Yield what is late, where what is ordered on another day than today comes as soon.

    That is on a closed day, on which an order counts as placed on the next working day.
    """
    today = min((one.placed for one in chances), default=date.min)
    for want in wants:
        soonest = [
            (place, one)
            for place, one in enumerate(chances, start=first)
            if one.arrives == want.last
        ]
        of_today = tuple(place for place, one in soonest if one.placed == today)
        if want.is_late and len(of_today) < len(soonest):
            yield Cover(of_today, want.must, want.amount - want.must, least_price)
