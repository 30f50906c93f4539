"""A set of tables to written rows: a folder of CSV files or one workbook."""

import csv
import io
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import NoReturn
from unicodedata import normalize

from prepstore.cell_types import fold
from prepstore.columns import TABLES, Table
from prepstore.formula_guard import unguarded
from prepstore.history import EVERY_TABLE, HISTORY, YOUNGER, Verbatim
from prepstore.problems import Place, Problem, ProblemsError, closest, cut, nearest
from prepstore.tables.cell_text import Cells, wrong_with
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow

_LONGEST_FIELD = 1_000_000
_BYTES = "not-utf-8"
Lines = Iterable[tuple[int, Cells]]


def read_set(
    path: Path, own: list[str] | None = None
) -> tuple[dict[str, list[WrittenRow]], list[Problem]]:
    """Return the rows of a set by table, and what is wrong with the files themselves.

    Sheets, files and columns whose name begins with `my ` are a person's own, and left out.

    Args:
        path: A folder of CSV files, or one `.xlsx`.
        own: Where given, what was left out is added to it, in words.

    Raises:
        ProblemsError: The path is neither, or the workbook cannot be opened.
    """
    rows: dict[str, list[WrittenRow]] = {}
    problems: list[Problem] = []
    left_out = own if own is not None else []
    for name, source, lines in _sheets(path, problems):
        if _is_own(name):
            left_out += [f"'{name.strip()}'"] if name != LISTS else []
            continue
        table = EVERY_TABLE.get(fold(name))
        if table is None:
            problems += _unknown_table(name, source, lines)
        elif table.name in rows:
            what = f"gives the table {table.name}, which the set has already."
            problems.append(
                Problem("table-twice", Place(source, table.name), what, "Keep one of the two.")
            )
        else:
            numbered = list(lines)
            heading = numbered[0][1] if numbered else []
            left_out += [
                f"column '{cell.strip()}' of {table.name}" for cell in heading if _is_own(cell)
            ]
            rows[table.name] = list(_rows(table, source, numbered, problems))
    if not rows and not problems:
        known = ", ".join(TABLES)
        problems.append(
            Problem("set-empty", Place(path.name), "there is no table in it.", f"Known: {known}.")
        )
    problems += _half_a_history(path, rows, problems)
    return rows, problems


_OWN = "my "
LISTS = f"{_OWN}lists (for the drop-downs)"
"""The sheet from which the drop-down lists of a template or an export take their words."""


def _is_own(name: str) -> bool:
    """Return whether a sheet or a column is a person's own, which no table has."""
    return f"{fold(name)} ".startswith(_OWN)


def has_history(rows: Iterable[str]) -> bool:
    """Return whether any of the named tables is one of a history."""
    return not HISTORY.keys().isdisjoint(rows)


def _half_a_history(
    path: Path, rows: Iterable[str], problems: Iterable[Problem]
) -> Iterator[Problem]:
    """Yield a problem where a set has some tables of a history and lacks others."""
    told = {problem.place.table for problem in problems}
    missing = [name for name in HISTORY if name not in {*rows, *told, *YOUNGER}]
    if has_history(rows) and missing:
        what = f"has tables of a history, and lacks {', '.join(missing)}."
        remedy = "Export it again with --history, or take out every table of the history."
        yield Problem("history-incomplete", Place(path.name), what, remedy)


def _unknown_table(name: str, source: str, lines: Lines) -> Iterator[Problem]:
    """Yield a problem for a table that is not known, unless there is nothing in it."""
    if any(any(cells) for _, cells in lines):
        what = f"there is no table '{name}'."
        known = EVERY_TABLE if closest(name, HISTORY) else TABLES
        yield Problem("table-unknown", Place(source), what, nearest(name, known))


NamedLines = tuple[str, str, Lines]


