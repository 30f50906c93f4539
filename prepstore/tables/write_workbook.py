"""A set of tables as one workbook, every cell a text, so that nothing is turned into a date."""

import io

from openpyxl import Workbook
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.columns import TABLES, Table
from prepstore.tables.write import written_columns
from prepstore.written import WrittenRow, WrittenSet

_WIDEST = 48
_TEXT = "@"
_HEADING = Font(bold=True)


def workbook_bytes(rows: WrittenSet) -> bytes:
    """Return the workbook's file: a sheet a table, headings in row 1."""
    book = Workbook()
    for sheet in book.worksheets:
        book.remove(sheet)
    for name, table in TABLES.items():
        _write_sheet(book.create_sheet(name), table, rows.get(name, []))
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _write_sheet(sheet: Worksheet, table: Table, rows: list[WrittenRow]) -> None:
    sheet.freeze_panes = "A2"
    for position, column in enumerate(written_columns(table, rows), start=1):
        longest = max((len(row.text.get(column, "")) for row in rows), default=0)
        width = min(max(longest, len(column)) + 2, _WIDEST)
        sheet.column_dimensions[get_column_letter(position)].width = width
        _write_text(sheet, 1, position, column)
        sheet.cell(1, position).font = _HEADING
        for number, row in enumerate(rows, start=2):
            _write_text(sheet, number, position, row.text.get(column, ""))


def _write_text(sheet: Worksheet, row: int, column: int, text: str) -> None:
    if text:
        cell = sheet.cell(row, column, text)
        # A text that begins with = would become a formula.
        cell.data_type = "s"
        cell.number_format = _TEXT
