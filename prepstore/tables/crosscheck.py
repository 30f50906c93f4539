"""What must agree between tables: names, units, densities, shares, circles."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any, Final

from prepstore.amounts import LARGEST_AMOUNT, STRENGTH_BASES, Basis, Kind, WrittenAmount
from prepstore.chemistry.conversions import (
    Ingredient,
    Material,
    NoRouteError,
    amounts_for,
    in_unit,
)
from prepstore.chemistry.formulae import elements
from prepstore.chemistry.materials import (
    SolutionCircleError,
    ingredients_of,
    making_order,
    materials,
)
from prepstore.columns import NAME_COLUMN, NAMED_IN
from prepstore.facts import (
    KNOWN_ENDS,
    NOT_ASSIGNED,
    Inventory,
    Item,
    ItemKind,
    Practical,
    ReplacementCircleError,
    Share,
    Solution,
    StockUnit,
    fold,
    is_retired,
    replacement_chain,
)
from prepstore.problems import Problem, at, nearest
from prepstore.tables.understand import Known, inventory_of, read_settings, understand
from prepstore.tables.unsure import Unsure, unsure_about
from prepstore.written import WrittenRow, WrittenSet


@dataclass(frozen=True, slots=True)
class Checked:
    """What a set of tables comes to once understood: facts, materials and all problems."""

    inventory: Inventory
    materials: Mapping[str, Material]
    problems: tuple[Problem, ...]


def checked(written: WrittenSet, of_files: Iterable[Problem] = ()) -> Checked:
    """Return the facts of a whole set, and everything in it that is wrong.

    Args:
        written: All rows.
        of_files: What the reader has told already; what merely follows from it is not told.
    """
    known, problems = understand(written)
    settings, wrong_settings = read_settings(known["settings"])
    problems += wrong_settings
    names = _spelled_names(written)
    unsure = unsure_about(written, known, of_files)
    problems += _unknown_names(written, names, unsure)
    inventory = inventory_of(known, settings)
    problems += _replacement_circles(known, inventory)
    circles, in_circles = _solution_circles(known)
    problems += circles
    misdescribed, in_doubt = _misdescribed_items(known)
    problems += misdescribed
    in_doubt |= in_circles | unsure.solutions | (inventory.items.keys() & inventory.solutions)
    substances = materials(_without(inventory, in_doubt))
    wrong_parts, wrong = _wrong_parts(known, inventory, substances)
    problems += wrong_parts
    substances = {name: made for name, made in substances.items() if name not in wrong}
    for check in _CHECKS:
        problems += check(known, inventory, substances)
    problems += _left_out_stages(known, inventory, unsure)
    problems += _unknown_ends(known, names, unsure)
    return Checked(inventory, substances, tuple(dict.fromkeys(problems)))


Names = Mapping[str, Mapping[str, str]]
"""By table, the names that its rows go by: folded, and as they are spelled."""


def _spelled_names(written: WrittenSet) -> Names:
    """Collect names from the rows as written, so that one bad cell hides no name."""
    return {
        table: {
            fold(row.text[column]): row.text[column]
            for row in written.get(table, [])
            if column in row.text
        }
        for table, column in NAME_COLUMN.items()
    }


def unknown_names(written: WrittenSet) -> bool:
    """Return whether any row names what no row of the tables named in it is called."""
    names = _spelled_names(written)
    unsure = Unsure(frozenset(), frozenset(), frozenset())
    present = {
        table: rows if all(of in written for of in named_in) else []
        for (table, _), named_in in NAMED_IN.items()
        if (rows := written.get(table)) is not None
    }
    return any(True for _ in _unknown_names(present, names, unsure))


def _without(inventory: Inventory, names: Set[str]) -> Inventory:
    """Return an inventory without the items and solutions of which something is in doubt."""
    return replace(
        inventory,
        items={name: item for name, item in inventory.items.items() if name not in names},
        solutions={name: made for name, made in inventory.solutions.items() if name not in names},
        parts={name: parts for name, parts in inventory.parts.items() if name not in names},
    )


def _unknown_names(written: WrittenSet, names: Names, unsure: Unsure) -> Iterator[Problem]:
    for (table, column), named_in in NAMED_IN.items():
        if unsure.tables.intersection(named_in):
            continue
        spelled = {name: text for other in named_in for name, text in names[other].items()}
        what = " or ".join(NAME_COLUMN[other] for other in named_in)
        for row in written.get(table, []):
            name = row.text.get(column)
            if name is not None and column not in row.told and fold(name) not in spelled:
                expected = nearest(name, spelled.values())
                yield at(row, column, "name-unknown", f"is not a known {what}.", expected)
    for row in written.get("solutions", []):
        name = row.text.get("solution", "")
        if fold(name) in names["items"]:
            what = "is the name of an item as well."
            yield at(row, "solution", "name-twice", what, "Give the solution another name.")


def _unknown_ends(known: Mapping[str, Known], names: Names, unsure: Unsure) -> Iterator[Problem]:
    """Yield a problem for each `to` that names neither a stream nor kept, air or drain."""
    streams = names["waste_streams"]
    ends = [*streams.values(), *KNOWN_ENDS]
    folded = {fold(end) for end in ends}
    for table in () if "waste_streams" in unsure.tables else ("practical_lines", "replacements"):
        for row, fact in known[table]:
            shares: Iterable[Share] = fact.to or ()
            for share in shares:
                if fold(share.end) not in folded:
                    what = f"names '{share.end}', which is no waste stream."
                    yield at(row, "to", "stream-unknown", what, nearest(share.end, ends))
    for row, stream in known["waste_streams"]:
        if fold(stream.stream) in (*KNOWN_ENDS, NOT_ASSIGNED):
            what = "has a meaning of its own in the column to."
            yield at(row, "stream", "name-taken", what, "Give the stream another name.")


def _solution_circles(known: Mapping[str, Known]) -> tuple[list[Problem], frozenset[str]]:
    """Return a problem for each circle, and the folded names of all solutions in circles."""
    parts: dict[str, list[Any]] = {}
    for _, part in known["solution_parts"]:
        parts.setdefault(fold(part.solution), []).append(part)
    problems: list[Problem] = []
    in_circles: frozenset[str] = frozenset()
    while True:
        try:
            making_order({name: tuple(made_of) for name, made_of in parts.items()})
        except SolutionCircleError as circle:
            problems.append(_solution_circle(known, circle))
            in_circles |= frozenset(circle.names)
            parts = {name: made for name, made in parts.items() if name not in in_circles}
        else:
            return problems, in_circles


def _solution_circle(known: Mapping[str, Known], circle: SolutionCircleError) -> Problem:
    row = next(
        row
        for row, part in known["solution_parts"]
        if fold(part.solution) in circle.names and fold(part.item) in circle.names
    )
    spelled = {fold(part.solution): part.solution for _, part in known["solution_parts"]}
    names = " is made from ".join(spelled[name] for name in circle.names)
    what = f"makes a circle: {names}."
    remedy = "A solution cannot be made from itself; change one of its parts."
    return at(row, "item", "solution-circle", what, remedy)


def _replacement_circles(known: Mapping[str, Known], inventory: Inventory) -> Iterator[Problem]:
    """Yield a problem a circle, at the first row in it."""
    told: set[frozenset[str]] = set()
    for row, replacement in known["replacements"]:
        try:
            replacement_chain(replacement.item, inventory.replacements)
        except ReplacementCircleError as circle:
            names = [fold(name) for name in circle.names]
            inside = frozenset(names[names.index(names[-1]) :])
            if row.key[0] in inside and inside not in told:
                told.add(inside)
                what, remedy = f"leads in a circle: {circle}.", "Take one of them out."
                yield at(row, "replaced_by", "replacement-circle", what, remedy)


Materials = Mapping[str, Material]


def _misdescribed_items(known: Mapping[str, Known]) -> tuple[list[Problem], frozenset[str]]:
    """Return what is wrong with items by themselves, and the folded names of these items."""
    problems: list[Problem] = []
    for row, item in known["items"]:
        if item.kind is ItemKind.APPARATUS and item.unit is not StockUnit.EACH:
            what = "cannot be: apparatus is counted."
            problems.append(at(row, "unit", "apparatus-unit", what, "Use each."))
        if item.strength and item.strength.basis not in STRENGTH_BASES:
            what = "does not say how strong the item is."
            remedy = "Write it like 37 % w/w, 2 mol/L, 20 g/L or 96 % v/v."
            problems.append(at(row, "strength", "strength-basis", what, remedy))
    places = {(problem.place.source, problem.place.row) for problem in problems}
    rows = (row for row, _ in known["items"] if (row.source, row.number) in places)
    return problems, frozenset(row.key[0] for row in rows)


def _item_rows(
    known: Mapping[str, Known], _inventory: Inventory, substances: Materials
) -> Iterator[Problem]:
    for row, item in known["items"]:
        columns = ("minimum", "restock_to", "daily_capacity")
        yield from _routes(row, item, columns, substances.get(fold(item.item)))
        yield from _restock_below_minimum(row, item, substances.get(fold(item.item)))


def _solution_rows(
    known: Mapping[str, Known], _inventory: Inventory, substances: Materials
) -> Iterator[Problem]:
    for row, solution in known["solutions"]:
        material = substances.get(fold(solution.solution))
        columns = ("step", "largest_batch", "minimum", "restock_to")
        yield from _routes(row, solution, columns, material)
        yield from _restock_below_minimum(row, solution, material)


def _restock_below_minimum(
    row: WrittenRow, fact: Item | Solution, material: Material | None
) -> Iterator[Problem]:
    if material is None or fact.minimum is None or fact.restock_to is None:
        return
    try:
        if in_unit(material, fact.restock_to) < in_unit(material, fact.minimum):
            what = f"is less than the minimum of {fact.minimum}."
            yield at(row, "restock_to", "restock-below-minimum", what, "Give at least the minimum.")
    except NoRouteError:
        return  # told by the column itself


def _routes(
    row: WrittenRow, fact: object, columns: Iterable[str], material: Material | None
) -> Iterator[Problem]:
    """Yield a problem for each amount that cannot be turned into the material's unit."""
    if material is None:
        return
    for column in columns:
        written: WrittenAmount | None = getattr(fact, column)
        if written is not None:
            yield from route_problems(row, column, written, material)


