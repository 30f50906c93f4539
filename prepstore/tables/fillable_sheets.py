"""What makes a table's sheet good to fill in: notes, formats and drop-down lists."""

import datetime
from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.columns import NAME_COLUMN, NAMED_IN, TABLES, Column, Table
from prepstore.tables.cell_text import cell_text
from prepstore.tables.read import LISTS

TEXT: Final = "@"
"""The format of cells that stay text: 1-2 does not become a date, nor lot 00123 the number 123."""

ROWS_TO_FILL_IN = 2000
"""How many rows below the heading, or below those that there are, have drop-down lists."""

_HEADING = Font(bold=True)
_MUST_BE_GIVEN = PatternFill("solid", fgColor="FFF2CC")
_NUMBER = "General"
_FORMATS: Final = {datetime.date: "yyyy-mm-dd", datetime.time: "hh:mm"}
_EXACT_IN_A_SHEET = 10**15
_FIRST_DAY_SURE_IN_A_SHEET = datetime.date(1900, 3, 1)


def make_fillable(sheet: Worksheet, table: Table, columns: Sequence[str], rows: int) -> None:
    """Give a sheet its headings with notes, and each column its format and drop-down list.

    Args:
        sheet: Of the table; nothing is in it.
        table: Says what each column holds.
        columns: Those that the sheet has, in their order.
        rows: How many there are already below the heading.
    """
    sheet.freeze_panes = "A2"
    for position, name in enumerate(columns, start=1):
        column = table.columns[name]
        heading = sheet.cell(1, position, name)
        heading.font = _HEADING
        heading.number_format = TEXT
        if column.required:
            heading.fill = _MUST_BE_GIVEN
        heading.comment = Comment(_note(column), "prepstore", height=120, width=300)
        letter = get_column_letter(position)
        sheet.column_dimensions[letter].number_format = _FORMATS.get(column.reads, TEXT)
        for choice in _choices(table, column, rows + ROWS_TO_FILL_IN):
            choice.add(f"{letter}2:{letter}{rows + ROWS_TO_FILL_IN}")
            sheet.add_data_validation(choice)


def _note(column: Column) -> str:
    must = "Must be given. " if column.required else ""
    example = f"\nFor example: {column.example}" if column.example else ""
    return f"{must}{column.about}{example}"


def typed(column: Column, text: str) -> tuple[Any, str]:
    """Return the value of a cell and its format: dates, times and numbers as such, else as text.

    A text that would not come back letter for letter (14.20, 9:00) stays text.
    """
    value = _value(column.reads, text)
    if value is None or cell_text(value) != text:
        return text, TEXT
    return value, _FORMATS.get(column.reads, _NUMBER)


def _value(reads: Any, text: str) -> Any:  # noqa: ANN401 - any type of a cell
    """Return what a text says to a spreadsheet; None where it is a text to it as well."""
    try:
        if reads is datetime.date:
            day = datetime.date.fromisoformat(text)
            return day if day >= _FIRST_DAY_SURE_IN_A_SHEET else None
        if reads is datetime.time:
            return datetime.time.fromisoformat(text)
        if getattr(reads, "__supertype__", reads) in (int, Decimal):
            number = int(text) if text.isdecimal() else float(text)
            return number if abs(number) < _EXACT_IN_A_SHEET else None
    except ValueError:
        pass
    return None


def _choices(table: Table, column: Column, last_row: int) -> Iterator[DataValidation]:
    """Yield the drop-down list of a column of fixed words, or of names from other tables."""
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
        proposed = _names(named_in[0], last_row) if len(named_in) == 1 else _NAMES_OF_BOTH
        yield DataValidation(
            type="list", formula1=proposed, allow_blank=True, showErrorMessage=False
        )


def _names(table: str, last_row: int) -> str:
    """Return the cells of a sheet that hold the names of its table."""
    position = [*TABLES[table].columns].index(NAME_COLUMN[table]) + 1
    letter = get_column_letter(position)
    return f"{table}!${letter}$2:${letter}${last_row}"


_NAMES_OF_BOTH: Final = f"OFFSET('{LISTS}'!$A$2,0,0,MAX('{LISTS}'!$B$1+'{LISTS}'!$C$1,1),1)"


def add_lists(book: Workbook, items: int, solutions: int) -> None:
    """Add the hidden sheet in which items and solutions stand one below the other.

    A drop-down list takes its words from one place, and in many columns either may stand. The names
    are formulas, so that what is filled in comes into the lists at once.

    Args:
        book: Has the sheets `items` and `solutions`.
        items: How many rows are filled in.
        solutions: As well.
    """
    sheet = book.create_sheet(LISTS)
    sheet.sheet_state = "hidden"
    last = max(items, solutions) + ROWS_TO_FILL_IN
    of_items, of_solutions = _names("items", last), _names("solutions", last)
    sheet["A1"] = "items and solutions"
    sheet["B1"] = f"=COUNTA({of_items})"
    sheet["C1"] = f"=COUNTA({of_solutions})"
    for row in range(2, items + solutions + ROWS_TO_FILL_IN):
        item = f"INDEX({of_items},ROW()-1)"
        solution = f"INDEX({of_solutions},ROW()-1-$B$1)"
        beyond_items = f'IF(ROW()-1-$B$1<=$C$1,{solution},"")'
        sheet.cell(row, 1, f"=IF(ROW()-1<=$B$1,{item},{beyond_items})")
