"""What a cell of a file holds as text, and what no cell may hold whatever its column."""

from datetime import date, datetime, time
from decimal import Decimal
from functools import cache
from typing import Final

from prepstore.amounts import plain
from prepstore.cell_types import has_control_character
from prepstore.tables.unreadable import UnreadableError

Cells = list[str]

LONGEST_CELL = 32_767
"""Characters a spreadsheet cell can hold."""

FORMULA_WITHOUT_RESULT: Final = "\x00formula"
"""Stands for a workbook's cell whose formula was never worked out; no cell can hold it."""

_EXACT_IN_A_SHEET: Final = 1e15
_ERROR_VALUES: Final = frozenset(
    {"#REF!", "#N/A", "#NAME?", "#VALUE!", "#DIV/0!", "#NUM!", "#NULL!", "#SPILL!", "#CALC!"}
)


@cache
def wrong_with(value: str, *, is_verbatim: bool = False) -> UnreadableError | None:
    """Return what is wrong with a cell's text whatever its column holds.

    One that is kept letter for letter may hold any text, however long.
    """
    if value == FORMULA_WITHOUT_RESULT:
        what = "holds a formula without a stored result."
        remedy = "Open and save the workbook in a spreadsheet, or type the value."
        return UnreadableError("formula-without-result", what, remedy)
    if is_verbatim:
        return None
    if value in _ERROR_VALUES:
        what = f"'{value}' is an error of the spreadsheet."
        return UnreadableError("cell-error-value", what, "Correct the formula, or type the value.")
    if len(value) > LONGEST_CELL:
        what = "holds more characters than a spreadsheet cell can."
        return UnreadableError("cell-too-long", what, f"Shorten it to {LONGEST_CELL:,} characters.")
    if has_control_character(value):
        what = "holds a control character, which no workbook can keep."
        return UnreadableError("cell-control-character", what, "Type the text of the cell again.")
    return None


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
        case int() | float() if abs(value) < _EXACT_IN_A_SHEET:
            text = plain(Decimal(f"{value:.15g}"))
        case datetime() if value.time() == time(0):
            text = value.date().isoformat()
        case time() if value.second == 0:
            text = value.isoformat("minutes")
        case date() | time():
            text = value.isoformat()
        case _:
            text = str(value)
    return text
