"""The best answer to a question of orders, by integer programming, and the proof that it is.

The model is written down in docs/explanation/orders-jointly.md. It is solved by HiGHS (highspy), an
open solver; every answer is checked again in exact decimals here.
"""

import threading
import time
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise
from math import ceil, floor
from typing import Any, Final

from prepstore.amounts import ZERO, settle
from prepstore.planning.ordering.model import (
    Answer,
    Keeping,
    Limit,
    Question,
    billionths,
    grain_of,
)

LONGEST_SECONDS: Final = 20.0
"""For the least cost."""
_LONGEST_FOR_EQUALS: Final = 5.0
"""To choose between orders of equal cost."""
_DECIMALS_OF_KEEPING: Final = 2
"""Keeping costs no whole cents; a tenth of a cent is near enough."""
_BETWEEN_LOOKS_SECONDS: Final = 0.2
_INFINITY: Final = float("inf")


@dataclass(slots=True)
class _Rows:
    """Rows of a linear model as solvers take them: bounds and the entries of each row."""

    lower: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    entries: list[dict[int, float]] = field(default_factory=list)

    def add(self, entries: dict[int, float], lower: float, upper: float = _INFINITY) -> None:
        """Add a row: lower ≤ the sum of the entries ≤ upper."""
        self.lower.append(lower)
        self.upper.append(upper)
        self.entries.append(entries)


@dataclass(slots=True)
class _Columns:
    """The unknowns of a linear model: how large each may be, and whether it is whole."""

    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)

    def add(self, upper: float, *, whole: bool = True) -> int:
        """Add an unknown from 0 up; return its place."""
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.upper) - 1


Terms = dict[int, float]
"""What one of each unknown counts, by its place."""


class _Model:
    """The question as a linear model; costs are whole numbers of the smallest step of money."""

    def __init__(self, question: Question) -> None:
        self.question = question
        self.columns, self.rows = _Columns(), _Rows()
        least = 0 if self.is_whole else _DECIMALS_OF_KEEPING
        self.cents = 10 ** max(least, *_decimals(question), least)
        self.cost: Terms = {}
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
        goods: Terms = {}
        for place in self.question.places_of_order[order]:
            candidate = self.question.candidates[place]
            for one, unknown in zip(candidate.prices, self.packs[place], strict=False):
                goods[unknown] = float(one.price * self.cents)
        minimum = self.question.terms[order].minimum
        if minimum and any(goods.values()):
            self.rows.add({**goods, self.is_used[order]: -float(minimum * self.cents)}, 0.0)

    def _amounts(self, places: Iterable[int], of_one: Any) -> Terms:  # noqa: ANN401 - a callable
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
            over = self.columns.add(_INFINITY, whole=False)
            self.over.append(over)
            taken = {
                unknown: float(held)
                for place, held in limit.holds.items()
                for unknown in self.packs[place]
            }
            if len(limit.when) == len(limit.holds):
                self.rows.add({**taken, over: -1.0}, -_INFINITY, float(limit.room))
            else:
                self._limit_when(limit, taken, over)

    def _limit_when(self, limit: Limit, taken: Terms, over: int) -> None:
        """Keep a limit only where something comes on its day."""
        comes = self.columns.add(1)
        for place in limit.when:
            for unknown in self.packs[place]:
                self.rows.add({comes: float(self.question.most(place)), unknown: -1.0}, 0.0)
        all_of_it = sum(
            float(held) * self.question.most(place) for place, held in limit.holds.items()
        )
        most = float(limit.room) + all_of_it
        self.rows.add({**taken, over: -1.0, comes: all_of_it}, -_INFINITY, most)

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

    def _hold_down(self, above: int, up_to: Terms, used: float, most: float) -> None:
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


@dataclass(frozen=True, slots=True)
class _Found:
    """A solution of the model: the unknowns, and a bound that no solution is below."""

    values: tuple[float, ...]
    bound: float


def _as_taken(model: _Model, highspy: Any, np: Any) -> Any:  # noqa: ANN401 - it has no types
    """Return the model as HiGHS takes it, row by row, without an objective."""
    columns, rows = model.columns, model.rows
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(columns.upper), len(rows.lower)
    lp.col_cost_ = lp.col_lower_ = np.zeros(lp.num_col_)
    lp.col_upper_ = np.array(columns.upper)
    lp.row_lower_, lp.row_upper_ = np.array(rows.lower), np.array(rows.upper)
    matrix = lp.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    lengths = [len(entries) for entries in rows.entries]
    matrix.start_ = np.concatenate([[0], np.cumsum(lengths)]).astype(np.int32)
    places = [place for entries in rows.entries for place in entries]
    matrix.index_ = np.array(places, dtype=np.int32)
    matrix.value_ = np.array([one for entries in rows.entries for one in entries.values()], float)
    kinds = (highspy.HighsVarType.kContinuous, highspy.HighsVarType.kInteger)
    lp.integrality_ = [kinds[whole] for whole in columns.whole]
    return lp


