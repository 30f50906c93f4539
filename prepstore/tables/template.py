"""An empty set of tables to fill in: notes, drop-down lists and formats that keep text text."""

import datetime
import io
from collections.abc import Iterator
from errno import EEXIST
from pathlib import Path
from typing import Final

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.columns import NAMED_IN, SETTING_FIELD, TABLES, Column, Table, columns_of
from prepstore.settings import Settings
from prepstore.tables.write import write_set
from prepstore.whole_file import write_whole

ROWS = 2000
"""How many rows below the heading have drop-down lists."""

_REQUIRED = PatternFill("solid", fgColor="FFF2CC")
_HEADING = Font(bold=True)
_FORMATS: Final = {datetime.date: "yyyy-mm-dd", datetime.time: "hh:mm"}
_TEXT = "@"
_NARROWEST, _WIDEST = 12, 40


def write_template(path: Path) -> None:
    """Write an empty set of tables: one `.xlsx`, or a folder of CSV files with headings only.

    Raises:
        FileExistsError: Something is there already; a filled-in set is never written over.
        OSError: The place cannot be written.
    """
    if path.exists() and (path.is_file() or any(path.iterdir())):
        raise FileExistsError(EEXIST, "there is something there already", str(path))
    if path.suffix.lower() == ".xlsx":
        write_whole(path, template_bytes())
    else:
        write_set({}, path)


def template_bytes() -> bytes:
    """Return the workbook's file: a sheet a table, headings with notes, nothing below them.

    The sheet `settings` names every setting; a blank value is its default.
    """
    book = Workbook()
    for sheet in book.worksheets:
        book.remove(sheet)
    for table in TABLES.values():
        _write_sheet(book.create_sheet(table.name), table)
    _name_settings(book["settings"])
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _write_sheet(sheet: Worksheet, table: Table) -> None:
    sheet.freeze_panes = "A2"
    for position, column in enumerate(table.columns.values(), start=1):
        heading = sheet.cell(1, position, column.name)
        heading.font = _HEADING
        if column.required:
            heading.fill = _REQUIRED
        heading.comment = Comment(_note(column), "prepstore", height=120, width=300)
        letter = get_column_letter(position)
        width = len(column.example) + 2
        sheet.column_dimensions[letter].width = min(max(width, _NARROWEST), _WIDEST)
        # Text keeps 1-2 from becoming a date, and lot 00123 from losing its zeros.
        sheet.column_dimensions[letter].number_format = _FORMATS.get(column.reads, _TEXT)
        for choice in _choices(table, column):
            choice.add(f"{letter}2:{letter}{ROWS}")
            sheet.add_data_validation(choice)


def _note(column: Column) -> str:
    must = "Must be given. " if column.required else ""
    example = f"\nFor example: {column.example}" if column.example else ""
    return f"{must}{column.about}{example}"


def _choices(table: Table, column: Column) -> Iterator[DataValidation]:
    """Yield the drop-down list of a column of fixed words, or of names from another table."""
    words = column.fixed_words
    named_in = NAMED_IN.get((table.name, column.name))
    if words:
        yield DataValidation(
            type="list",
            formula1=f'"{",".join(words)}"',
            allow_blank=True,
            showErrorMessage=True,
            errorTitle="prepstore",
            error=f"One of: {', '.join(words)}",
        )
    elif named_in:
        # Names of another table are proposed, not forced: that table may be filled in later.
        first = get_column_letter(1)
        yield DataValidation(
            type="list",
            formula1=f"{named_in[0]}!${first}$2:${first}${ROWS}",
            allow_blank=True,
            showErrorMessage=False,
        )


def _name_settings(sheet: Worksheet) -> None:
    columns = columns_of(Settings)
    for row, (name, field) in enumerate(SETTING_FIELD.items(), start=2):
        cell = sheet.cell(row, 1, name)
        cell.number_format = _TEXT
        cell.comment = Comment(
            f"{columns[field].about}\nFor example: {columns[field].example}", "prepstore"
        )
