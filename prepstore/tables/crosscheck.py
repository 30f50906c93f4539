"""A whole set of tables understood and checked: its facts, and all that is wrong with it."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Set
from dataclasses import dataclass
from typing import Any, Final

from prepstore.amounts import STRENGTH_BASES, Kind, WrittenAmount
from prepstore.catalogue import Catalogue, ReplacementCircleError
from prepstore.cell_types import ItemKind, StockUnit, fold
from prepstore.chemistry.conversions import Material
from prepstore.chemistry.formulae import elements
from prepstore.chemistry.materials import materials
from prepstore.containers import ContainersHeld
from prepstore.facts import Lot, OnOrder
from prepstore.problems import Problem, at
from prepstore.stores import Stores, stores_of
from prepstore.tables.amount_checks import broken_counts, restock_below_minimum, routes
from prepstore.tables.name_checks import (
    held_back_liquids,
    left_out_stages,
    replacement_circles,
    retired_names,
    solution_circles,
    spelled_names,
    unknown_ends,
    unknown_name_problems,
)
from prepstore.tables.part_checks import wrong_parts
from prepstore.tables.understand import (
    Known,
    catalogue_of,
    facts_of,
    read_settings,
    to_come,
    understand,
)
from prepstore.tables.unsure import unsure_about
from prepstore.timetable import Timetable
from prepstore.written import WrittenSet


@dataclass(frozen=True, slots=True)
class Checked:
    """What a set of tables comes to once understood, and all problems.

    `materials` leaves out what a mistake makes doubtful; without problems it is the catalogue's.
    `known` are the facts beside their rows.
    """

    known: Mapping[str, Known]
    catalogue: Catalogue
    timetable: Timetable
    lots: tuple[Lot, ...]
    on_order: tuple[OnOrder, ...]
    materials: Mapping[str, Material]
    problems: tuple[Problem, ...]

    def stores(
        self, balances: Mapping[str, int], containers: ContainersHeld | None = None
    ) -> Stores:
        """Return what is in the stores, given what each lot holds, in billionths.

        Waste containers are as their streams' rows say where they are not given.
        """
        return stores_of(self.catalogue, self.lots, self.on_order, balances, containers)


def checked(written: WrittenSet, of_files: Iterable[Problem] = ()) -> Checked:
    """Return the facts of a whole set, and everything in it that is wrong.

    Args:
        written: All rows.
        of_files: What the reader has told already; what merely follows from it is not told.
    """
    known, problems = understand(written)
    settings, wrong_settings = read_settings(known["settings"])
    problems += wrong_settings
    names = spelled_names(written)
    unsure = unsure_about(written, known, of_files)
    problems += unknown_name_problems(written, names, unsure)
    catalogue = catalogue_of(known, settings)
    problems += replacement_circles(known, catalogue)
    circles, in_circles = solution_circles(known)
    problems += circles
    misdescribed, in_doubt = _misdescribed_items(known)
    problems += misdescribed
    in_doubt |= in_circles | unsure.solutions | (catalogue.items.keys() & catalogue.solutions)
    substances = materials(
        _without(catalogue.items, in_doubt),
        _without(catalogue.solutions, in_doubt),
        _without(catalogue.parts, in_doubt),
        settings.drop,
    )
    wrong_parts_found, wrong = wrong_parts(known, catalogue, substances)
    problems += wrong_parts_found
    substances = {name: made for name, made in substances.items() if name not in wrong}
    for check in _CHECKS:
        problems += check(known, catalogue, substances)
    problems += left_out_stages(known, catalogue, unsure)
    problems += held_back_liquids(known, catalogue, substances, unsure)
    problems += unknown_ends(known, names, unsure)
    return Checked(
        known,
        catalogue,
        Timetable(facts_of(known["timetable"])),
        facts_of(known["stock"]),
        to_come(known["on_order"]),
        substances,
        tuple(dict.fromkeys(problems)),
    )


def _without(of: Mapping[str, Any], names: Set[str]) -> dict[str, Any]:
    """Return a mapping without the items or solutions of which something is in doubt."""
    return {name: fact for name, fact in of.items() if name not in names}


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
    known: Mapping[str, Known], _catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    for row, item in known["items"]:
        columns = ("minimum", "restock_to", "daily_capacity", "most_held")
        yield from routes(row, item, columns, substances.get(fold(item.item)))
        yield from restock_below_minimum(row, item, substances.get(fold(item.item)))


def _solution_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    for row, solution in known["solutions"]:
        material = substances.get(fold(solution.solution))
        columns = ("step", "largest_batch", "minimum", "restock_to")
        yield from routes(row, solution, columns, material)
        yield from restock_below_minimum(row, solution, material)


def _hazard_limit_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, limit in known["hazard_limits"]:
        if limit.from_ is not None and limit.below is not None and limit.from_ >= limit.below:
            what = f"is not more than {row.text['from']}, from which the row holds."
            yield at(row, "below", "limits-crossed", what, "Give a larger share, or leave it.")
        is_euh = limit.class_.startswith("EUH") or limit.h_code.startswith("EUH")
        if is_euh and limit.class_ != limit.h_code:
            what = f"does not go with the class {limit.class_}."
            remedy = "An EUH code stands both as class and as h_code."
            yield at(row, "h_code", "hazard-code-of-another-class", what, remedy)


def _line_rows(
    known: Mapping[str, Known], catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    for row, line in known["practical_lines"]:
        item = catalogue.items.get(fold(line.item))
        if item is not None and item.kind is ItemKind.APPARATUS and line.to:
            what = "is where apparatus ends, but apparatus comes back."
            yield at(row, "to", "apparatus-to", what, "Leave it blank.")
        try:
            used = catalogue.used_for(line.item)
        except ReplacementCircleError:
            continue  # told with the replacement
        yield from routes(row, line, ("amount",), substances.get(fold(used)))


def _timetable_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, session in known["timetable"]:
        if session.start and session.end and session.end <= session.start:
            what = f"is not after the start, {session.start:%H:%M}."
            yield at(row, "end", "end-before-start", what, "Give a later end.")


def _stock_rows(
    known: Mapping[str, Known], catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    for row, lot in known["stock"]:
        yield from routes(row, lot, ("amount",), substances.get(fold(lot.item)))
        yield from broken_counts(row, "amount", lot.amount, substances.get(fold(lot.item)))
        if lot.opened and lot.containers > 1:
            what = f"is a date for a lot of {lot.containers} containers."
            remedy = "Give the opened container a lot of its own."
            yield at(row, "opened", "opened-of-several", what, remedy)
        solution = catalogue.solutions.get(fold(lot.item))
        if solution and solution.shelf_life is not None and lot.expiry is None:
            what = f"expiry is blank, and {solution.solution} keeps {solution.shelf_life} days."
            yield at(row, "expiry", "expiry-missing", what, "Give the day until which it keeps.")


def _pack_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, substances: Materials
) -> Iterator[Problem]:
    for row, pack in known["packs"]:
        yield from routes(row, pack, ("size",), substances.get(fold(pack.item)))
        yield from broken_counts(row, "size", pack.size, substances.get(fold(pack.item)))


def _storage_limit_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, limit in known["storage_limits"]:
        kinds = {portion.kind for portion in limit.most.portions}
        if kinds not in ({Kind.MASS}, {Kind.VOLUME}):
            what = "is not a mass or a volume."
            yield at(row, "most", "storage-limit-kind", what, "Give it in g, kg, mL or L.")


def _stream_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, _substances: Materials
) -> Iterator[Problem]:
    for row, stream in known["waste_streams"]:
        kind: Kind = stream.measure.kind
        for column in ("container", "part_full"):
            written: WrittenAmount | None = getattr(stream, column)
            if written and any(portion.kind is not kind for portion in written.portions):
                what = f"is not a {stream.measure}, which this stream is filled by."
                yield at(row, column, "stream-measure", what, f"Give it in {kind}.")


def _replacement_rows(
    known: Mapping[str, Known], _catalogue: Catalogue, substances: Materials
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
    tuple[Callable[[Mapping[str, Known], Catalogue, Materials], Iterator[Problem]], ...]
] = (
    _item_rows,
    _solution_rows,
    _hazard_limit_rows,
    _line_rows,
    _timetable_rows,
    retired_names,
    _stock_rows,
    _pack_rows,
    _storage_limit_rows,
    _stream_rows,
    _replacement_rows,
)