def _sheets(path: Path, problems: list[Problem]) -> Iterator[NamedLines]:
    """Yield name, source and numbered rows of each table in a folder or workbook."""
    if path.is_dir():
        for file in sorted(path.iterdir()):
            # A name that begins with a dot is the system's own, such as the ._items.csv of a Mac.
            if file.suffix.lower() == ".csv" and not file.name.startswith("."):
                lines = _csv_lines(file, problems)
                if lines is not None:
                    yield file.stem, file.name, lines
    elif not path.exists():
        _refuse("set-missing", str(path), "is not there.", "Check the path.")
    elif path.suffix.lower() in (".xlsx", ".xlsm"):
        from prepstore.tables.workbook_cells import workbook_sheets  # noqa: PLC0415 - openpyxl

        yield from workbook_sheets(path, problems)
    elif path.suffix.lower() == ".csv":
        what = "is one table."
        _refuse("set-unreadable", path.name, what, "Give the folder that holds the CSV files.")
    else:
        what = "is neither a folder of CSV files nor an .xlsx workbook."
        _refuse("set-unreadable", path.name, what, "Save it as one of these.")


def _refuse(code: str, source: str, what: str, remedy: str) -> NoReturn:
    raise ProblemsError([Problem(code, Place(source), what, remedy)])


def _csv_lines(file: Path, problems: list[Problem]) -> list[tuple[int, Cells]] | None:
    """Return the rows of a CSV file, numbered as a spreadsheet numbers them; None where it fails.

    A row is told with its number, which a line break within quotation marks does not advance.
    """
    place = Place(file.name, fold(file.stem))
    rows: list[tuple[int, Cells]] = []
    csv.field_size_limit(_LONGEST_FIELD)
    try:
        text = file.read_bytes().decode("utf-8-sig")
        if "\0" in text:
            problems.append(_not_utf_8(place, "holds NUL characters, as a UTF-16 file does."))
            return None
        if (separator := _other_separator(place, text)) is not None:
            problems.append(separator)
            return None
        may_be_guarded = "'" in text
        for number, cells in enumerate(_csv_reader(text), start=1):
            rows.append((number, list(map(unguarded, cells)) if may_be_guarded else cells))
    except UnicodeDecodeError as error:
        before = error.object[: error.start].decode()
        row = max(len(before.splitlines()), 1) + before.endswith(("\n", "\r"))
        problems.append(_not_utf_8(place, f"has a byte that is not UTF-8 in line {row}."))
        return None
    except csv.Error as error:
        what = f"is not a CSV file that can be read from row {len(rows) + 1} on ({error})."
        problems.append(Problem("csv-unreadable", place, what, "Check its quotation marks."))
        return None
    except OSError as error:
        what = f"cannot be read: {error.strerror or error}."
        problems.append(Problem("file-unreadable", place, what, "Check who may read it."))
        return None
    return rows


def _csv_reader(text: str) -> Iterator[Cells]:
    return csv.reader(io.StringIO(text, newline=""), strict=True)


def _other_separator(place: Place, text: str) -> Problem | None:
    """Return a problem where the first line names columns, and no comma between them."""
    table = EVERY_TABLE.get(place.table)
    first = fold(text.partition("\n")[0])
    for sign, word in ((";", "semicolons"), ("\t", "tabs")):
        names = [part.strip(' "') for part in first.split(sign)]
        if table is not None and len(names) > 1 and table.columns.keys() & set(names):
            what = f"its columns are separated by {word}."
            there = Place(place.source, place.table, 1)
            return Problem("csv-separator", there, what, "Save it as CSV separated by commas.")
    return None


def _not_utf_8(place: Place, what: str) -> Problem:
    return Problem(_BYTES, place, what, "Save it as CSV UTF-8 (comma separated).")


@dataclass(frozen=True)
class _Header:
    """The known column that each position names, blank where none, and what it ought to name."""

    table: Table
    source: str
    columns: list[str]
    missing: frozenset[str]
    verbatim: frozenset[str]

    @cached_property
    def known(self) -> frozenset[str]:
        return frozenset(column for column in self.columns if column)


def _rows(table: Table, source: str, lines: Lines, problems: list[Problem]) -> Iterator[WrittenRow]:
    """Yield the rows below the header that are not blank."""
    numbered = iter(lines)
    first, cells = next(numbered, (0, []))
    wrong = _no_header(table, source, cells if first == 1 else [])
    if wrong is not None:
        problems.append(wrong)
        return
    header = _header(table, source, cells, problems)
    for number, row in numbered:
        written = _row(header, number, row, problems)
        if written is not None:
            yield written


