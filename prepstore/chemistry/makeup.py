"""What a solution comes to once all that it is made from is broken down into items."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, NamedTuple

from prepstore.amounts import is_more_than_nothing
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material
from prepstore.chemistry.materials import ingredients_of
from prepstore.chemistry.solutions import amounts_for
from prepstore.facts import SolutionPart


class Held(NamedTuple):
    """An item (folded) as it is in something; what is dissolved has no volume of its own."""

    name: str
    is_dissolved: bool


@dataclass(frozen=True, slots=True)
class Makeup:
    """What a unit (g, mL, each) of an item or solution is made of.

    `parts` are in the unit of each item, as supplied. `unknown` are the mL, by solution as spelled,
    that no part accounts for.
    """

    parts: Mapping[Held, Decimal]
    unknown: Mapping[str, Decimal]


_LITRE: Final = Decimal(1000)


class Makeups:
    """Breaks items and solutions down, each once.

    Args:
        parts: Of each solution, by its folded name.
        materials: Every item and solution, by folded name.
    """

    def __init__(
        self,
        parts: Mapping[str, tuple[SolutionPart, ...]],
        materials: Mapping[str, Material],
    ) -> None:
        self._parts = parts
        self._materials = materials
        self._found: dict[str, Makeup] = {}

    def of(self, name: str) -> Makeup:
        """Return what a unit of an item or solution (folded) is made of; an item is of itself.

        The volumes of a solution's liquid parts and what is `unknown` of it add up to the
        solution's, or more where its liquid parts do.

        Raises:
            NoRouteError: A part has no way to its amount, which checking a set tells.
        """
        if name not in self._found:
            material = self._materials[name]
            self._found[name] = (
                self._of_solution(name, material)
                if material.is_solution
                else Makeup({Held(name, is_dissolved=False): Decimal(1)}, {})
            )
        return self._found[name]

    def _of_solution(self, name: str, material: Material) -> Makeup:
        # Of a whole litre, so that what is left of it can be told from a hair of many divisions.
        ingredients = ingredients_of(self._parts.get(name, ()), self._materials) or ()
        amounts = amounts_for(ingredients, _LITRE, material.density)
        parts: dict[Held, Decimal] = {}
        unknown: dict[str, Decimal] = {}
        rest = _LITRE
        for ingredient, amount in zip(ingredients, amounts, strict=True):
            part = ingredient.material
            rest -= amount if part.is_liquid else 0
            inner, share = self.of(fold(part.name)), amount / _LITRE
            for held, of_part in inner.parts.items():
                key = Held(held.name, held.is_dissolved or not part.is_liquid)
                parts[key] = parts.get(key, Decimal(0)) + of_part * share
            for solution, of_part in inner.unknown.items():
                unknown[solution] = unknown.get(solution, Decimal(0)) + of_part * share
        if is_more_than_nothing(rest):
            unknown[material.name] = rest / _LITRE
        return Makeup(parts, unknown)
