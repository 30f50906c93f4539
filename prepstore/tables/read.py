"""A set of tables to written rows: a folder of CSV files or one workbook."""

import csv
import io
from collections.abc import Iterable, Iterator
from datetime import date, datetime, time
from pathlib import Path
from unicodedata import normalize

from prepstore.columns import TABLES, Table
from prepstore.facts import fold
from prepstore.formula_guard import unguarded
from prepstore.problems import Place, Problem, ProblemsError, nearest
from prepstore.written import WrittenRow

LONGEST_CELL = 32_767
"""Characters a spreadsheet cell can hold."""

_LONGEST_FIELD = 1_000_000
_EXACT_IN_A_SHEET = 1e15
_BYTES = "not-utf-8"
Cells = list[str]


def read_set(path: Path) -> tuple[dict[str, list[WrittenRow]], list[Problem]]:
    """Return the rows of a set by table, and what is wrong with the files themselves.

    Args:
        path: A folder of CSV files, or one `.xlsx`.

    Raises:
        ProblemsError: The path is neither, or the workbook cannot be opened.
    """
    rows: dict[str, list[WrittenRow]] = {}
    problems: list[Problem] = []
    for name, source, lines in _sheets(path, problems):
        table = TABLES.get(fold(name))
        if table is None:
            if any(any(cells) for _, cells in lines):
                what = f"there is no table '{name}'."
                problems.append(
                    Problem("table-unknown", Place(source), what, nearest(fold(name), TABLES))
                )
            continue
        rows[table.name] = list(_rows(table, source, lines, problems))
    if not rows and not problems:
        known = ", ".join(TABLES)
        problems.append(
            Problem("set-empty", Place(path.name), "there is no table in it.", f"Known: {known}.")
        )
    return rows, problems


Sheet = tuple[str, str, Iterable[tuple[int, Cells]]]


def _sheets(path: Path, problems: list[Problem]) -> Iterator[Sheet]:
    """Yield name, source and numbered rows of each table in a folder or workbook."""
    if path.is_dir():
        for file in sorted(path.glob("*.csv")):
            yield file.stem, file.name, _csv_lines(file, problems)
    elif not path.exists():
        raise ProblemsError(
            [Problem("set-missing", Place(str(path)), "is not there.", "Check the path.")]
        )
    elif path.suffix.lower() in (".xlsx", ".xlsm"):
        from prepstore.tables.workbook_cells import workbook_sheets  # noqa: PLC0415 - openpyxl

        yield from workbook_sheets(path, problems)
    else:
        what = "is neither a folder of CSV files nor an .xlsx workbook."
        raise ProblemsError(
            [Problem("set-unreadable", Place(path.name), what, "Save it as one of these.")]
        )


def _csv_lines(file: Path, problems: list[Problem]) -> list[tuple[int, Cells]]:
    """Return the rows of a CSV file, numbered as a spreadsheet numbers them."""
    try:
        text = file.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        row = error.object[: error.start].count(b"\n") + 1
        what = f"has a byte that is not UTF-8 in row {row}."
        problems.append(
            Problem(_BYTES, Place(file.name), what, "Save it as CSV UTF-8 (comma separated).")
        )
        return []
    csv.field_size_limit(_LONGEST_FIELD)
    try:
        reader = csv.reader(io.StringIO(text, newline=""), strict=True)
        return [
            (number, [unguarded(cell) for cell in cells])
            for number, cells in enumerate(reader, start=1)
        ]
    except csv.Error as error:
        what = f"is not a CSV file that can be read ({error})."
        problems.append(
            Problem("csv-unreadable", Place(file.name), what, "Check its quotation marks.")
        )
        return []


def _rows(
    table: Table, source: str, lines: Iterable[tuple[int, Cells]], problems: list[Problem]
) -> Iterator[WrittenRow]:
    """Yield the rows below the header that are not blank."""
    numbered = iter(lines)
    _, header = next(numbered, (1, []))
    columns = _header(table, source, header, problems)
    known = frozenset(column for column in columns if column)
    for number, cells in numbered:
        text: dict[str, str] = {}
        for position, cell in enumerate(cells):
            trimmed = cell.strip()
            if not trimmed:
                continue
            column = columns[position] if position < len(columns) else ""
            if position >= len(columns):
                problems.append(_beyond(table, source, number, trimmed))
            elif len(trimmed) > LONGEST_CELL:
                problems.append(_too_long(Place(source, table.name, number, column)))
            elif column:
                text[column] = normalize("NFC", trimmed)
        if text:
            yield WrittenRow(table.name, number, source, text, known)


def _header(table: Table, source: str, header: Cells, problems: list[Problem]) -> list[str]:
    """Return the known column that each cell of the header names, blank where it names none."""
    names = [fold(cell) for cell in header]
    while names and not names[-1]:
        names.pop()
    for position, name in enumerate(names):
        place = Place(source, table.name, 1, header[position].strip())
        if not name:
            what = "a column has no name."
            problems.append(Problem("column-unknown", place, what, "Name it, or take it out."))
        elif name in names[:position]:
            problems.append(
                Problem("column-twice", place, "stands in the header twice.", "Remove one.")
            )
        elif name not in table.columns:
            what = f"there is no column '{header[position].strip()}' in {table.name}."
            problems.append(Problem("column-unknown", place, what, nearest(name, table.columns)))
    for column in table.columns.values():
        if column.required and column.name not in names:
            what = f"the column {column.name} is missing."
            remedy = f"Add it: {column.about}"
            problems.append(
                Problem("column-missing", Place(source, table.name, 1, column.name), what, remedy)
            )
    return [name if name in table.columns else "" for name in names]


def _beyond(table: Table, source: str, number: int, value: str) -> Problem:
    return Problem(
        "row-too-long",
        Place(source, table.name, number),
        f"'{value}' stands where the header has no column.",
        "Give the column a name in row 1, or clear the cell; a text with a comma needs quotes.",
    )


def _too_long(place: Place) -> Problem:
    return Problem(
        "cell-too-long",
        place,
        "holds more characters than a spreadsheet cell can.",
        f"Shorten it to {LONGEST_CELL:,} characters.",
    )


def cell_text(value: object) -> str:
    """Return what a workbook's cell holds as text, the way people write it in a CSV.

    >>> cell_text(24.0), cell_text(0.15), cell_text(datetime(2027, 2, 3)), cell_text(True)
    ('24', '0.15', '2027-02-03', 'yes')
    """
    match value:
        case None:
            text = ""
        case bool():
            text = "yes" if value else "no"
        case int() | float():
            text = f"{value:.15g}" if abs(value) < _EXACT_IN_A_SHEET else repr(value)
        case datetime() if value.time() == time(0):
            text = value.date().isoformat()
        case time() if value.second == 0:
            text = value.isoformat("minutes")
        case date() | time():
            text = value.isoformat()
        case _:
            text = str(value)
    return text