def _row(header: _Header, number: int, cells: Cells, problems: list[Problem]) -> WrittenRow | None:
    """Return a row's text by column, or None for a blank one; what is wrong with it is told."""
    text: dict[str, str] = {}
    told = header.missing
    for position, cell in enumerate(cells):
        value, wrong = _read_cell(cell)
        if not value:
            continue
        if position >= len(header.columns):
            # What stands before it may have moved along too, so none of the row is trusted.
            problems.append(_beyond(Place(header.source, header.table.name, number), value))
            told |= header.table.columns.keys()
            break
        column = header.columns[position]
        if column in header.verbatim:
            value, wrong = cell, wrong_with(cell, is_verbatim=True)
        if column and wrong is not None:
            place = Place(header.source, header.table.name, number, column)
            problems.append(Problem(wrong.code, place, wrong.what, wrong.remedy))
            told |= {column}
        elif column:
            text[column] = value
    if not text and told == header.missing:
        return None
    return WrittenRow(header.table.name, number, header.source, text, header.known, told)


@cache
def _read_cell(cell: str) -> tuple[str, UnreadableError | None]:
    """Return a cell's text and what is wrong with it whatever its column holds.

    The text is composed, with line ends that a workbook gives back as they went in.
    """
    text = normalize("NFC", cell.replace("\r\n", "\n").replace("\r", "\n").strip())
    return text, wrong_with(text)


def _no_header(table: Table, source: str, cells: Cells) -> Problem | None:
    """Return what is wrong where row 1 names no column at all."""
    names = [name for cell in cells if (name := _spelled(table, cell))]
    required = [column.name for column in table.columns.values() if column.required]
    # A title such as Notes may be the name of a column by chance.
    is_title = len(names) == 1 < len(required) and names[0] not in required
    if table.columns.keys() & set(names) and not is_title:
        return None
    place = Place(source, table.name, 1)
    what = "is blank." if not names else f"names no column of {table.name}."
    remedy = f"Put the names of the columns there, at least: {', '.join(required)}."
    return Problem("header-missing", place, what, remedy)


def _header(table: Table, source: str, header: Cells, problems: list[Problem]) -> _Header:
    """Return the columns that the header names, after noting what is wrong with it."""
    names = [_spelled(table, cell) for cell in header]
    while names and not names[-1]:
        names.pop()
    absent = [column for column in table.columns.values() if column.name not in names]
    # A column that is missing is the likeliest one to be meant by a name that is not known.
    meant = {
        closest(name, [column.name for column in absent])
        for name in names
        if name and name not in table.columns and not _is_own(name)
    }
    for position, name in enumerate(names):
        place = Place(source, table.name, 1, cut(header[position].strip()))
        if not name:
            behind = cut(header[position - 1].strip()) if position else "nothing"
            what, remedy = f"the column after {behind} has no name.", "Name it, or take it out."
            problems.append(Problem("column-unknown", place, what, remedy))
        elif name in names[:position]:
            what = "is in the header twice."
            problems.append(Problem("column-twice", place, what, "Remove one."))
        elif name not in table.columns and not _is_own(name):
            problems.append(_unknown_column(table, place, [column.name for column in absent]))
    for column in absent:
        if column.required and column.name not in meant:
            what, remedy = f"the column {column.name} is missing.", f"Add it: {column.about}"
            place = Place(source, table.name, 1, column.name)
            problems.append(Problem("column-missing", place, what, remedy))
    return _Header(
        table,
        source,
        [_known_once(table, names, position) for position in range(len(names))],
        frozenset(column.name for column in absent if column.required),
        frozenset(column.name for column in table.columns.values() if column.reads is Verbatim),
    )


def _spelled(table: Table, heading: str) -> str:
    """Return a heading as its column is spelled, or folded where it names none."""
    name = fold(heading)
    # Only pH has a capital letter.
    return next((one for one in table.columns if fold(one) == name), name)


def _known_once(table: Table, names: list[str], position: int) -> str:
    name = names[position]
    return name if name in table.columns and name not in names[:position] else ""


def _unknown_column(table: Table, place: Place, absent: list[str]) -> Problem:
    close = closest(place.column, absent)
    remedy = f"Did you mean {close}?" if close else nearest(place.column, table.columns)
    what = f"there is no column '{place.column}' in {table.name}."
    return Problem("column-unknown", place, what, remedy)


def _beyond(place: Place, value: str) -> Problem:
    return Problem(
        "row-too-long",
        place,
        f"'{cut(value)}' is in a column that has no name in the header.",
        "Give the column a name in row 1, or clear the cell; a text with a comma needs quotes.",
    )
