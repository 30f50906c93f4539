"""What is wrong with names: unknown, in a circle, retired; ends and stages that are not there."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from prepstore.catalogue import Catalogue, ReplacementCircleError
from prepstore.cell_types import KNOWN_ENDS, NOT_ASSIGNED, Share, fold
from prepstore.chemistry.conversions import Material
from prepstore.chemistry.materials import SolutionCircleError, making_order
from prepstore.columns import NAME_COLUMN, NAMED_IN
from prepstore.facts import Item, Practical, Solution, is_retired
from prepstore.problems import Problem, at, nearest
from prepstore.tables.understand import Known
from prepstore.tables.unsure import Unsure
from prepstore.written import WrittenSet

Names = Mapping[str, Mapping[str, str]]
"""By table, the names that its rows go by: folded, and as they are spelled."""


def spelled_names(written: WrittenSet) -> Names:
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
    names = spelled_names(written)
    unsure = Unsure(frozenset(), frozenset(), frozenset())
    present = {
        table: rows if all(of in written for of in named_in) else []
        for (table, _), named_in in NAMED_IN.items()
        if (rows := written.get(table)) is not None
    }
    return any(True for _ in unknown_name_problems(present, names, unsure))


def unknown_name_problems(written: WrittenSet, names: Names, unsure: Unsure) -> Iterator[Problem]:
    """Yield a problem for each name that no row of the tables named in it bears."""
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


def unknown_ends(known: Mapping[str, Known], names: Names, unsure: Unsure) -> Iterator[Problem]:
    """Yield a problem for each `to` that names neither a stream nor kept, air or drain."""
    tables = ("solutions", "practical_lines", "replacements")
    streams = names["waste_streams"]
    ends = [*streams.values(), *KNOWN_ENDS]
    folded = {fold(end) for end in ends}
    for table in () if "waste_streams" in unsure.tables else tables:
        for row, fact in known[table]:
            shares: Iterable[Share] = fact.to or ()
            for share in shares:
                if fold(share.end) not in folded:
                    what = f"names '{share.end}', which is not a waste stream."
                    yield at(row, "to", "stream-unknown", what, nearest(share.end, ends))
    for row, stream in known["waste_streams"]:
        if fold(stream.stream) in (*KNOWN_ENDS, NOT_ASSIGNED):
            what = "has a meaning of its own in the column to."
            yield at(row, "stream", "name-taken", what, "Give the stream another name.")


def solution_circles(known: Mapping[str, Known]) -> tuple[list[Problem], frozenset[str]]:
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


def replacement_circles(known: Mapping[str, Known], catalogue: Catalogue) -> Iterator[Problem]:
    """Yield a problem a circle, at the first row in it."""
    told: set[frozenset[str]] = set()
    for row, replacement in known["replacements"]:
        try:
            catalogue.replaced(replacement.item)
        except ReplacementCircleError as circle:
            names = [fold(name) for name in circle.names]
            inside = frozenset(names[names.index(names[-1]) :])
            if row.key[0] in inside and inside not in told:
                told.add(inside)
                what, remedy = f"leads in a circle: {circle}.", "Take one of them out."
                yield at(row, "replaced_by", "replacement-circle", what, remedy)


def retired_names(
    known: Mapping[str, Known], catalogue: Catalogue, _substances: Mapping[str, Material]
) -> Iterator[Problem]:
    """Yield a problem for each session of a practical, or with an item, retired by its day."""
    ever_retired: dict[str, dict[str, Item | Solution]] = {}
    for row, session in known["timetable"]:
        key = fold(session.practical)
        practical = catalogue.practicals.get(key)
        if practical is None:
            continue
        if key not in ever_retired:
            ever_retired[key] = _ever_retired(practical, catalogue)
        if is_retired(practical, session.date):
            what = f"is retired from {practical.retired} on."
            remedy = "Name another practical, or bring it back into use."
            yield at(row, "practical", "name-retired", what, remedy)
        for name, used in ever_retired[key].items():
            if is_retired(used, session.date):
                what = f"uses {name}, which is retired by then."
                remedy = "Replace it in the table replacements, or change the practical's lines."
                yield at(row, "practical", "name-retired", what, remedy)


def _ever_retired(practical: Practical, catalogue: Catalogue) -> dict[str, Item | Solution]:
    """Return what the lines of a practical use that is retired on any day, by name as written."""
    found: dict[str, Item | Solution] = {}
    for line in catalogue.lines.get(fold(practical.practical), ()):
        try:
            name = catalogue.used_for(line.item)
        except ReplacementCircleError:
            continue  # told with the replacement
        used = catalogue.kept(fold(name))
        if used is not None and used.retired is not None:
            found[name] = used
    return found


def held_back_liquids(
    known: Mapping[str, Known],
    catalogue: Catalogue,
    substances: Mapping[str, Material],
    unsure: Unsure,
) -> Iterator[Problem]:
    """Yield a problem for each `holds_back` that names no liquid which its practical uses."""
    for row, line in known["practical_lines"]:
        practical = fold(line.practical)
        liquid = substances.get(fold(line.holds_back or ""))
        if liquid is None or practical in unsure.practicals:
            continue
        used = _used_in(practical, catalogue)
        name = _used_for(line.holds_back, catalogue)
        if name not in used:
            what = f"is not used in {line.practical}."
            yield at(row, "holds_back", "holds-back-unused", what, nearest(name, used.values()))
        elif not _is_a_liquid(substances.get(name)) or name == _used_for(line.item, catalogue):
            what = "is no liquid that this can hold back."
            remedy = "Name what is kept in mL, or in g with a density, and is not the agent itself."
            yield at(row, "holds_back", "holds-back-no-liquid", what, remedy)


def _used_in(practical: str, catalogue: Catalogue) -> Mapping[str, str]:
    """Return what a practical uses, by folded name after replacements, as its lines spell it."""
    lines = catalogue.lines.get(practical, ())
    return {_used_for(line.item, catalogue): line.item for line in lines}


def _used_for(name: str, catalogue: Catalogue) -> str:
    """Return the folded name of what is used; the name itself where replacements go in a circle."""
    try:
        return fold(catalogue.used_for(name))
    except ReplacementCircleError:
        return fold(name)  # told with the replacement


def _is_a_liquid(material: Material | None) -> bool:
    """Return whether a volume of it has an amount; of what is doubtful another check tells."""
    return material is None or material.is_liquid or bool(material.density)


def left_out_stages(
    known: Mapping[str, Known], catalogue: Catalogue, unsure: Unsure
) -> Iterator[Problem]:
    """Yield a problem for each stage left out that has no optional line."""
    for row, session in known["timetable"]:
        practical = fold(session.practical)
        if practical not in catalogue.practicals or practical in unsure.practicals:
            continue
        lines = catalogue.lines.get(fold(session.practical), ())
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
