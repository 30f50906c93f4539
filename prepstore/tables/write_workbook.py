"""A set of tables as one workbook to work on: dates and numbers are such, all else stays text."""

import io
from typing import Any
from zipfile import ZipFile

from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell, MergedCell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.columns import Table
from prepstore.problems import RefusedError
from prepstore.tables.cell_text import LONGEST_CELL
from prepstore.tables.fillable_sheets import add_lists, make_fillable, typed
from prepstore.tables.workbook_cells import LARGEST_UNPACKED, MOST_CELLS, MOST_ROWS
from prepstore.tables.written_tables import written_columns, written_tables
from prepstore.written import WrittenRow, WrittenSet

_WIDEST = 48
_INTO_A_FOLDER = "Export into a folder of CSV files instead: give a path without .xlsx."


def workbook_bytes(rows: WrittenSet) -> bytes:
    """Return the workbook's file: a sheet a table, headings in row 1.

    Raises:
        RefusedError: It would lose something, or could not be read again; names the folder form.
    """
    reasons = [
        reason
        for name, table in written_tables(rows).items()
        if (reason := _what_no_sheet_holds(table, rows.get(name, [])))
    ]
    if reasons:
        raise RefusedError(*reasons, _INTO_A_FOLDER)
    content = _saved(rows)
    with ZipFile(io.BytesIO(content)) as parts:
        if sum(part.file_size for part in parts.infolist()) > LARGEST_UNPACKED:
            raise RefusedError("The tables are too large for one workbook.", _INTO_A_FOLDER)
    return content


def _what_no_sheet_holds(table: Table, rows: list[WrittenRow]) -> str:
    """Return why a sheet cannot hold a table; blank where it can."""
    if len(rows) >= MOST_ROWS or len(rows) * len(table.columns) > MOST_CELLS:
        return f"Table {table.name} has {len(rows):,} rows, more than a sheet can hold."
    for number, row in enumerate(rows, start=2):
        for column, cell in row.text.items():
            if len(cell) > LONGEST_CELL or "\r" in cell or ILLEGAL_CHARACTERS_RE.search(cell):
                what = "has a text that no sheet can hold"
                return f"Table {table.name}, row {number}, column {column} {what}."
    return ""


def _saved(rows: WrittenSet) -> bytes:
    book = Workbook()
    for sheet in book.worksheets:
        book.remove(sheet)
    for name, table in written_tables(rows).items():
        _write_sheet(book.create_sheet(name), table, rows.get(name, []))
    add_lists(book, len(rows.get("items", [])), len(rows.get("solutions", [])))
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _write_sheet(sheet: Worksheet, table: Table, rows: list[WrittenRow]) -> None:
    columns = written_columns(table, rows)
    make_fillable(sheet, table, columns, len(rows))
    for position, column in enumerate(columns, start=1):
        longest = max((len(row.text.get(column, "")) for row in rows), default=0)
        width = min(max(longest, len(column)) + 2, _WIDEST)
        sheet.column_dimensions[get_column_letter(position)].width = width
        for number, row in enumerate(rows, start=2):
            _write_cell(
                sheet.cell(number, position),
                *typed(table.columns[column], row.text.get(column, "")),
            )


def _write_cell(cell: Cell | MergedCell, value: Any, number_format: str) -> None:  # noqa: ANN401 - any value
    if value != "":
        cell.value = value
        cell.number_format = number_format
    if isinstance(value, str) and value:
        # A text that begins with = would become a formula.
        cell.data_type = "s"
