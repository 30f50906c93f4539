"""Shortfall to whole packs: the cheapest cover, by when to order it, and what it stops."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from heapq import heapify, heappop, heappush
from math import gcd

from prepstore.amounts import ZERO, settle
from prepstore.facts import Pack, Supplier
from prepstore.planning.calendar import Calendar
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Served

_NANO = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack as its supplier sells it, with its size in the item's unit."""

    pack: Pack
    supplier: Supplier
    size: Decimal

    @property
    def code(self) -> str:
        """Return the pack's code."""
        return self.pack.pack

    @property
    def price(self) -> Decimal:
        """Return the price of one pack."""
        return self.pack.price

    @property
    def lead_days(self) -> int:
        """Return the working days from order to delivery; 0 where none are given."""
        return self.supplier.lead_days or 0


@dataclass(frozen=True, slots=True)
class OrderRow:
    """Packs of one kind to order. `needed_by` and `order_by` are None for a restock alone.

    `stops` are the sessions whose unserved need no order placed today can meet.
    """

    name: str
    offer: Offer
    packs: int
    needed_by: date | None
    order_by: date | None
    is_late: bool
    stops: tuple[SessionWork, ...]
    arrives: date

    @property
    def cost(self) -> Decimal:
        """Return the price of all packs of the row."""
        return self.offer.price * self.packs


@dataclass(frozen=True, slots=True)
class Shortage:
    """What of one item the period wants and cannot have: unserved demands and the restock.

    Amounts are in the item's unit.
    """

    name: str
    unserved: tuple[Served, ...]
    restock: Decimal

    @property
    def short(self) -> Decimal:
        """Return the need that is not served."""
        return sum((one.unserved for one in self.unserved), ZERO)

    @property
    def needed_by(self) -> date | None:
        """Return the first day of need that falls short; None where only the shelf does."""
        return min((one.demand.day_of_need for one in self.unserved), default=None)


def orders_for(
    shortage: Shortage, packs: Sequence[Offer], today: date, calendar: Calendar
) -> list[OrderRow]:
    """Return the packs to order for what one item is short of.

    Args:
        shortage: Of one item, restock included.
        packs: All that is sold of it, from any supplier.
        today: The day on which the order can be placed.
        calendar: Working days of the department and its suppliers.

    Returns:
        One row a pack, covering short and restock at least cost, in order of pack code; nothing
        where nothing is sold.
    """
    needed_by = shortage.needed_by
    in_time = [
        pack
        for pack in packs
        if needed_by is None or calendar.after(today, pack.lead_days) <= needed_by
    ]
    cover = cheapest_cover(in_time or packs, shortage.short + shortage.restock)
    is_late = bool(packs) and not in_time
    stops = stopped_sessions(shortage, packs, today, calendar) if is_late else ()
    return [
        OrderRow(
            name=shortage.name,
            offer=offer,
            packs=count,
            needed_by=needed_by,
            order_by=needed_by and calendar.order_by(needed_by, offer.lead_days),
            is_late=is_late,
            stops=stops,
            arrives=calendar.after(today, offer.lead_days),
        )
        for offer, count in cover
    ]


def earliest_arrival(packs: Iterable[Offer], today: date, calendar: Calendar) -> date | None:
    """Return the first day on which an order placed today can arrive; None if nobody sells it."""
    return min((calendar.after(today, pack.lead_days) for pack in packs), default=None)


def stopped_sessions(
    shortage: Shortage, packs: Iterable[Offer], today: date, calendar: Calendar
) -> tuple[SessionWork, ...]:
    """Return the period's sessions whose unserved need no order placed today can meet."""
    arrival = earliest_arrival(packs, today, calendar)
    stopped = {
        work.order: work
        for one in shortage.unserved
        if arrival is None or one.demand.day_of_need < arrival
        for work in one.demand.sessions
        if not work.is_promised
    }
    return tuple(stopped[order] for order in sorted(stopped))


def cheapest_cover(packs: Sequence[Offer], wanted: Decimal) -> list[tuple[Offer, int]]:
    """Return whole packs that cover an amount at least cost.

    On equal cost the least excess decides, then the fewest packs, then more of the pack whose
    code comes first.

    Args:
        packs: What is sold, sizes in the unit of `wanted`.
        wanted: Amount to cover.

    Returns:
        Each pack that is taken and how many, by pack code; nothing where nothing is wanted or sold.

    Source:
        A dynamic programme over covered amounts; tests hold it to exhaustive search.
    """
    units = int(settle(wanted) * _NANO)
    if units <= 0 or not packs:
        return []
    ordered = _without_twins(sorted(packs, key=lambda pack: pack.code))
    sizes = [int(settle(pack.size) * _NANO) for pack in ordered]
    grain = gcd(*sizes)
    steps = [size // grain for size in sizes]
    target = -(-units // grain)
    prices = [pack.price for pack in ordered]
    bulk, count = _bulk(ordered, steps, target)
    counts = _best_counts(prices, steps, target - count * steps[bulk])
    counts[bulk] += count
    return [(pack, number) for pack, number in zip(ordered, counts, strict=True) if number]


def _without_twins(packs: Iterable[Offer]) -> list[Offer]:
    """Drop packs of a size and price that a pack with an earlier code has already."""
    first: dict[tuple[Decimal, Decimal], Offer] = {}
    for pack in packs:
        first.setdefault((settle(pack.size), pack.price), pack)
    return list(first.values())


def _bulk(packs: Sequence[Offer], steps: Sequence[int], target: int) -> tuple[int, int]:
    """Return the pack of least unit price and how many of it every best cover holds.

    Among as many other packs as this one has steps, some add up to a multiple of it and can be
    replaced by it at no greater cost; so a best cover holds fewer others than that.
    """
    best = min(
        range(len(packs)),
        key=lambda position: (
            Fraction(packs[position].price) / steps[position],
            -steps[position],
        ),
    )
    others = (steps[best] - 1) * max(steps)
    return best, max(0, (target - others) // steps[best])


Cover = tuple[Decimal, int, int, tuple[int, ...]]
"""Cost, steps covered, packs, and the counts negated: the least is the best."""


def _best_counts(prices: Sequence[Decimal], steps: Sequence[int], target: int) -> list[int]:
    """Return how many of each pack cover `target` steps best.

    `best[covered]` is the best way to cover exactly so many steps with the packs seen so far. A
    way is dropped where even the rest at the least unit price would cost more than one kind of
    pack alone.
    """
    if target <= 0:
        return [0] * len(prices)
    alone = min(price * -(-target // step) for price, step in zip(prices, steps, strict=True))
    price, step = min(zip(prices, steps, strict=True), key=lambda pack: Fraction(pack[0]) / pack[1])
    best: dict[int, Cover] = {0: (ZERO, 0, 0, (0,) * len(prices))}
    for position in range(len(prices)):
        waiting = list(best)
        heapify(waiting)
        while waiting:
            start = heappop(waiting)
            covered = start + steps[position]
            way = _one_more(best[start], position, prices[position], covered)
            rest = max(0, target - covered)
            if start >= target or (alone - way[0]) * step < rest * price:
                continue
            if covered not in best:
                heappush(waiting, covered)
            if covered not in best or way < best[covered]:
                best[covered] = way
    found = min(cover for covered, cover in best.items() if covered >= target)
    return [-count for count in found[3]]


def _one_more(cover: Cover, position: int, price: Decimal, covered: int) -> Cover:
    cost, _, packs, counts = cover
    more = (*counts[:position], counts[position] - 1, *counts[position + 1 :])
    return cost + price, covered, packs + 1, more
