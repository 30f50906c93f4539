"""A counting sheet that has been filled in: what was found of each lot."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from prepstore.amounts import Kind, WrittenAmount
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material
from prepstore.problems import Place, Problem, ProblemsError, at, nearest
from prepstore.tables.amount_checks import broken_counts, route_problems
from prepstore.tables.cell_text import Cells, wrong_with
from prepstore.tables.units import read_amount
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow

SHEET: Final = "count"
_STAMP = re.compile(r"after movement ([0-9]+)")
_LOT, _COUNTED, _NOTE = "Lot", "Counted", "Note"
_BARE_COUNT = re.compile(r"[0-9]{1,6}")


@dataclass(frozen=True, slots=True)
class Found:
    """What was found of a lot, as typed, and the remark beside it on one line (blank: none)."""

    lot: str
    amount: WrittenAmount
    note: str


@dataclass(frozen=True, slots=True)
class CountingSheet:
    """What a sheet says was found, and the last movement before it was written."""

    found: tuple[Found, ...]
    after_movement: int


def read_counting_sheet(path: Path, lots: Mapping[str, Material]) -> CountingSheet:
    """Return what a filled-in counting sheet says; rows with nothing counted are left out.

    Args:
        path: The workbook.
        lots: What is in each lot of the store, by its label.

    Raises:
        ProblemsError: It is no counting sheet, or cells of it cannot be read; all are told.
    """
    from prepstore.tables.workbook_cells import workbook_sheets  # noqa: PLC0415 - openpyxl

    problems: list[Problem] = []
    sheets = [sheet for sheet in workbook_sheets(path, problems) if fold(sheet[0]) == SHEET]
    if not sheets:
        raise ProblemsError([*problems, _no_sheet(path.name)])
    _, source, lines = sheets[0]
    stamp = next((number for _, cells in lines if (number := _stamp(cells))), None)
    heading = next(
        (line for line in lines if {fold(_LOT), fold(_COUNTED)} <= set(map(fold, line[1]))), None
    )
    if stamp is None or heading is None:
        raise ProblemsError([*problems, _no_sheet(source)])
    filled = list(_filled(source, heading, lines))
    problems += _lots_not_known(filled, lots)
    found = tuple(_read(filled, lots, problems))
    if problems:
        raise ProblemsError(sorted(problems, key=lambda problem: problem.place.row))
    return CountingSheet(found, int(stamp))


def _no_sheet(source: str) -> Problem:
    what = "is not a counting sheet as prepstore stock count --sheet writes it."
    remedy = "Fill in the one that it wrote, and leave its title and headings."
    return Problem("no-counting-sheet", Place(source), what, remedy)


def _stamp(cells: Cells) -> str | None:
    found = _STAMP.search(" ".join(cells))
    return found[1] if found else None


def _filled(
    source: str, heading: tuple[int, Cells], lines: list[tuple[int, Cells]]
) -> Iterator[WrittenRow]:
    """Yield the rows in which something was counted, with the cells that are read."""
    names = [fold(cell) for cell in heading[1]]
    wanted = {
        name: names.index(fold(name)) for name in (_LOT, _COUNTED, _NOTE) if fold(name) in names
    }
    for number, cells in lines:
        text = {
            name: cells[position].strip()
            for name, position in wanted.items()
            if position < len(cells) and cells[position].strip()
        }
        if number > heading[0] and _COUNTED in text:
            yield WrittenRow("", number, source, text)


def _lots_not_known(filled: list[WrittenRow], lots: Mapping[str, Material]) -> Iterator[Problem]:
    known = {fold(label) for label in lots}
    seen: dict[str, int] = {}
    for row in filled:
        lot = row.text.get(_LOT, "")
        if fold(lot) not in known:
            what = "is not a lot of the store." if lot else "the label of the lot is blank."
            remedy = nearest(lot, lots) or "Receive what is not in the store yet."
            yield at(row, _LOT, "lot-unknown", what, remedy)
        elif fold(lot) in seen:
            what = f"is counted in row {seen[fold(lot)]} already."
            yield at(row, _LOT, "lot-twice", what, "Keep one of the two.")
        seen.setdefault(fold(lot), row.number)


def _read(
    filled: list[WrittenRow], lots: Mapping[str, Material], problems: list[Problem]
) -> Iterator[Found]:
    by_fold = {fold(label): material for label, material in lots.items()}
    for row in filled:
        lot = row.text.get(_LOT, "")
        material = by_fold.get(fold(lot))
        try:
            amount = _amount(row.text[_COUNTED], material)
        except UnreadableError as error:
            problems.append(
                at(_without_formula(row), _COUNTED, error.code, error.what, error.remedy)
            )
            continue
        if material is not None:
            problems += route_problems(row, _COUNTED, amount, material)
            problems += broken_counts(row, _COUNTED, amount, material)
        problems += _wrong_note(row)
        yield Found(lot, amount, _note(row))


_LONGEST_NOTE: Final = 500


def _note(row: WrittenRow) -> str:
    """Return what was noted of a lot, on one line."""
    return " ".join(row.text.get(_NOTE, "").split())


def _wrong_note(row: WrittenRow) -> Iterator[Problem]:
    note = _note(row)
    if not note.isprintable() or len(note) > _LONGEST_NOTE:
        what = f"is not a line of plain text of at most {_LONGEST_NOTE} characters."
        yield at(row, _NOTE, "note-unreadable", what, "Shorten it, or type it again.")


def _amount(text: str, material: Material | None) -> WrittenAmount:
    """Return what was counted; counted things need no unit."""
    if (wrong := wrong_with(text)) is not None:
        raise wrong
    is_counted = material is not None and material.unit is Kind.COUNT
    is_bare = is_counted and _BARE_COUNT.fullmatch(text)
    return read_amount(f"{text} {Kind.COUNT}" if is_bare else text)


def _without_formula(row: WrittenRow) -> WrittenRow:
    """Return a row without a cell whose text is no text that anybody typed."""
    is_text = wrong_with(row.text[_COUNTED]) is None
    return row if is_text else replace(row, text={_LOT: row.text.get(_LOT, "")})
