"""Shortfall to whole packs: the cheapest cover, by when to order it, and what it stops."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from heapq import heapify, heappop, heappush
from math import gcd

from prepstore.amounts import ZERO, settle
from prepstore.facts import Pack, PriceBreak, Supplier
from prepstore.planning.days import Days
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Served

_NANO = 1_000_000_000


@dataclass(frozen=True, slots=True)
class Offer:
    """A pack as its supplier sells it, with its size in the item's unit and its quantity prices."""

    pack: Pack
    supplier: Supplier
    size: Decimal
    breaks: tuple[PriceBreak, ...] = ()

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
    """Packs of one kind to order, each at `price`.

    `needed_by` and `order_by` are None for a restock alone. `not_before` is the first day on which
    to place it, where what it brings does not keep. `stops` are the sessions whose unserved need no
    order placed today can meet. All that the row's delivery brings is spare where it is
    `for_spare`. It `arrives` so, ordered today.
    """

    name: str
    offer: Offer
    packs: int
    price: Decimal
    needed_by: date | None
    order_by: date | None
    not_before: date | None
    is_late: bool
    is_for_spare: bool
    stops: tuple[SessionWork, ...]
    arrives: date

    @property
    def cost(self) -> Decimal:
        """Return the price of all packs of the row."""
        return self.price * self.packs


@dataclass(frozen=True, slots=True)
class Shortage:
    """What of one item the period wants and cannot have: unserved demands and the restock.

    Amounts are in the item's unit; demands are in the order in which they are served. It keeps
    `shelf_life` days from the day it arrives (None: it keeps).
    """

    name: str
    unserved: tuple[Served, ...]
    restock: Decimal
    shelf_life: int | None = None

    def deliveries(self) -> list["WantedDelivery"]:
        """Return what is to come together; in all it covers what is unserved and the restock."""
        groups: list[list[Served]] = []
        for one in self.unserved:
            if groups and self._joins(one, groups[-1]):
                groups[-1].append(one)
            else:
                groups.append([one])
        wanted = [WantedDelivery(tuple(group), ZERO) for group in groups]
        if not self.restock:
            return wanted
        last = wanted.pop().unserved if wanted else ()
        return [*wanted, WantedDelivery(last, self.restock)]

    def _joins(self, one: Served, group: Sequence[Served]) -> bool:
        """Return whether what comes in time for a group keeps until a further day of use."""
        if self.shelf_life is None:
            return True
        first = min(other.demand.day_of_need for other in (*group, one))
        return one.demand.day_of_use <= first + timedelta(days=self.shelf_life)


@dataclass(frozen=True, slots=True)
class WantedDelivery:
    """Unserved demands and a restock that one delivery is to cover, in the item's unit."""

    unserved: tuple[Served, ...]
    restock: Decimal

    @property
    def amount(self) -> Decimal:
        """Return what it is to bring at least."""
        return sum((one.unserved for one in self.unserved), ZERO) + self.restock

    @property
    def of_needs(self) -> Decimal:
        """Return what of it sessions and batches cannot do without: neither spare nor restock."""
        return sum((one.unserved - one.of_spare for one in self.unserved), ZERO)

    @property
    def needed_by(self) -> date | None:
        """Return the first day of need that falls short; None where only the shelf does."""
        return min((one.demand.day_of_need for one in self.unserved), default=None)

    @property
    def is_for_spare(self) -> bool:
        """Return whether all of it is spare of sessions."""
        return not self.restock and not any(one.is_short for one in self.unserved)


def orders_for(shortage: Shortage, packs: Sequence[Offer], days: Days) -> list[OrderRow]:
    """Return the packs to order for what one item is short of.

    Args:
        shortage: Of one item, restock included.
        packs: All that is sold of it, from any supplier.
        days: Today, on which the order can be placed, and the working days.

    Returns:
        By delivery one row a pack, covering it at least cost, in order of pack code; nothing where
        nothing is sold.
    """
    return [
        row
        for wanted in (shortage.deliveries() if packs else ())
        for row in rows_of_one(
            shortage,
            wanted,
            (
                (offer, count, offer.price)
                for offer, count in cheapest_cover(choice(wanted, packs, days), wanted.amount)
            ),
            packs,
            days,
        )
    ]


Picked = Iterable[tuple[Offer, int, Decimal]]
"""Packs that were chosen: how many, and the price of each."""


def rows_of_one(
    shortage: Shortage,
    wanted: WantedDelivery,
    picked: Picked,
    packs: Sequence[Offer],
    days: Days,
) -> list[OrderRow]:
    """Return what was picked for one delivery as rows: by when, whether late, what it stops.

    Args:
        shortage: Of the item.
        wanted: The delivery.
        picked: By pack code.
        packs: All that is sold of the item, of which the soonest says whether it is late.
        days: Today and the working days.
    """
    needed_by = wanted.needed_by
    soonest = min(days.arrival(pack.lead_days) for pack in packs)
    is_late = needed_by is not None and soonest > needed_by
    stops = stopped_sessions(wanted.unserved, soonest) if is_late else ()
    return [
        OrderRow(
            name=shortage.name,
            offer=offer,
            packs=count,
            price=price,
            needed_by=needed_by,
            order_by=needed_by and days.calendar.order_by(needed_by, offer.lead_days),
            not_before=_not_before(wanted, shortage.shelf_life, offer, days, is_late=is_late),
            is_late=is_late,
            is_for_spare=wanted.is_for_spare,
            stops=stops,
            arrives=days.arrival(offer.lead_days),
        )
        for offer, count, price in picked
    ]


def choice(wanted: WantedDelivery, packs: Sequence[Offer], days: Days) -> list[Offer]:
    """Return the packs to choose from: those that, ordered today, come in time.

    Where none does, those in time for the first later day of need that any can meet; where there is
    no such day, those that arrive first.
    """
    arrivals = [days.arrival(pack.lead_days) for pack in packs]
    soonest = min(arrivals)
    days_of_need = sorted(one.demand.day_of_need for one in wanted.unserved)
    until = next((day for day in days_of_need if day >= soonest), soonest)
    if not days_of_need:
        return list(packs)
    return [pack for pack, day in zip(packs, arrivals, strict=True) if day <= until]


def _not_before(
    wanted: WantedDelivery, shelf_life: int | None, offer: Offer, days: Days, *, is_late: bool
) -> date | None:
    """Return the first day on which to order what, come sooner, would not keep until its last use.

    None where today is no later. Over closed days nothing that comes in time for the first need may
    keep until the last use: then it goes by the last one that it does keep for.
    """
    needed_by = wanted.needed_by
    if shelf_life is None or needed_by is None:
        return None
    uses = [one.demand.day_of_use for one in wanted.unserved]
    keeps_until = days.calendar.on_or_before(needed_by) + timedelta(days=shelf_life)
    in_time = [use for use in uses if use <= keeps_until]
    last_use = max(uses if is_late else in_time or uses)
    earliest_arrival = last_use - timedelta(days=shelf_life)
    if days.arrival(offer.lead_days) >= earliest_arrival:
        return None
    return days.calendar.before(days.calendar.on_or_after(earliest_arrival), offer.lead_days)


def stopped_sessions(unserved: Iterable[Served], arrival: date) -> tuple[SessionWork, ...]:
    """Return the period's sessions that are short of more than spare before anything can arrive.

    Args:
        unserved: Of one item.
        arrival: The first day on which an order placed today can be there.
    """
    stopped = {
        work.order: work
        for one in unserved
        if one.is_short and one.demand.day_of_need < arrival
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
