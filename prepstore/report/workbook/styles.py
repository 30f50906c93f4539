"""Named styles: one for each look of a row and form of a column, shared by all sheets."""

from typing import Final

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, NamedStyle, PatternFill, Side

from prepstore.report.workbook.page import CellForm, Look

TITLE: Final = "prepstore title"
UNDER_TITLE: Final = "prepstore under title"
CAUTION: Final = "prepstore caution"

SIZE: Final = 10
"""Of the letters of all rows, in points."""

_FONT = "Arial"
_WIDTH_SIZE = 10
_TITLE_SIZE = 14

_HAIR = Side(style="hair", color="808080")
_THIN = Side(style="thin", color="404040")
_THICK = Side(style="medium", color="000000")

_BORDERS = {
    Look.PLAIN: Border(bottom=_HAIR),
    Look.ALERT: Border(top=_THIN, bottom=_THIN),
    Look.BAND: Border(top=_THICK, bottom=_THIN),
    Look.HEADING: Border(top=_THIN, bottom=_THICK),
    Look.TOTAL: Border(top=_THIN, bottom=_THIN),
    Look.NOTE: Border(),
}
_FILLS = {
    Look.ALERT: "E4E4E4",
    Look.BAND: "D5E3E0",
    Look.HEADING: "EDF2F1",
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
_BOX = Border(left=_THIN, right=_THIN, top=_THIN, bottom=_THIN)


def style_name(look: Look, form: CellForm) -> str:
    """Return the name of the style of a cell."""
    return f"prepstore {look} {form}"


def add_styles(book: Workbook) -> None:
    """Add all named styles to a workbook."""
    # Widths count digits of the book's first font, and not every machine has openpyxl's.
    book._fonts[0] = Font(name=_FONT, size=_WIDTH_SIZE)  # type: ignore[attr-defined]  # noqa: SLF001
    for look in Look:
        for form in CellForm:
            book.add_named_style(_style(look, form))
    plain = Alignment(vertical="center")
    for name, font in (
        (TITLE, Font(name=_FONT, size=_TITLE_SIZE, bold=True)),
        (UNDER_TITLE, Font(name=_FONT, size=SIZE)),
        (CAUTION, Font(name=_FONT, size=SIZE, bold=True, italic=True)),
    ):
        book.add_named_style(NamedStyle(name, font=font, alignment=plain))


def _style(look: Look, form: CellForm) -> NamedStyle:
    is_over_columns = look is Look.HEADING
    style = NamedStyle(style_name(look, form))
    if look in _OVER_COLUMNS:
        form = CellForm.TEXT
    style.font = Font(
        name=_FONT,
        size=SIZE,
        bold=look in _BOLD or form is CellForm.WORD,
        italic=look is Look.NOTE,
    )
    style.alignment = Alignment(
        horizontal=_across(form),
        vertical="bottom" if is_over_columns else "top",
        wrap_text=True,
    )
    style.border = _BOX if _is_boxed(look, form) else _BORDERS[look]
    if look in _FILLS and not _is_boxed(look, form):
        style.fill = PatternFill("solid", fgColor=_FILLS[look])
    style.number_format = "@" if is_over_columns else _FORMATS[form]
    return style


def _across(form: CellForm) -> str:
    if form in _TO_THE_RIGHT:
        return "right"
    return "center" if form in _IN_THE_MIDDLE else "left"


def _is_boxed(look: Look, form: CellForm) -> bool:
    """Return whether a cell is there to be written in by hand."""
    return form is CellForm.WRITE and look in (Look.PLAIN, Look.ALERT)
