"""What an order may hold and what it must cover, as one set of choices, and the best of them."""

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from functools import cached_property
from itertools import accumulate
from math import gcd

from prepstore.amounts import ZERO, settle

_NANO = 1_000_000_000


@dataclass(frozen=True, slots=True)
class PriceFrom:
    """The price of each pack of a row where at least so many are ordered."""

    least: int
    price: Decimal


@dataclass(frozen=True, slots=True)
class Candidate:
    """A row that may be ordered: whole packs of one code, in one order of its supplier.

    `size` is in the unit of what it covers, `prices` rise by `least`, the first from 1 pack on.
    `kept` is what keeping it costs at most, as a share of its price.
    """

    code: str
    order: Hashable
    size: Decimal
    prices: tuple[PriceFrom, ...]
    kept: Decimal = ZERO

    def step(self, packs: int) -> int:
        """Return the place of the price that holds for so many packs."""
        reached = (place for place, one in enumerate(self.prices) if one.least <= packs)
        return max(reached, default=0)

    def price(self, packs: int) -> Decimal:
        """Return the price of each of so many packs."""
        return self.prices[self.step(packs)].price

    def cost(self, packs: int) -> Decimal:
        """Return the price of so many packs."""
        return packs * self.price(packs)


@dataclass(frozen=True, slots=True)
class Cover:
    """An amount that some candidates, by their places, are to cover together.

    `must` of it goes before any limit; `rest` is given up as far as a limit wants it. `least_price`
    is what a unit costs at least, by which an excess is valued.
    """

    candidates: tuple[int, ...]
    must: Decimal
    rest: Decimal = ZERO
    least_price: Decimal = ZERO

    @property
    def amount(self) -> Decimal:
        """Return what is to be covered in all."""
        return self.must + self.rest


@dataclass(frozen=True, slots=True)
class Terms:
    """What an order of a supplier costs beside its goods, and the least value of its goods."""

    charge: Decimal = ZERO
    minimum: Decimal = ZERO


@dataclass(frozen=True, slots=True)
class Limit:
    """The most that candidates may bring: `holds` is what one pack takes up, by its place.

    It is kept where any of the candidates in `when` is ordered: those that come on its `day`.
    """

    name: str
    room: Decimal
    holds: Mapping[int, Decimal]
    when: tuple[int, ...]
    day: date

    def over(self, counts: Sequence[int]) -> Decimal:
        """Return by how much packs exceed it."""
        if not any(counts[place] for place in self.when):
            return ZERO
        held = sum((held * counts[place] for place, held in self.holds.items()), ZERO)
        return max(ZERO, settle(held - self.room))


@dataclass(frozen=True, slots=True)
class Keeping:
    """What it costs to keep candidates, in the order in which they are used up.

    Each stands there once a price, by its place and that of the price. At each of the `ends` so
    many of them have come, and so much is used of them; what is left costs `share` of its price,
    which is given for one unit of each.
    """

    queue: tuple[tuple[int, int], ...]
    unit_prices: tuple[Decimal, ...]
    ends: tuple[tuple[int, Decimal], ...]
    share: Decimal

    def weights(self, come: int) -> list[tuple[int, Decimal]]:
        """Return how much each unit above what is used, of all up to a place, adds at an end.

        What is left is the last that came. So it costs the sum, over the places that have come, of
        these weights times what is above nothing of: all up to this place less what is used.
        """
        prices = [*self.unit_prices[:come], ZERO]
        return [
            (place, (prices[place] - prices[place + 1]) * self.share)
            for place in range(come)
            if prices[place] != prices[place + 1]
        ]

    def cost(self, candidates: Sequence[Candidate], counts: Sequence[int]) -> Decimal:
        """Return what keeping so many packs costs."""
        up_to = list(
            accumulate(
                candidates[place].size * counts[place]
                if candidates[place].step(counts[place]) == step
                else ZERO
                for place, step in self.queue
            )
        )
        return sum(
            (
                weight * max(ZERO, up_to[place] - used)
                for come, used in self.ends
                for place, weight in self.weights(come)
            ),
            ZERO,
        )