def route_problems(
    row: WrittenRow, column: str, written: WrittenAmount, material: Material
) -> Iterator[Problem]:
    """Yield a problem where an amount cannot be turned into the material's unit, or is too much."""
    try:
        number = in_unit(material, written)
    except NoRouteError as error:
        what = f"cannot be turned into {material.unit}: {error}."
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
    return _missing(error)


def _missing(error: NoRouteError) -> str:
    if not error.missing:
        return ""
    return f"Fill in the column {error.missing} of {error.material}, or check its unit."


def _wrong_parts(
    known: Mapping[str, Known], inventory: Inventory, substances: Materials
) -> tuple[list[Problem], frozenset[str]]:
    """Return what is wrong with parts, and the solutions that have wrong ones.

    What is made from such a solution is not looked at: its mistakes may be mere consequences.
    """
    rows: dict[str, list[WrittenRow]] = {}
    for row, part in known["solution_parts"]:
        rows.setdefault(fold(part.solution), []).append(row)
    problems: list[Problem] = []
    sound = dict(substances)
    for name in substances:  # each after what it is made from
        ingredients = ingredients_of(inventory.parts.get(name, ()), sound)
        solution = inventory.solutions.get(name)
        if ingredients and solution is not None:
            parts = list(zip(rows[name], ingredients, strict=True))
            wrong = list(_parts_of_one(parts, solution))
            problems += wrong
            if wrong:
                del sound[name]
    return problems, frozenset(substances.keys() - sound.keys())


