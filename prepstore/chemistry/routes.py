"""A figure that carries its reason: the number a conversion gives, and the steps that led to it."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from prepstore.amounts import ZERO


class Of(StrEnum):
    """What a step multiplies or divides by."""

    MEASURE = "measure"
    DENSITY = "density"
    MOLAR_MASS = "molar mass"
    STRENGTH = "strength"
    ML_PER_L = "mL in a litre"
    WANTED = "wanted concentration"
    VOLUME = "volume"
    PER_FORMULA_UNIT = "number in a formula unit"
    ALL_PARTS = "all parts"
    LIQUID_PARTS = "liquid parts"
    FACTOR = "factor of a replacement"


@dataclass(frozen=True, slots=True)
class Step:
    """One step on a calculator: times a number, or divided by it, with its unit.

    `text` is how it was written, where somebody wrote it: a concentration, a measure. A step of
    `Of.LIQUID_PARTS` is taken off.
    """

    of: Of
    number: Decimal
    unit: str = ""
    divides: bool = False
    text: str = ""


@dataclass(frozen=True, slots=True)
class Route:
    """A number in a material's unit (g, mL or each), and the steps that led to it, in order."""

    number: Decimal
    steps: tuple[Step, ...] = ()

    def times(self, step: Step) -> "Route":
        """Return the route one step further: times the step's number."""
        return Route(self.number * step.number, (*self.steps, step))

    def over(self, step: Step) -> "Route":
        """Return the route one step further: divided by the step's number."""
        return Route(self.number / step.number, (*self.steps, step))

    def through(self, steps: Iterable[Step]) -> "Route":
        """Return the route further by some steps that each multiply."""
        route = self
        for step in steps:
            route = route.times(step)
        return route


def together(routes: Iterable[Route]) -> Route:
    """Return routes added up; a step that several of them take stands once."""
    number, steps = ZERO, dict[Step, None]()
    for route in routes:
        number += route.number
        steps |= dict.fromkeys(route.steps)
    return Route(number, tuple(steps))
