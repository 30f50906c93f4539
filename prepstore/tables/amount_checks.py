"""What is wrong with amounts: no way to the item's unit, too much, a part of a counted thing."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from prepstore.amounts import LARGEST_AMOUNT, Kind, WrittenAmount
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit
from prepstore.facts import Item, Solution
from prepstore.problems import Problem, at, nearest
from prepstore.written import WrittenRow


def routes(
    row: WrittenRow, fact: object, columns: Iterable[str], material: Material | None
) -> Iterator[Problem]:
    """Yield a problem for each amount that cannot be converted to the material's unit."""
    if material is None:
        return
    for column in columns:
        written: WrittenAmount | None = getattr(fact, column)
        if written is not None:
            yield from route_problems(row, column, written, material)


def route_problems(
    row: WrittenRow, column: str, written: WrittenAmount, material: Material
) -> Iterator[Problem]:
    """Yield a problem where an amount has no way to the material's unit, or is too much."""
    try:
        number = in_unit(material, written)
    except NoRouteError as error:
        what = f"cannot be converted to {material.unit}: {error}."
        yield at(row, column, "no-route", what, _mending(error, written, material))
    else:
        if number >= LARGEST_AMOUNT:
            what = f"comes to more {material.unit} than any store holds."
            yield at(row, column, "number-too-large", what, "Check the number and its unit.")


_UNITS: Final[Mapping[Kind, tuple[str, ...]]] = {
    Kind.MASS: ("g", "kg", "mg", "mL", "L", "mol", "mmol"),
    Kind.VOLUME: ("mL", "L", "g", "kg", "mg", "mol", "mmol"),
    Kind.COUNT: ("each",),
}
_LONG_WORDS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("gram", "grams", "gramme", "grammes", "gr"), "g"),
    **dict.fromkeys(("kilo", "kilos", "kilogram", "kilograms"), "kg"),
    **dict.fromkeys(("litre", "litres", "liter", "liters", "ltr"), "L"),
    **dict.fromkeys(("millilitre", "millilitres", "milliliter", "milliliters", "cc"), "mL"),
    **dict.fromkeys(("pc", "pcs", "piece", "pieces", "unit", "units", "no"), "each"),
}
"""Words that people write for a unit, and the one that is read."""


def _mending(error: NoRouteError, written: WrittenAmount, material: Material) -> str:
    """Return what would give an amount a route: another word, or a column that is blank."""
    words = [portion.word for portion in written.portions if portion.kind is None]
    units = (*_UNITS.get(material.unit, ()), *(material.measures or ()))
    if words:
        meant = _LONG_WORDS.get(fold(words[0]))
        return f"Did you mean {meant}?" if meant in units else nearest(words[0], units)
    return missing(error)


def missing(error: NoRouteError) -> str:
    """Return which column would give an amount a way; blank where none would."""
    if not error.missing:
        return ""
    return f"Fill in the column {error.missing} of {error.material}, or check its unit."


def restock_below_minimum(
    row: WrittenRow, fact: Item | Solution, material: Material | None
) -> Iterator[Problem]:
    """Yield a problem where a restock ends below the minimum."""
    if material is None or fact.minimum is None or fact.restock_to is None:
        return
    try:
        if in_unit(material, fact.restock_to) < in_unit(material, fact.minimum):
            what = f"is less than the minimum of {fact.minimum}."
            yield at(row, "restock_to", "restock-below-minimum", what, "Give at least the minimum.")
    except NoRouteError:
        return  # told by the column itself


def broken_counts(
    row: WrittenRow, column: str, written: WrittenAmount | None, material: Material | None
) -> Iterator[Problem]:
    """Yield a problem where a part of a counted thing is said to be on the shelf or in a pack."""
    if material is None or written is None or material.unit is not Kind.COUNT:
        return
    numbers = [portion.number for portion in written.portions if portion.kind is Kind.COUNT]
    if any(number != number.to_integral_value() for number in numbers):
        what = f"is not a whole number, and {material.name} is counted."
        yield at(row, column, "count-unreadable", what, "Write it like 20 each.")