def _parts_of_one(
    parts: list[tuple[WrittenRow, Ingredient]], solution: Solution
) -> Iterator[Problem]:
    """Yield what is wrong with the parts of one solution, those to volume last."""
    to_volume = [row for row, part in parts if part.amount.basis is Basis.TO_VOLUME]
    measured = [(row, part) for row, part in parts if part.amount.basis is not Basis.TO_VOLUME]
    for row in to_volume[1:]:
        what, remedy = "stands twice in this solution.", "Only one part fills to the mark."
        yield at(row, "amount", "to-volume-twice", what, remedy)
    wrong = [
        problem for row, part in measured for problem in _part_route(row, (part,), solution.density)
    ]
    yield from wrong
    if to_volume and not wrong:
        everything = tuple(part for _, part in parts)
        yield from _part_route(to_volume[0], everything, solution.density)


def _part_route(
    row: WrittenRow, ingredients: tuple[Ingredient, ...], density: Decimal | None
) -> Iterator[Problem]:
    try:
        amounts_for(ingredients, Decimal(1000), density)
    except NoRouteError as error:
        what = f"cannot be worked out: {error}."
        yield at(row, "amount", "no-route", what, _missing(error))
    except InvalidOperation:
        what = "comes to more than any store holds."
        yield at(row, "amount", "number-too-large", what, "Check this number and the strengths.")


