"""Which orders to place in which week, so that the whole term costs least."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.cell_types import fold
from prepstore.facts import Supplier
from prepstore.planning.ahead.balances import ItemAhead
from prepstore.planning.ahead.chances import Asked, Chance, all_covers, asked_of, order_of
from prepstore.planning.ahead.keeping import TermRow, candidate_of, keeping_of, keepings_of
from prepstore.planning.ahead.term import Term
from prepstore.planning.ordering.jointly import Exceeded, terms_of
from prepstore.planning.ordering.limits import room_on
from prepstore.planning.ordering.model import Answer, Limit, Question
from prepstore.planning.ordering.solve import answer
from prepstore.planning.ordering.stands import Stand, stand_of


@dataclass(frozen=True, slots=True)
class TermOrders:
    """The orders of a term by week and pack, what they cost, and how good that is.

    `dropped` are the items of which a restock cannot come by the last day, `out_of_date` those of
    which nothing that can be ordered would be in date when it is used, `exceeded` the limits that
    needs go beyond.
    """

    rows: tuple[TermRow, ...]
    goods: Decimal
    charges: Decimal
    keeping: Decimal
    bound: Decimal
    dropped: tuple[str, ...]
    out_of_date: tuple[str, ...]
    exceeded: tuple[Exceeded, ...]

    def by_supplier_and_week(self) -> Iterator["SupplierWeek"]:
        """Yield each order, by week and supplier."""
        orders: dict[tuple[int, str], list[TermRow]] = {}
        for row in self.rows:
            supplier = fold(row.chance.offer.supplier.supplier)
            orders.setdefault((row.chance.week, supplier), []).append(row)
        for (week, _), rows in sorted(orders.items(), key=lambda order: order[0]):
            yield SupplierWeek(week, rows[0].chance.offer.supplier, tuple(rows))

    @property
    def total(self) -> Decimal:
        """Return all that the orders cost."""
        return self.goods + self.charges + self.keeping

    @property
    def is_proven(self) -> bool:
        """Return whether no other orders can cost less, to half a hundredth."""
        return self.total - self.bound < Decimal("0.005")


@dataclass(frozen=True, slots=True)
class SupplierWeek:
    """What one supplier is asked for in one week, by its place among the weeks."""

    week: int
    supplier: Supplier
    rows: tuple[TermRow, ...]

    @property
    def goods(self) -> Decimal:
        """Return what the packs cost."""
        return sum((row.cost for row in self.rows), ZERO)

    @property
    def charge(self) -> Decimal:
        """Return what the delivery costs."""
        return self.supplier.delivery_charge or ZERO


def order_ahead(term: Term, items: Iterable[ItemAhead], seconds: float) -> TermOrders:
    """Return the orders of least cost over all weeks: packs, delivery charges and keeping.

    Args:
        term: The weeks.
        items: How each item stands in them.
        seconds: The longest to look for a cheaper choice.
    """
    asked = [asked_of(term, item) for item in items if _is_lacking(term, item)]
    chances = [chance for one in asked for chance in one.chances]
    stand = stand_of(term.opening, term.served())
    keepings = keepings_of(term, asked)
    question = Question(
        tuple(candidate_of(term, one, is_counted=one.item.name in keepings) for one in chances),
        tuple(all_covers(asked)),
        {order_of(one): terms_of(one.offer.supplier) for one in chances},
        tuple(_limits(stand, asked, chances)),
        tuple(keepings.values()),
    )
    found = answer(question, seconds)
    rows = tuple(_rows(question, found, chances))
    keeping, credit = keeping_of(term, rows, chances, keepings)
    goods, charges = question.goods(found.counts), question.charges(found.counts)
    return TermOrders(
        rows,
        goods,
        charges,
        keeping,
        min(found.bound - credit, goods + charges + keeping),
        tuple(one.item.name for one in asked if one.is_dropped),
        tuple(one.item.name for one in asked if one.is_out_of_date),
        tuple(_exceeded(question, found, stand, chances)),
    )


def _is_lacking(term: Term, item: ItemAhead) -> bool:
    plan = term.plans[0]
    is_sold = item.name in plan.packs and plan.catalogue.is_bought(item.name)
    return is_sold and bool(item.unserved or item.restock)


def _limits(stand: Stand, asked: Sequence[Asked], chances: Sequence[Chance]) -> Iterator[Limit]:
    """Yield each limit on each day on which something of its items may come."""
    used = {one.item.name: one.item.unserved for one in asked}
    for most in stand.limits:
        of_most = {place: one for place, one in enumerate(chances) if one.item.name in most.of_one}
        for day in sorted({one.arrives for one in of_most.values()}):
            come = {place: one for place, one in of_most.items() if one.arrives <= day}
            holds = {
                place: one.offer.size * most.of_one[one.item.name] for place, one in come.items()
            }
            gone = sum(
                (
                    one.unserved * most.of_one[name]
                    for name in {one.item.name for one in come.values()}
                    for one in used[name]
                    if one.demand.day_of_use < day
                ),
                ZERO,
            )
            when = tuple(place for place, one in come.items() if one.arrives == day)
            room = max(ZERO, room_on(most, day, stand) + gone)
            yield Limit(most.name, room, holds, when, day)


def _exceeded(
    question: Question, found: Answer, stand: Stand, chances: Sequence[Chance]
) -> Iterator[Exceeded]:
    """Yield each limit that is exceeded, on the first day on which it is."""
    told: set[str] = set()
    for limit, over in zip(question.limits, found.over, strict=True):
        if over > ZERO and limit.name not in told:
            told.add(limit.name)
            most = next(one for one in stand.limits if one.name == limit.name)
            names = {chances[place].item.name: None for place in limit.holds if found.counts[place]}
            yield Exceeded(most, limit.day, most.amount + over, tuple(names))


def _rows(question: Question, found: Answer, chances: Sequence[Chance]) -> list[TermRow]:
    rows = [
        TermRow(chance, count, candidate.price(count))
        for chance, candidate, count in zip(chances, question.candidates, found.counts, strict=True)
        if count
    ]
    return sorted(rows, key=lambda row: (row.chance.week, row.chance.offer.code))
