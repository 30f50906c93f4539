"""Items and solutions worked out as materials, solutions after the parts they are made of."""

from collections.abc import Mapping
from decimal import Decimal
from graphlib import CycleError, TopologicalSorter

from prepstore.amounts import PURE, Kind, WrittenAmount, written_exactly
from prepstore.cell_types import StockUnit, fold
from prepstore.chemistry.conversions import Material
from prepstore.chemistry.solutions import Ingredient, strength_of
from prepstore.facts import Item, Solution, SolutionPart

DROP = "drop"


class SolutionCircleError(ValueError):
    """Solutions are made from one another in a circle; `names` says which."""

    def __init__(self, names: tuple[str, ...]) -> None:
        self.names = names
        super().__init__(" is made from ".join(names))


def material_of(item: Item, drop_ml: Decimal) -> Material:
    """Return an item as a material; what is kept in g is pure unless it says otherwise.

    Args:
        item: The item.
        drop_ml: A drop of what is kept in mL and has no measure of that name, mL.
    """
    pure = PURE if item.unit is StockUnit.GRAM else None
    return Material(
        name=item.item,
        unit=item.unit.kind,
        density=item.density,
        formula=item.formula,
        strength=item.strength or pure,
        measures=_with_drop(item.measures, item.unit.kind, drop_ml),
    )


def _with_drop(
    measures: Mapping[str, WrittenAmount] | None, unit: Kind, drop_ml: Decimal
) -> Mapping[str, WrittenAmount] | None:
    """Return the measures of a material; what is kept in mL has a drop as well."""
    if unit is not Kind.VOLUME:
        return measures
    return {DROP: written_exactly(drop_ml, Kind.VOLUME), **(measures or {})}


def making_order(parts: Mapping[str, tuple[SolutionPart, ...]]) -> tuple[str, ...]:
    """Return folded names so that each solution comes after all that it is made from.

    Raises:
        SolutionCircleError: A solution is made from itself, directly or through others.
    """
    needs = {name: {fold(part.item) for part in made_of} for name, made_of in parts.items()}
    try:
        return tuple(TopologicalSorter(needs).static_order())
    except CycleError as circle:
        names = tuple(reversed(circle.args[1]))
        raise SolutionCircleError(names) from circle


def materials(
    items: Mapping[str, Item],
    solutions: Mapping[str, Solution],
    parts: Mapping[str, tuple[SolutionPart, ...]],
    drop_ml: Decimal,
) -> dict[str, Material]:
    """Return every item and solution as a material, by folded name.

    A solution of which a part is unknown is left out; checking says so. `drop_ml` is the size of a
    drop of what is kept in mL and has no measure of that name.

    Raises:
        SolutionCircleError: A solution is made from itself.
    """
    known = {name: material_of(item, drop_ml) for name, item in items.items()}
    for name in making_order(parts):
        solution = solutions.get(name)
        if solution is not None:
            ingredients = ingredients_of(parts.get(name, ()), known)
            if ingredients is not None:
                known[name] = _material_of_solution(solution, ingredients, drop_ml)
    for name, solution in solutions.items():
        if name not in parts:
            known[name] = _material_of_solution(solution, (), drop_ml)
    return known


def ingredients_of(
    parts: tuple[SolutionPart, ...], known: Mapping[str, Material]
) -> tuple[Ingredient, ...] | None:
    """Return the parts of a solution as ingredients; None where one is not known."""
    found = [known.get(fold(part.item)) for part in parts]
    return (
        tuple(
            Ingredient(material, part.amount, part.as_)
            for part, material in zip(parts, found, strict=True)
            if material is not None
        )
        if None not in found
        else None
    )


def _material_of_solution(
    solution: Solution, ingredients: tuple[Ingredient, ...], drop_ml: Decimal
) -> Material:
    strength, formula = strength_of(ingredients) or (None, None)
    return Material(
        name=solution.solution,
        unit=Kind.VOLUME,
        density=solution.density,
        formula=formula,
        strength=strength,
        measures=_with_drop(solution.measures, Kind.VOLUME, drop_ml),
        is_solution=True,
    )