def _line_rows(
    known: Mapping[str, Known], inventory: Inventory, substances: Materials
) -> Iterator[Problem]:
    for row, line in known["practical_lines"]:
        item = inventory.items.get(fold(line.item))
        if item is not None and item.kind is ItemKind.APPARATUS and line.to:
            what = "is where apparatus ends, but apparatus comes back."
            yield at(row, "to", "apparatus-to", what, "Leave it blank.")
        used = _used(line.item, inventory)
        yield from _routes(row, line, ("amount",), substances.get(fold(used)))


def _used(name: str, inventory: Inventory) -> str:
    """Return what is used where a script names an item; blank where replacements go in a circle."""
    try:
        chain = replacement_chain(name, inventory.replacements)
    except ReplacementCircleError:
        return ""
    return chain[-1].replaced_by if chain else name


def _timetable_rows(
    known: Mapping[str, Known], _inventory: Inventory, _substances: Materials
) -> Iterator[Problem]:
    for row, session in known["timetable"]:
        if session.start and session.end and session.end <= session.start:
            what = f"is not after the start, {session.start:%H:%M}."
            yield at(row, "end", "end-before-start", what, "Give a later end.")


def _retired_names(
    known: Mapping[str, Known], inventory: Inventory, _substances: Materials
) -> Iterator[Problem]:
    """Yield a problem for each session of a practical, or with an item, retired by its day."""
    for row, session in known["timetable"]:
        practical = inventory.practicals.get(fold(session.practical))
        if practical is None:
            continue
        if is_retired(practical, session.date):
            what = f"is retired since {practical.retired}."
            remedy = "Name another practical, or take it into use again."
            yield at(row, "practical", "name-retired", what, remedy)
        for name in _retired_items(practical, session.date, inventory):
            what = f"uses {name}, which is retired by then."
            remedy = "Replace it in the table replacements, or change the practical's lines."
            yield at(row, "practical", "name-retired", what, remedy)


def _retired_items(practical: Practical, day: date, inventory: Inventory) -> list[str]:
    """Return what the lines of a practical use on a day though it is retired, each name once."""
    found: dict[str, None] = {}
    for line in inventory.lines.get(fold(practical.practical), ()):
        try:
            chain = replacement_chain(line.item, inventory.replacements)
        except ReplacementCircleError:
            continue  # told with the replacement
        name = chain[-1].replaced_by if chain else line.item
        used = inventory.items.get(fold(name)) or inventory.solutions.get(fold(name))
        if used is not None and is_retired(used, day):
            found[name] = None
    return list(found)


