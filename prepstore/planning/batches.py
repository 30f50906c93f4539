"""Solutions to make up: which sessions a batch serves, when it is made, what it asks for."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from prepstore.amounts import ZERO, settle, times_into
from prepstore.cell_types import fold
from prepstore.chemistry.routes import Route
from prepstore.chemistry.solutions import Ingredient, routes_for
from prepstore.facts import Solution
from prepstore.planning.days import Days
from prepstore.planning.demands import Asker, Demand, SessionWork
from prepstore.planning.draws import Served


@dataclass(frozen=True, slots=True)
class BatchRules:
    """How a solution is made: volumes in mL, times in days.

    `largest_ml` and `step_ml` are None where the solution gives none; `flasks_ml` are in order.
    """

    solution: Solution
    ingredients: tuple[Ingredient, ...]
    step_ml: Decimal | None
    largest_ml: Decimal | None
    flasks_ml: tuple[Decimal, ...]

    def rounded_up(self, wanted_ml: Decimal) -> Decimal:
        """Return the volume made for a wanted one."""
        if self.step_ml is not None:
            return times_into(wanted_ml, self.step_ml) * self.step_ml
        settled, largest_flask = settle(wanted_ml), self.flasks_ml[-1]
        vessels = (*self.flasks_ml, self.largest_ml or ZERO)
        several = times_into(wanted_ml, largest_flask) * largest_flask
        return min(several, *(size if settled <= size else several for size in vessels))

    def fits(self, wanted_ml: Decimal) -> bool:
        """Return whether what is made for a wanted volume fits the largest vessel."""
        return self.largest_ml is None or self.rounded_up(wanted_ml) <= self.largest_ml


@dataclass(frozen=True, slots=True)
class PartNeed:
    """What a batch takes of one part, in the part's unit, and the steps to it."""

    name: str
    route: Route
    ingredient: Ingredient

    @property
    def amount(self) -> Decimal:
        """Return how much, in the part's unit."""
        return self.route.number


@dataclass(frozen=True, slots=True)
class Batch:
    """One making-up of a solution.

    `wanted_ml` is what its demands still need, `volume_ml` that rounded up, made in `makings`
    goes of the largest vessel. `sessions` are all it serves, directly or through other batches.
    `demands` are what it asks for of each part on its make-day, in the order of `parts`.
    """

    solution: Solution
    make_on: date
    use_by: date | None
    wanted_ml: Decimal
    volume_ml: Decimal
    makings: int
    served: tuple[Served, ...]
    sessions: tuple[SessionWork, ...]
    parts: tuple[PartNeed, ...]
    demands: tuple[Demand, ...]
    is_promised: bool

    @property
    def name(self) -> str:
        """Return the folded name of the solution."""
        return fold(self.solution.solution)

    @property
    def day_of_making(self) -> date:
        """Return the day on which people make it: that of its first session where hours count.

        Its lots and figures go by `make_on`, whatever the hour.
        """
        within = self.solution.make_within
        return self.make_on if within is None else self.sessions[0].session.date

    @property
    def making_ml(self) -> Decimal:
        """Return the volume of each making, mL; makings are equal."""
        return self.volume_ml / self.makings

    def per_making(self, part: PartNeed) -> Decimal:
        """Return what each making takes of a part, in the part's unit."""
        return part.amount / self.makings

    @property
    def left_ml(self) -> Decimal:
        """Return what is made beyond what its demands want, mL."""
        return self.volume_ml - self.wanted_ml


def batches_for(unserved: Iterable[Served], rules: BatchRules, days: Days) -> list[Batch]:
    """Return the batches that make what stock does not give of one solution.

    Args:
        unserved: The solution's demands, each with what it still needs.
        rules: How the solution is made.
        days: What decides the make-days.

    Returns:
        Batches in the order of their first demand. Every demand with something unserved is in
        exactly one; a batch's volume is at least what its demands still need.
    """
    batches: list[Batch] = []
    group: list[Served] = []
    wanted = ZERO
    for one in sorted(unserved, key=lambda one: one.demand.order):
        if group and not _joins(one, group[0].demand, wanted + one.unserved, rules, days):
            batches.append(_batch(group, wanted, rules, days))
            group, wanted = [], ZERO
        group.append(one)
        wanted += one.unserved
    if group:
        batches.append(_batch(group, wanted, rules, days))
    return batches


def _joins(one: Served, first: Demand, wanted_ml: Decimal, rules: BatchRules, days: Days) -> bool:
    """Return whether a demand can join a batch: it keeps until then, and the vessel holds it."""
    shelf_life = rules.solution.shelf_life
    if shelf_life == 0:
        return False
    if shelf_life is not None:
        made = _make_day(first, shelf_life, days)
        if one.demand.day_of_use > made + timedelta(days=shelf_life):
            return False
    return rules.fits(wanted_ml)


def _make_day(first: Demand, shelf_life: int | None, days: Days) -> date:
    return days.make_day(first.day_of_use, shelf_life, is_for_batch=first.is_for_batch)


def _batch(group: list[Served], wanted: Decimal, rules: BatchRules, days: Days) -> Batch:
    solution = rules.solution
    make_on = _make_day(group[0].demand, solution.shelf_life, days)
    keeps = solution.shelf_life
    volume = rules.rounded_up(wanted)
    sessions = {work.order: work for one in group for work in one.demand.sessions}
    parts = _parts(rules, volume)
    asker = Asker(
        name=fold(solution.solution),
        day_of_use=make_on,
        order=(make_on, 0, solution.solution, min(sessions)),
        sessions=tuple(sessions[order] for order in sorted(sessions)),
        is_promised=all(one.demand.is_promised for one in group),
        is_batch=True,
    )
    return Batch(
        solution=solution,
        make_on=make_on,
        use_by=None if keeps is None else make_on + timedelta(days=keeps),
        wanted_ml=wanted,
        volume_ml=volume,
        makings=1 if rules.largest_ml is None else times_into(volume, rules.largest_ml),
        served=tuple(group),
        sessions=asker.sessions,
        parts=parts,
        demands=tuple(
            Demand(part.name, part.amount, ZERO, False, make_on, asker)  # noqa: FBT003 - a field
            for part in parts
        ),
        is_promised=asker.is_promised,
    )


def _parts(rules: BatchRules, volume_ml: Decimal) -> tuple[PartNeed, ...]:
    routes = routes_for(rules.ingredients, volume_ml, rules.solution.density)
    return tuple(
        PartNeed(fold(ingredient.material.name), route, ingredient)
        for ingredient, route in zip(rules.ingredients, routes, strict=True)
    )
