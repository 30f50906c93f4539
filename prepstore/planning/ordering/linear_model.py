"""A question of orders as a linear model: unknowns, rows that hold them, and what each costs.

The model is written down in docs/explanation/orders-jointly.md.
"""

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise
from typing import Any, Final

from prepstore.planning.ordering.model import Keeping, Limit, Question, billionths, grain_of

INFINITY: Final = float("inf")
_DECIMALS_OF_KEEPING: Final = 2
"""Keeping costs no whole cents; a tenth of a cent is near enough."""


@dataclass(slots=True)
class Rows:
    """Rows of a linear model as solvers take them: bounds and the entries of each row."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    entries: list[dict[int, float]] = field(default_factory=list)

    def add(self, entries: dict[int, float], lower: float, upper: float = INFINITY) -> None:
        """Add a row: lower ≤ the sum of the entries ≤ upper."""
        self.lower.append(lower)
        self.upper.append(upper)
        self.entries.append(entries)


@dataclass(slots=True)
class Columns:
    """The unknowns of a linear model: how large each may be, and whether it is whole."""

    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)

    def add(self, upper: float, *, whole: bool = True) -> int:
        """Add an unknown from 0 up; return its place."""
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.upper) - 1


Weights = dict[int, float]
"""What one of each unknown counts, by its place."""


class LinearModel:
    """The question as a linear model; costs are whole numbers of the smallest step of money."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.columns, self.rows = Columns(), Rows()
        least = 0 if self.is_whole else _DECIMALS_OF_KEEPING
        self.cents = 10 ** max(least, *_decimals(question), least)
        self.cost: Weights = {}
        self.packs: list[list[int]] = []
        """The unknowns that add up to a candidate's packs: one a price."""
        self.given_up: list[int] = []
        self.over: list[int] = []
        self.is_used = {order: self.columns.add(1) for order in question.places_of_order}
        for order, place in self.is_used.items():
            self._count(place, question.terms[order].charge)
        for place in range(len(question.candidates)):
            self._add_candidate(place)
        for order in self.is_used:
            self._hold_to_minimum(order)
        self._cover()
        self._limit()
        for keeping in question.keepings:
            self._keep(keeping)

    @property
    def is_whole(self) -> bool:
        """Return whether all costs are whole numbers of the smallest step of money."""
        return not self.question.keepings and not any(one.kept for one in self.question.candidates)

    def _count(self, place: int, money: Decimal) -> None:
        self.cost[place] = float(money * self.cents)

    def _add_candidate(self, place: int) -> None:
        """Add the unknowns of a candidate: packs at each of its prices, only one of which holds."""
        candidate, most = self.question.candidates[place], self.question.most(place)
        used = self.is_used[candidate.order]
        prices = [one for one in candidate.prices if one.least <= most]
        unknowns, at_price = [], []
        ends = [(one.least, later.least - 1) for one, later in pairwise(prices)]
        ends.append((prices[-1].least, most))
        for one, (least, greatest) in zip(prices, ends, strict=True):
            packs = self.columns.add(greatest)
            unknowns.append(packs)
            self._count(packs, one.price * (1 + candidate.kept))
            self.rows.add({used: greatest, packs: -1.0}, 0.0)
            if len(prices) > 1:
                holds = self.columns.add(1)
                at_price.append(holds)
                self.rows.add({holds: greatest, packs: -1.0}, 0.0)
                self.rows.add({holds: -least, packs: 1.0}, 0.0)
        if at_price:
            self.rows.add(dict.fromkeys(at_price, 1.0), 0.0, 1.0)
        self.packs.append(unknowns)

    def _hold_to_minimum(self, order: Hashable) -> None:
        """Let an order that is used reach its minimum in goods, and let no empty one be used."""
        goods: Weights = {}
        for place in self.question.places_of_order[order]:
            candidate = self.question.candidates[place]
            for one, unknown in zip(candidate.prices, self.packs[place], strict=False):
                goods[unknown] = float(one.price * self.cents)
        minimum = self.question.terms[order].minimum
        if minimum and any(goods.values()):
            self.rows.add({**goods, self.is_used[order]: -float(minimum * self.cents)}, 0.0)

    def _amounts(self, places: Iterable[int], of_one: Any) -> Weights:  # noqa: ANN401 - a callable
        return {unknown: of_one(place) for place in places for unknown in self.packs[place]}

    def _cover(self) -> None:
        for cover in self.question.covers:
            sizes = [self.question.candidates[place].size for place in cover.candidates]
            grain = grain_of(sizes)
            steps = {
                place: float(billionths(size) // grain)
                for place, size in zip(cover.candidates, sizes, strict=True)
            }
            must = -(-billionths(cover.must) // grain)
            amount = -(-billionths(cover.amount) // grain)
            brought = self._amounts(cover.candidates, steps.__getitem__)
            given_up = self.columns.add(float(amount - must) if self.question.limits else 0.0)
            self.given_up.append(given_up)
            self.rows.add({**brought, given_up: 1.0}, float(amount))
            if self.question.limits and amount > must:
                self.rows.add(brought, float(must))

    def _limit(self) -> None:
        for limit in self.question.limits:
            over = self.columns.add(INFINITY, whole=False)
            self.over.append(over)
            taken = {
                unknown: float(held)
                for place, held in limit.holds.items()
                for unknown in self.packs[place]
            }
            if len(limit.when) == len(limit.holds):
                self.rows.add({**taken, over: -1.0}, -INFINITY, float(limit.room))
            else:
                self._limit_when(limit, taken, over)

    def _limit_when(self, limit: Limit, taken: Weights, over: int) -> None:
        """Keep a limit only where something comes on its day."""
        comes = self.columns.add(1)
        for place in limit.when:
            for unknown in self.packs[place]:
                self.rows.add({comes: float(self.question.most(place)), unknown: -1.0}, 0.0)
        all_of_it = sum(
            float(held) * self.question.most(place) for place, held in limit.holds.items()
        )
        most = float(limit.room) + all_of_it
        self.rows.add({**taken, over: -1.0, comes: all_of_it}, -INFINITY, most)

    def _keep(self, keeping: Keeping) -> None:
        """Add what is left at each end of a week, as far as it makes a difference to the cost."""
        for come, used in keeping.ends:
            for last, weight in keeping.weights(come):
                queue = [
                    (place, step)
                    for place, step in keeping.queue[: last + 1]
                    if step < len(self.packs[place])
                ]
                sizes = {place: float(self.question.candidates[place].size) for place, _ in queue}
                up_to = {self.packs[place][step]: sizes[place] for place, step in queue}
                most = sum(size * self.question.most(place) for place, size in sizes.items())
                above = self.columns.add(most, whole=False)
                self._count(above, weight)
                self.rows.add({above: 1.0, **{one: -of for one, of in up_to.items()}}, -float(used))
                if weight < 0:
                    self._hold_down(above, up_to, float(used), most)

    def _hold_down(self, above: int, up_to: Weights, used: float, most: float) -> None:
        """Let what is above nothing not be more than it is, where more of it would save money."""
        is_above = self.columns.add(1)
        self.rows.add({is_above: most, above: -1.0}, 0.0)
        # above ≤ up_to − used + (most + used) (1 − is_above)
        self.rows.add({above: -1.0, is_above: -(most + used), **up_to}, used - (most + used))

    def counts(self, values: Sequence[float]) -> tuple[int, ...]:
        """Return the packs of each candidate in a solution."""
        return tuple(sum(round(values[one]) for one in unknowns) for unknowns in self.packs)


def _decimals(question: Question) -> Iterable[int]:
    """Yield how many decimals the sums of money have."""
    money = [one.price for candidate in question.candidates for one in candidate.prices]
    money += [terms.charge for terms in question.terms.values()]
    money += [terms.minimum for terms in question.terms.values()]
    for one in money:
        exponent = one.normalize().as_tuple().exponent
        yield max(0, -exponent) if isinstance(exponent, int) else 0