def _left_out_stages(
    known: Mapping[str, Known], inventory: Inventory, unsure: Unsure
) -> Iterator[Problem]:
    """Yield a problem for each stage left out that has no optional line."""
    for row, session in known["timetable"]:
        practical = fold(session.practical)
        if practical not in inventory.practicals or practical in unsure.practicals:
            continue
        lines = inventory.lines.get(fold(session.practical), ())
        optional = {fold(line.stage): line.stage for line in lines if line.optional and line.stage}
        for stage in session.leave_out or ():
            if fold(stage) not in optional:
                what = f"names '{stage}', a stage that has no optional line in {session.practical}."
                stages = {fold(line.stage) for line in lines if line.stage}
                others = f" Stages that can be: {', '.join(optional.values())}." if optional else ""
                remedy = (
                    f"Write yes in the column optional of its lines, or take it out here.{others}"
                    if fold(stage) in stages
                    else nearest(stage, optional.values())
                )
                yield at(row, "leave_out", "stage-not-optional", what, remedy)


def _stock_rows(
    known: Mapping[str, Known], inventory: Inventory, substances: Materials
) -> Iterator[Problem]:
    for row, lot in known["stock"]:
        yield from _routes(row, lot, ("amount",), substances.get(fold(lot.item)))
        yield from broken_counts(row, "amount", lot.amount, substances.get(fold(lot.item)))
        if lot.opened and lot.containers > 1:
            what = f"is a date for a lot of {lot.containers} containers."
            remedy = "Give the opened container a lot of its own."
            yield at(row, "opened", "opened-of-several", what, remedy)
        solution = inventory.solutions.get(fold(lot.item))
        if solution and solution.shelf_life is not None and lot.expiry is None:
            what = f"expiry is blank, and {solution.solution} keeps {solution.shelf_life} days."
            yield at(row, "expiry", "expiry-missing", what, "Give the day until which it keeps.")


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


def _pack_rows(
    known: Mapping[str, Known], inventory: Inventory, substances: Materials
) -> Iterator[Problem]:
    for row, pack in known["packs"]:
        if fold(pack.item) in inventory.items:
            yield from _routes(row, pack, ("size",), substances.get(fold(pack.item)))
            yield from broken_counts(row, "size", pack.size, substances.get(fold(pack.item)))


def _stream_rows(
    known: Mapping[str, Known], _inventory: Inventory, _substances: Materials
) -> Iterator[Problem]:
    for row, stream in known["waste_streams"]:
        kind: Kind = stream.measure.kind
        for column in ("container", "part_full"):
            written: WrittenAmount | None = getattr(stream, column)
            if written and any(portion.kind is not kind for portion in written.portions):
                what = f"is not a {stream.measure}, which this stream is filled by."
                yield at(row, column, "stream-measure", what, f"Give it in {kind}.")


def _replacement_rows(
    known: Mapping[str, Known], _inventory: Inventory, substances: Materials
) -> Iterator[Problem]:
    for row, replacement in known["replacements"]:
        formulas = [
            material.formula
            for name in (replacement.item, replacement.replaced_by)
            if (material := substances.get(fold(name))) is not None and material.formula
        ]
        differ = len({frozenset(elements(formula).items()) for formula in formulas}) > 1
        for column in ("factor", "to"):
            if differ and getattr(replacement, column) is None:
                what = f"{column} is blank, and {formulas[0]} is not {formulas[1]}."
                remedy = f"Say what it is: with another substance the {column} must be given."
                yield at(row, column, "replacement-incomplete", what, remedy)


_CHECKS: Final[
    tuple[Callable[[Mapping[str, Known], Inventory, Materials], Iterator[Problem]], ...]
] = (
    _item_rows,
    _solution_rows,
    _line_rows,
    _timetable_rows,
    _retired_names,
    _stock_rows,
    _pack_rows,
    _stream_rows,
    _replacement_rows,
)