class _Solver:
    """HiGHS with the model loaded once; objectives follow each other, each held to as a row."""

    def __init__(self, model: _Model) -> None:
        import highspy  # noqa: PLC0415 - only where something is to be ordered
        import numpy as np  # noqa: PLC0415

        self._np = np
        self._highs: Any = highspy.Highs()  # type: ignore[no-untyped-call]
        self._highs.silent()
        # The costs are whole: what is less than one of them apart is equal.
        gap = 0.5 if model.is_whole else 0.1
        for name, value in (("mip_rel_gap", 0.0), ("mip_abs_gap", gap), ("threads", 1)):
            self._highs.setOptionValue(name, value)
        self._feasible = highspy.SolutionStatus.kSolutionStatusFeasible.value
        self._size = len(model.columns.upper)
        self._highs.passModel(_as_taken(model, highspy, np))

    def least(self, of: Terms, seconds: float) -> _Found | None:
        """Return the solution in which a sum is least; None where none was found in time."""
        costs = self._np.zeros(self._size)
        for place, value in of.items():
            costs[place] = value
        every = self._np.arange(self._size, dtype=self._np.int32)
        self._highs.changeColsCost(self._size, every, costs)
        self._highs.setOptionValue("time_limit", max(0.1, seconds))
        self._run()
        info = self._highs.getInfo()
        if info.primal_solution_status != self._feasible:
            return None
        return _Found(tuple(self._highs.getSolution().col_value), float(info.mip_dual_bound))

    def _run(self) -> None:
        """Run it beside this thread, so that somebody may interrupt it."""
        at_work = threading.Thread(target=self._highs.run, daemon=True)
        at_work.start()
        while at_work.is_alive():
            at_work.join(_BETWEEN_LOOKS_SECONDS)

    def hold(self, of: Terms, most: float) -> None:
        """Let a sum not be more than this from now on."""
        self._highs.addRow(
            -_INFINITY, most, len(of), list(of), [float(value) for value in of.values()]
        )


def answer(question: Question, seconds: float = LONGEST_SECONDS) -> Answer:
    """Return the order of least cost, and how good it is.

    On equal cost the least excess in value decides, then the fewest suppliers' orders, the fewest
    packs, and then pack codes. Where a limit cannot be kept, the needs go first: it is exceeded by
    as little as they allow, and what is not a need is given up for it before any cost is counted.

    Args:
        question: Of which every cover has at least one candidate.
        seconds: The longest for the least cost; after that the best that was found, with its bound.
    """
    if not question.covers:
        return Answer((0,) * len(question.candidates), ZERO, ZERO)
    model = _Model(question)
    solver = _Solver(model)
    if question.limits:
        _keep_limits(model, solver, seconds)
    found = solver.least(model.cost, seconds)
    if found is None:
        raise TimeoutError(f"No order was found in {seconds:.0f} seconds.")
    counts = model.counts(found.values)
    total = question.total(counts)
    bound = min(total, _money(found.bound, model))
    # With the cost of keeping hardly any two orders cost the same.
    best = _first_of_equals(model, solver, found, total, seconds) if model.is_whole else counts
    return _checked(question, best if question.total(best) <= total else counts, bound)


def _money(whole: float, model: _Model) -> Decimal:
    """Return a bound in money: costs are whole, so that a bound is rounded up to the next.

    Nothing costs less than nothing; before a solver knows more it has no bound at all.
    """
    whole = max(0.0, whole)
    if not model.is_whole:
        return Decimal(repr(whole)) / Decimal(model.cents)
    return Decimal(ceil(whole - 1e-4)) / Decimal(model.cents)


def _keep_limits(model: _Model, solver: _Solver, seconds: float) -> None:
    """Keep to the limits as far as needs allow, then give up as little as that allows."""
    over = dict.fromkeys(model.over, 1.0)
    found = solver.least(over, seconds)
    if found is None:
        raise TimeoutError(f"No order was found in {seconds:.0f} seconds.")
    solver.hold(over, sum(found.values[place] for place in over) + 1e-6)
    given_up = dict.fromkeys(model.given_up, 1.0)
    found = solver.least(given_up, seconds)
    if found is not None:
        solver.hold(given_up, floor(sum(found.values[place] for place in given_up) + 0.5))


def _first_of_equals(
    model: _Model, solver: _Solver, found: _Found, total: Decimal, seconds: float
) -> tuple[int, ...]:
    """Return which of the orders of least cost is taken; the best so far where time is over."""
    until = time.monotonic() + min(seconds, _LONGEST_FOR_EQUALS)
    limit = float(total * model.cents)
    solver.hold(model.cost, limit + 0.25)
    best = found
    for of in _preferences(model):
        if not of or until - time.monotonic() < 0:
            continue
        better = solver.least(of, until - time.monotonic())
        if better is None:
            break
        best = better
        reached = sum(value * best.values[place] for place, value in of.items())
        solver.hold(of, reached + 1e-6 * max(1.0, abs(reached)))
    return model.counts(best.values)


def _preferences(model: _Model) -> Iterable[Terms]:
    """Yield what is to be least among orders of equal cost, the most important first."""
    question = model.question
    excess: Terms = {}
    for cover in question.covers:
        for place in cover.candidates:
            value = float(question.candidates[place].size * cover.least_price)
            for unknown in model.packs[place]:
                excess[unknown] = max(excess.get(unknown, 0.0), value)
    yield excess
    yield dict.fromkeys(model.is_used.values(), 1.0)
    yield {unknown: 1.0 for unknowns in model.packs for unknown in unknowns}
    codes = sorted({candidate.code for candidate in question.candidates})
    position = {code: float(number) for number, code in enumerate(codes)}
    yield {
        unknown: position[candidate.code]
        for candidate, unknowns in zip(question.candidates, model.packs, strict=True)
        for unknown in unknowns
    }


def _checked(question: Question, counts: tuple[int, ...], bound: Decimal) -> Answer:
    """Return the answer, its cost and what it covers worked out in exact decimals."""
    short_of = tuple(
        max(ZERO, settle(cover.amount - question.covered(cover, counts)))
        for cover in question.covers
    )
    for cover, short in zip(question.covers, short_of, strict=True):
        if short > settle(cover.rest):
            raise ArithmeticError(f"{cover} is not covered by {counts}.")
    over = tuple(limit.over(counts) for limit in question.limits)
    total = question.total(counts)
    return Answer(counts, total, min(bound, total), short_of, over)