@dataclass(frozen=True)
class Question:
    """Which whole packs to order: all that may be, all that must be covered, and what limits it."""

    candidates: Sequence[Candidate]
    covers: Sequence[Cover]
    terms: Mapping[Hashable, Terms]
    limits: Sequence[Limit] = ()
    keepings: Sequence[Keeping] = ()

    @cached_property
    def places_of_order(self) -> Mapping[Hashable, tuple[int, ...]]:
        """Return the places of the candidates of each supplier's order."""
        places: dict[Hashable, list[int]] = {}
        for place, candidate in enumerate(self.candidates):
            places.setdefault(candidate.order, []).append(place)
        return {order: tuple(found) for order, found in places.items()}

    def most(self, place: int) -> int:
        """Return more packs of a candidate than a best order ever holds.

        It covers all that it can cover, reaches its cheapest price, and the minimum order, alone.
        """
        candidate = self.candidates[place]
        covered = max(
            (_whole(cover.amount, candidate.size) for cover in self._covers_of(place)), default=0
        )
        dear = max(one.price for one in candidate.prices)
        least = min((one.price for one in candidate.prices if one.price), default=dear)
        minimum = self.terms[candidate.order].minimum
        for_minimum = _whole(minimum, least) if least else 0
        return max(covered, candidate.prices[-1].least) + for_minimum

    def _covers_of(self, place: int) -> Sequence[Cover]:
        return self._covers_by_place.get(place, ())

    @cached_property
    def _covers_by_place(self) -> Mapping[int, list[Cover]]:
        found: dict[int, list[Cover]] = {}
        for cover in self.covers:
            for place in cover.candidates:
                found.setdefault(place, []).append(cover)
        return found

    def without(self, code: str) -> "Question | None":
        """Return the question without packs of a code; None where nothing else covers something."""
        left = [place for place, one in enumerate(self.candidates) if one.code != code]
        now = {place: new for new, place in enumerate(left)}

        def moved(places: Iterable[int]) -> tuple[int, ...]:
            return tuple(now[place] for place in places if place in now)

        covers = [replace(one, candidates=moved(one.candidates)) for one in self.covers]
        if not all(cover.candidates for cover in covers):
            return None
        limits = [
            replace(
                limit,
                holds={now[place]: held for place, held in limit.holds.items() if place in now},
                when=moved(limit.when),
            )
            for limit in self.limits
        ]
        return Question(tuple(self.candidates[place] for place in left), covers, self.terms, limits)

    def goods(self, counts: Sequence[int]) -> Decimal:
        """Return what the packs cost."""
        return sum(
            (one.cost(count) for one, count in zip(self.candidates, counts, strict=True)), ZERO
        )

    def goods_of(self, order: Hashable, counts: Sequence[int]) -> Decimal:
        """Return what the packs of one supplier's order cost."""
        places = self.places_of_order.get(order, ())
        return sum((self.candidates[place].cost(counts[place]) for place in places), ZERO)

    def used(self, counts: Sequence[int]) -> list[Hashable]:
        """Return the orders that hold something."""
        places = self.places_of_order.items()
        return [order for order, of_order in places if any(counts[place] for place in of_order)]

    def charges(self, counts: Sequence[int]) -> Decimal:
        """Return the delivery charges of the orders that hold something."""
        return sum((self.terms[order].charge for order in self.used(counts)), ZERO)

    def keeping(self, counts: Sequence[int]) -> Decimal:
        """Return what keeping the packs costs."""
        pairs = zip(self.candidates, counts, strict=True)
        at_most = sum((one.kept * one.cost(count) for one, count in pairs), ZERO)
        return at_most + sum((one.cost(self.candidates, counts) for one in self.keepings), ZERO)

    def total(self, counts: Sequence[int]) -> Decimal:
        """Return all that the packs cost."""
        return self.goods(counts) + self.charges(counts) + self.keeping(counts)

    def covered(self, cover: Cover, counts: Sequence[int]) -> Decimal:
        """Return what of a cover's candidates is ordered."""
        return sum(
            (self.candidates[place].size * counts[place] for place in cover.candidates), ZERO
        )


@dataclass(frozen=True, slots=True)
class Answer:
    """Whole packs of each candidate, what they cost, and how good that is.

    No order costs less than `bound`. `short_of` is what of each cover's rest is given up for a
    limit, `over` what each limit is exceeded by because a need goes first.
    """

    counts: tuple[int, ...]
    total: Decimal
    bound: Decimal
    short_of: tuple[Decimal, ...] = field(default=())
    over: tuple[Decimal, ...] = field(default=())

    @property
    def is_proven(self) -> bool:
        """Return whether no other order can cost less, to half a hundredth."""
        return self.total - self.bound < Decimal("0.005")


def _whole(amount: Decimal, size: Decimal) -> int:
    """Return how many of a size cover an amount."""
    return -(-billionths(amount) // billionths(size))


def billionths(number: Decimal) -> int:
    """Return a settled number in whole billionths."""
    return int(settle(number) * _NANO)


def grain_of(sizes: Sequence[Decimal]) -> int:
    """Return the largest step, in billionths, of which all sizes are multiples."""
    return gcd(*(billionths(size) for size in sizes)) or 1
