"""Formats of cells: one for each look of a row and form of a column, shared by all sheets."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final

from xlsxwriter import Workbook
from xlsxwriter.format import Format

from prepstore.report.workbook.page import CellForm, Look

SIZE: Final = 10
"""Of the letters of all rows, in points."""

DEFAULT: Final = {
    "font_name": "Arial",
    "font_size": 9.5,
    "font_scheme": "none",
    "font_family": 0,
    "font_color": "automatic",
}
"""What a workbook's cells are where nothing else is said; widths count digits of this font.

A digit of it is 7.04 pixels wide. Excel rounds that to whole pixels and LibreOffice does not: of a
size with more to round away, columns would be wider in one than in the other.
"""

TITLE_SIZE: Final = 14

# What XlsxWriter calls the lines round a cell.
_THIN, _MEDIUM, _HAIR = 1, 2, 7
_COLORS = {_HAIR: "#808080", _THIN: "#404040", _MEDIUM: "#000000"}

_BORDERS = {
    Look.PLAIN: {"bottom": _HAIR},
    Look.ALERT: {"top": _THIN, "bottom": _THIN},
    Look.BAND: {"top": _MEDIUM, "bottom": _THIN},
    Look.HEADING: {"top": _THIN, "bottom": _MEDIUM},
    Look.TOTAL: {"top": _THIN, "bottom": _THIN},
    Look.NOTE: {},
}
_FILLS = {
    Look.ALERT: "#E4E4E4",
    Look.BAND: "#D5E3E0",
    Look.HEADING: "#EDF2F1",
}
_BOLD = {Look.ALERT, Look.BAND, Look.HEADING, Look.TOTAL}
_FORMATS = {
    CellForm.TEXT: "@",
    CellForm.WORD: "@",
    CellForm.NUMBER: "General",
    CellForm.COUNT: "General",
    CellForm.MONEY: "#,##0.00##",
    CellForm.PERCENT: "0.0%",
    CellForm.DAY: "yyyy-mm-dd",
    CellForm.MIDDLE: "@",
    CellForm.WRITE: "@",
}
_TO_THE_RIGHT = {CellForm.NUMBER, CellForm.MONEY, CellForm.PERCENT}
_IN_THE_MIDDLE = {CellForm.MIDDLE, CellForm.DAY, CellForm.COUNT}
_OVER_COLUMNS = {Look.BAND, Look.NOTE}
WRITTEN_IN: Final = (Look.PLAIN, Look.ALERT)
"""The looks of rows whose cells to write in by hand are boxes."""
_BOX = dict.fromkeys(("left", "right", "top", "bottom"), _THIN)


@dataclass(frozen=True, slots=True)
class Styles:
    """The formats of one workbook: of the three lines on top of each sheet, and of its rows.

    A word is bold in a cell whose other letters are not.
    """

    title: Format
    under_title: Format
    caution: Format
    word: Format
    rows: Mapping[tuple[Look, CellForm], Format]


def add_styles(book: Workbook) -> Styles:
    """Add all formats to a workbook."""
    plain = {"font_size": SIZE, "valign": "vcenter", "text_wrap": True}
    return Styles(
        title=book.add_format({**plain, "font_size": TITLE_SIZE, "bold": True}),
        under_title=book.add_format(plain),
        caution=book.add_format({**plain, "bold": True, "italic": True}),
        word=book.add_format({"font_size": SIZE, "bold": True}),
        rows={
            (look, form): book.add_format(_style(look, form)) for look in Look for form in CellForm
        },
    )


def _style(look: Look, form: CellForm) -> dict[str, Any]:
    is_over_columns = look is Look.HEADING
    if look in _OVER_COLUMNS:
        form = CellForm.TEXT
    style: dict[str, Any] = {
        "font_size": SIZE,
        "bold": look in _BOLD or form is CellForm.WORD,
        "italic": look is Look.NOTE,
        "align": _across(form),
        "valign": "bottom" if is_over_columns else "top",
        "text_wrap": True,
        "num_format": "@" if is_over_columns else _FORMATS[form],
    }
    is_boxed = _is_boxed(look, form)
    for side, line in (_BOX if is_boxed else _BORDERS[look]).items():
        style |= {side: line, f"{side}_color": _COLORS[line]}
    if look in _FILLS and not is_boxed:
        style |= {"pattern": 1, "fg_color": _FILLS[look]}
    return style


def _across(form: CellForm) -> str:
    if form in _TO_THE_RIGHT:
        return "right"
    return "center" if form in _IN_THE_MIDDLE else "left"


def _is_boxed(look: Look, form: CellForm) -> bool:
    """Return whether a cell is there to be written in by hand."""
    return form is CellForm.WRITE and look in WRITTEN_IN
