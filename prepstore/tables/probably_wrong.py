"""What is probably wrong: data that can be planned with, and that somebody should check."""

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind, plain
from prepstore.catalogue import Catalogue, ReplacementCircleError
from prepstore.cell_types import ItemKind, fold
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit
from prepstore.chemistry.materials import ingredients_of
from prepstore.chemistry.solutions import amounts_for
from prepstore.chemistry.water import is_water
from prepstore.facts import Item, WasteStream
from prepstore.problems import Problem, at
from prepstore.tables.understand import Known
from prepstore.written import WrittenRow

Materials = Mapping[str, Material]
_Check = Callable[[Mapping[str, Known], Catalogue, Materials], Iterator[Problem]]


def probably_wrong(
    known: Mapping[str, Known], catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    """Yield what is probably wrong with a set that has no mistakes, each thing once.

    Args:
        known: The facts of the set beside their rows.
        catalogue: What they come to.
        substances: Its materials, by folded name.
    """
    for check in _CHECKS:
        yield from check(known, catalogue, substances)


_WATER_WITH_A_ZERO = re.compile(r"[.·•*∙⋅]\s*[0-9]*\s*H20(?![0-9])")


def _formulae(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, _ in known["items"]:
        if _WATER_WITH_A_ZERO.search(row.text.get("formula", "")):
            what = "has H20, twenty hydrogens, in the place of the water of a hydrate."
            yield at(row, "formula", "water-with-a-zero", what, "Write H2O, with the letter O.")


_LIGHTEST: Final = Decimal("0.5")
_HEAVIEST: Final = Decimal(14)
"""Of liquids and solutions, g/mL: pentane has 0.63, mercury 13.5 (CRC Handbook, from memory)."""


def _densities(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, fact in (*known["items"], *known["solutions"]):
        density: Decimal | None = fact.density
        if density is None or _LIGHTEST <= density <= _HEAVIEST:
            continue
        what = f"g/mL is not between {_LIGHTEST} and {_HEAVIEST}."
        in_kg = density / 1000
        remedy = (
            f"Is it in kg/m³? In g/mL it is {plain(in_kg)}."
            if _LIGHTEST <= in_kg <= _HEAVIEST
            else "Check it against the label."
        )
        yield at(row, "density", "density-unlikely", what, remedy)


def _opened_lots(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, lot in known["stock"]:
        if lot.opened and lot.expiry and lot.opened > lot.expiry:
            what = f"is after its last day, {lot.expiry}."
            yield at(row, "opened", "opened-after-expiry", what, "Check both dates on the label.")


def _ends(
    known: Mapping[str, Known], catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    aqueous = {name for name, stream in catalogue.streams.items() if _is_aqueous(stream)}
    for row, line in known["practical_lines"]:
        item = catalogue.items.get(fold(line.item))
        if item is not None and line.to:
            ends = {share.end: share.fraction for share in line.to}
            yield from _ends_of(row, item, ends, aqueous)


def _ends_of(
    row: WrittenRow, item: Item, ends: Mapping[str, Decimal], aqueous: Set[str]
) -> Iterator[Problem]:
    if item.unit.kind is Kind.COUNT and "drain" in ends:
        what = f"is where pieces of {item.item} would go, and they block it."
        yield at(row, "to", "counted-to-drain", what, "Name a stream for solids, or kept.")
    for end, share in ends.items() if item.kind is ItemKind.SOLVENT else ():
        # Of what is shaken with water, the lesser part goes with it.
        if end in aqueous and share > _HALF and not _is_water(item):
            what = f"sends {item.item}, a solvent, to a stream for what is aqueous."
            yield at(row, "to", "solvent-to-aqueous", what, "Check which stream is meant.")


_HALF: Final = Decimal("0.5")


def _is_water(item: Item) -> bool:
    """Return whether an item is water, or has it in its name: no solvent is said of either."""
    return is_water(item) or "water" in fold(item.item).split()


_AQUEOUS_CODES: Final = re.compile(r"07 0[1-7] 01\*?|11 01 1[12]\*?|16 10 0[1-4]\*?")
"""Aqueous washing liquids, aqueous rinsing liquids, aqueous liquid wastes and concentrates.

Source: the European List of Waste, Decision 2000/532/EC, from memory.
"""


def _is_aqueous(stream: WasteStream) -> bool:
    # "non-aqueous" begins otherwise.
    by_name = re.search(r"(?<!non-)(?<!non )\baqueous\b", fold(stream.stream))
    return bool(by_name or _AQUEOUS_CODES.fullmatch(stream.list_code or ""))


def _agents(
    known: Mapping[str, Known], catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, line in known["practical_lines"]:
        if line.holds_back is None:
            continue
        try:
            agent = catalogue.items.get(fold(catalogue.used_for(line.item)))
        except ReplacementCircleError:
            continue  # a mistake of the store, which is told by itself
        if agent is None or agent.retention is None:
            what = "stands beside an item without retention, so that nothing is held back."
            remedy = "Give the item a retention, like 0.4 mL."
            yield at(row, "holds_back", "retention-missing", what, remedy)


_LITRE: Final = Decimal(1000)


def _parts(
    known: Mapping[str, Known], catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    """Yield each part of which a solution would take more than its own volume."""
    rows: dict[str, list[WrittenRow]] = {}
    for row, part in known["solution_parts"]:
        rows.setdefault(fold(part.solution), []).append(row)
    for name, solution in catalogue.solutions.items():
        ingredients = ingredients_of(catalogue.parts.get(name, ()), substances)
        if not ingredients:
            continue
        try:
            amounts = amounts_for(ingredients, _LITRE, solution.density)
        except NoRouteError:
            continue  # a mistake of the store, which is told by itself
        for row, part, amount in zip(rows[name], ingredients, amounts, strict=True):
            if part.material.is_liquid and amount > _LITRE:
                what = (
                    f"takes {plain(amount.quantize(Decimal(1)))} mL of {part.material.name} for "
                    f"1 L: the solution would be stronger than what it is made from."
                )
                yield at(row, "amount", "stronger-than-its-part", what, "Check both strengths.")


_MANY_TIMES: Final = 100


def _amounts(
    known: Mapping[str, Known], catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    """Yield each line that takes a hundred times what any other line of its item takes."""
    lines: dict[tuple[str, str], list[tuple[WrittenRow, Decimal]]] = {}
    for row, line in known["practical_lines"]:
        try:
            material = substances[fold(catalogue.used_for(line.item))]
            amount = in_unit(material, line.amount)
        except (KeyError, NoRouteError, ReplacementCircleError):
            continue  # a mistake of the store, which is told by itself
        lines.setdefault((fold(line.item), line.per), []).append((row, amount))
    for of_item in lines.values():
        yield from _far_above_the_others(of_item)


def _far_above_the_others(lines: Iterable[tuple[WrittenRow, Decimal]]) -> Iterator[Problem]:
    (row, most), *others = sorted(lines, key=lambda line: line[1], reverse=True)
    if others and 0 < others[0][1] * _MANY_TIMES <= most:
        times = plain((most / others[0][1]).quantize(Decimal(1)))
        what = f"is {times} times what any other line takes of {row.text['item']}."
        yield at(row, "amount", "amount-unlikely", what, "Check the number and its unit.")


_CHECKS: Final[tuple[_Check, ...]] = (
    _formulae,
    _densities,
    _opened_lots,
    _ends,
    _agents,
    _parts,
    _amounts,
)
