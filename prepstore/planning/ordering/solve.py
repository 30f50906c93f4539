"""The best answer to a question of orders, by integer programming, and the proof that it is.

The model (linear_model.py) is solved by HiGHS (highspy), an open solver; every answer is checked
again in exact decimals here.
"""

import threading
import time
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, floor
from typing import Any, Final

from prepstore.amounts import ZERO, settle
from prepstore.planning.ordering.linear_model import INFINITY, LinearModel, Weights
from prepstore.planning.ordering.model import Answer, Question

LONGEST_SECONDS: Final = 20.0
"""For the least cost."""
_LONGEST_FOR_EQUALS: Final = 5.0
"""To choose between orders of equal cost."""
_BETWEEN_LOOKS_SECONDS: Final = 0.2


@dataclass(frozen=True, slots=True)
class _Found:
    """A solution of the model: the unknowns, and a bound that no solution is below."""

    values: tuple[float, ...]
    bound: float


def _as_taken(model: LinearModel, highspy: Any, np: Any) -> Any:  # noqa: ANN401 - it has no types
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

    def __init__(self, model: LinearModel) -> None:
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

    def least(self, of: Weights, seconds: float) -> _Found | None:
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

    def hold(self, of: Weights, most: float) -> None:
        """Let a sum not be more than this from now on."""
        self._highs.addRow(
            -INFINITY, most, len(of), list(of), [float(value) for value in of.values()]
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
    model = LinearModel(question)
    solver = _Solver(model)
    found = _of_least_cost(model, solver, seconds)
    counts = model.counts(found.values)
    total = question.total(counts)
    bound = min(total, _money(found.bound, model))
    # With the cost of keeping hardly any two orders cost the same.
    best = _first_of_equals(model, solver, found, total, seconds) if model.is_whole else counts
    return _checked(question, best if question.total(best) <= total else counts, bound)


def least_cost(question: Question, seconds: float = LONGEST_SECONDS) -> Decimal:
    """Return what the order of least cost comes to: the total of `answer`, in a third of the time.

    Which of the orders that cost so much would be taken is not asked.
    """
    if not question.covers:
        return ZERO
    model = LinearModel(question)
    found = _of_least_cost(model, _Solver(model), seconds)
    return question.total(model.counts(found.values))


def _of_least_cost(model: LinearModel, solver: _Solver, seconds: float) -> _Found:
    """Return an order of least cost, after what the limits want."""
    if model.question.limits:
        _keep_limits(model, solver, seconds)
    found = solver.least(model.cost, seconds)
    if found is None:
        raise TimeoutError(f"No order was found in {seconds:.0f} seconds.")
    return found


def _money(whole: float, model: LinearModel) -> Decimal:
    """Return a bound in money: costs are whole, so that a bound is rounded up to the next.

    Nothing costs less than nothing; before a solver knows more it has no bound at all.
    """
    whole = max(0.0, whole)
    if not model.is_whole:
        return Decimal(repr(whole)) / Decimal(model.cents)
    return Decimal(ceil(whole - 1e-4)) / Decimal(model.cents)


def _keep_limits(model: LinearModel, solver: _Solver, seconds: float) -> None:
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
    model: LinearModel, solver: _Solver, found: _Found, total: Decimal, seconds: float
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


def _preferences(model: LinearModel) -> Iterable[Weights]:
    """Yield what is to be least among orders of equal cost, the most important first."""
    question = model.question
    excess: Weights = {}
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
