"""An empty set of tables to fill in: notes, drop-down lists and formats that keep text text."""

import io
from errno import EEXIST
from pathlib import Path

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.columns import SETTING_FIELD, TABLES, Table, columns_of
from prepstore.settings import Settings
from prepstore.tables.fillable_sheets import TEXT, add_lists, make_fillable
from prepstore.tables.write import write_set
from prepstore.whole_file import write_whole

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
    add_lists(book, items=0, solutions=0)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _write_sheet(sheet: Worksheet, table: Table) -> None:
    make_fillable(sheet, table, tuple(table.columns), rows=0)
    for position, column in enumerate(table.columns.values(), start=1):
        width = len(column.example) + 2
        letter = get_column_letter(position)
        sheet.column_dimensions[letter].width = min(max(width, _NARROWEST), _WIDEST)


def _name_settings(sheet: Worksheet) -> None:
    columns = columns_of(Settings)
    for row, (name, field) in enumerate(SETTING_FIELD.items(), start=2):
        cell = sheet.cell(row, 1, name)
        cell.number_format = TEXT
        cell.comment = Comment(
            f"{columns[field].about}\nFor example: {columns[field].example}", "prepstore"
        )
