"""Pages to sheets: columns, styles, print set-up, and page breaks that waste no paper."""

import re
from collections.abc import Sequence
from datetime import date
from itertools import chain
from typing import Final

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

from prepstore.report.workbook.charts import HEIGHT, PIXEL, add_charts
from prepstore.report.workbook.page import (
    HEADING_ROW,
    Block,
    CellForm,
    Formula,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Single,
    Told,
    Value,
    band,
)
from prepstore.report.workbook.styles import SIZE, TITLE_SIZE, WRITTEN_IN, Styles
from prepstore.report.workbook.text_lines import lines_of

_A4: Final = 9
_DIGIT: Final = 7
"""Pixels of a digit of the book's font, as XlsxWriter counts them."""
_LONGEST: Final = 32_767
_LONGEST_FOOT: Final = 175
_FOOT: Final = f'&{SIZE}&"Arial,Regular"'
"""What a foot's letters are; the font ends the size, where a text begins with a figure."""
_NO_CHARACTERS: Final = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
"""What no XML may hold (W3C, Extensible Markup Language 1.0, section 2.2)."""
_MARGIN_INCHES: Final = 0.3
_FOOT_INCHES: Final = 0.45
_PRINTERS_EDGE_INCHES: Final = 0.2
"""What most printers can print up to."""

# A page's room in points, and what stands on it.
_LONG_SIDE: Final = 842
_SHORT_SIDE: Final = 595
_CHARACTER: Final = 5.25
"""Of a column's width: a digit in whole pixels, as Excel counts them."""
_WIDEST_CHARACTER: Final = 5.305
"""The same in LibreOffice, which does not round it."""
_TITLE: Final = 18
_UNDER_TITLE: Final = 12.75
_LINE: Final = 12.25
_AROUND_LINES: Final = 0.5
_TO_WRITE: Final = 14.25
"""Of a row with a box to write in by hand: 5 mm, as on squared paper."""
_LEAST_BEFORE_A_BREAK: Final = 0.25
_LEFT_OVER: Final = 0.005

# What a cell keeps free beside its text, and what a program's own letters may be wider.
_BESIDE_TEXT: Final = 3
_WIDER: Final = 1.02
_BOLD: Final = frozenset({Look.ALERT, Look.BAND, Look.HEADING, Look.TOTAL})


class _Sheet:
    """A sheet that is being filled row by row."""

    def __init__(self, book: Workbook, styles: Styles, page: Page) -> None:
        self._book = book
        self._sheet = book.add_worksheet(page.name)
        self._styles = styles
        self._page = page
        self._row = 0
        self._room = _room(page)
        self._used = 0.0
        self._last_listed = HEADING_ROW
        self._band: SheetRow | None = None
        self._breaks: list[int] = []
        self._formats: dict[tuple[Look, CellForm | None], list[Format]] = {}

    def fill(self, over_title: Sequence[str], foot: str) -> None:
        """Write the page: the lines above, the headings, the rows; those for the screen last."""
        self._set_up(foot)
        self._write_top(over_title)
        for block in self._page.blocks:
            self._write_block(block)
        printed = self._row
        extra = self._page.if_room
        if self._used + sum(_height(self._page.columns, row) for row in extra) <= self._room:
            printed += len(extra)
        if self._page.takes_paper:
            self._sheet.set_h_pagebreaks(self._breaks)
        for row in chain(extra, *self._page.on_screen):
            self._write(row, _height(self._page.columns, row))
        self._print_down_to(printed)
        if self._page.is_filtered:
            last = len(self._page.columns) - 1
            self._sheet.autofilter(HEADING_ROW - 1, 0, self._last_listed - 1, last)

    def _write_block(self, block: Block) -> None:
        heights = [_height(self._page.columns, row) for row in block]
        self._break_before(block, heights)
        for at, (row, height) in enumerate(zip(block, heights, strict=True)):
            is_tied = at + 1 < len(block) and block[at + 1].is_tied
            self._go_on_before(row, height, height + heights[at + 1] if is_tied else height)
            self._write(row, height)

    def _print_down_to(self, row: int) -> None:
        """Print the rows down to one; none of a sheet that takes no paper."""
        count = len(self._page.columns)
        if not self._page.takes_paper:
            # A sheet with nothing in its print area has no page.
            self._sheet.print_area(0, count, 0, count)
        elif row < self._row:
            self._sheet.print_area(0, 0, row - 1, count - 1)

    def _set_up(self, foot: str) -> None:
        """Set the columns, and how the sheet prints."""
        sheet = self._sheet
        for position, column in enumerate(self._page.columns):
            # In pixels, since a width in digits would be given room beside them.
            sheet.set_column_pixels(position, position, column.width * _DIGIT)
        sheet.freeze_panes(HEADING_ROW, 0)
        # What the sheet is stands on its first page, and in short at the foot of each.
        sheet.repeat_rows(HEADING_ROW - 1)
        if not self._page.is_upright:
            sheet.set_landscape()
        sheet.set_paper(_A4)
        sheet.fit_to_pages(1, 0)
        sheet.set_margins(_MARGIN_INCHES, _MARGIN_INCHES, _MARGIN_INCHES, _FOOT_INCHES)
        sheet.set_header("", {"margin": _PRINTERS_EDGE_INCHES})
        sheet.set_footer("&L&A&RPage &P of &N", {"margin": _PRINTERS_EDGE_INCHES})
        # Given above, a text with "&G" would be taken for a picture's place and left out.
        sheet.footer = f"&L{_FOOT}&A&C{_FOOT}{_escaped(foot)}&R{_FOOT}Page &P of &N"

    def _write_top(self, over_title: Sequence[str]) -> None:
        styles, columns = self._styles, self._page.columns
        lines = (
            (self._page.title, styles.title, _TITLE, TITLE_SIZE),
            (over_title[0], styles.under_title, _UNDER_TITLE, SIZE),
            (over_title[1], styles.caution, _UNDER_TITLE, SIZE),
        )
        for text, style, height, size in lines:
            # A text that went on beyond the last column would be printed too, and all smaller.
            if len(columns) > 1:
                self._sheet.merge_range(self._row, 0, self._row, len(columns) - 1, "", style)
            high = height * lines_of(text, _inside(columns), size, is_bold=bool(style.bold))
            self._sheet.set_row_pixels(self._row, high / PIXEL)
            _put(self._sheet, self._row, 0, text, style)
            self._used += high
            self._row += 1
        headings = _headings(self._page)
        self._write(headings, _height(self._page.columns, headings))

    def _break_before(self, block: Block, heights: Sequence[float]) -> None:
        """Begin a new page where the block fits on one, but not on what is left of this one.

        One longer than a page begins a new one only where little is left.
        """
        height = sum(heights)
        if self._page.has_a_page_each:
            if self._row > HEADING_ROW:
                self._break()
            return
        is_part = len(block) > 1
        is_begun = self._used >= self._room * _LEAST_BEFORE_A_BREAK
        is_nearly_done = self._used > self._room * (1 - _LEAST_BEFORE_A_BREAK)
        fits_one = height <= self._room or is_nearly_done
        if is_part and is_begun and fits_one and self._room < self._used + height:
            self._break()

    def _break(self) -> None:
        self._breaks.append(self._row)
        self._used = 0

    def _go_on_before(self, row: SheetRow, height: float, wanted: float) -> None:
        """Begin a new page where there is no room for what is wanted, under a band that repeats.

        Left to itself, LibreOffice prints a sheet up to 2 % smaller where that saves a page.
        """
        if row.look is Look.BAND:
            self._band = row
        if self._used and self._used + wanted > self._room:
            self._break()
            is_repeated = self._page.repeats_bands and row is not self._band
            if is_repeated and self._band is not None:
                again = band(f"{self._band.values[0]} (goes on)")
                of_band = _height(self._page.columns, again)
                self._used += of_band
                self._write(again, of_band)
        self._used += height

    def _write(self, row: SheetRow, height: float) -> None:
        at = self._row
        self._row += 1
        if row.look is not Look.NOTE:
            self._last_listed = self._row
        # Not every spreadsheet finds the height of wrapped or joined cells by itself.
        self._sheet.set_row_pixels(at, height / PIXEL)
        formats = self._formats.get((row.look, row.form)) or self._make_formats(row.look, row.form)
        for first, last in _runs(row, len(formats)):
            if first < last:
                self._sheet.merge_range(at, first, at, last, "")
        values = _filled(row.values, len(formats))
        for position, (value, style) in enumerate(zip(values, formats, strict=True)):
            if isinstance(value, Told):
                # What runs over columns is not in the middle, whatever the first of them holds.
                self._put_told(at, position, value, self._styles.rows[row.look, CellForm.TEXT])
            else:
                _put(self._sheet, at, position, value, style)
        if row.charts:
            widths = [column.width * _CHARACTER for column in self._page.columns]
            add_charts(self._book, self._sheet, row.charts, self._row, widths)

    def _put_told(self, row: int, column: int, told: Told, style: Format) -> None:
        """Put texts into one cell, the word before each of them in bold."""
        pieces: list[Format | str] = []
        left = _LONGEST
        for is_bold, text in told.pieces():
            clean = _clean(text)[:left]
            left -= len(clean)
            if clean:
                pieces += (self._styles.word if is_bold else style, clean)
        self._sheet.write_rich_string(row, column, *pieces, style)

    def _make_formats(self, look: Look, form: CellForm | None) -> list[Format]:
        formats = [
            self._styles.rows[look, form if form and position else column.form]
            for position, column in enumerate(self._page.columns)
        ]
        self._formats[look, form] = formats
        return formats


def fill_sheet(
    book: Workbook, styles: Styles, page: Page, over_title: Sequence[str], foot: str
) -> None:
    """Add a page to a workbook as its next sheet.

    Args:
        book: Its sheets before this one are filled.
        styles: The book's.
        page: What the sheet holds.
        over_title: The two lines between the title and the headings.
        foot: What stands in the middle at the foot of each printed page.
    """
    _Sheet(book, styles, page).fill(over_title, foot)


def _runs(row: SheetRow, count: int) -> list[tuple[int, int]]:
    """Return the first and the last column of each text that runs on over several."""
    if row.runs_from is None:
        return []
    if row.then_from is None:
        return [(row.runs_from, count - 1 if row.runs_to is None else row.runs_to)]
    return [(row.runs_from, row.then_from - 1), (row.then_from, count - 1)]


def _filled(values: tuple[Value, ...], count: int) -> tuple[Value, ...]:
    return (*values, *[None] * (count - len(values)))


def _escaped(foot: str) -> str:
    """Return the text at the foot in the code of one, as much as there is room for."""
    text = foot[:_LONGEST_FOOT]
    while len((escaped := text.replace("&", "&&")).encode("utf-16-le")) > 2 * _LONGEST_FOOT:
        text = text[:-1]
    return escaped


def _put(sheet: Worksheet, row: int, column: int, value: Single, style: Format) -> None:
    """Put a value into a cell; a text stays a text whatever it begins with."""
    if value is None or value == "":
        sheet.write_blank(row, column, None, style)
    elif isinstance(value, str):
        _put_text(sheet, row, column, _clean(value), style)
    elif isinstance(value, Formula):
        # No value is given with it: a spreadsheet works it out when it opens the file.
        sheet.write_formula(row, column, value.in_row(row + 1), style, "")
    elif isinstance(value, date):
        sheet.write_datetime(row, column, value, style)  # type: ignore[call-overload]  # a day too
    else:
        sheet.write_number(row, column, float(value), style)


def _put_text(sheet: Worksheet, row: int, column: int, text: str, style: Format) -> None:
    if text.startswith("<r>") and text.endswith("</r>"):
        # Given whole, it would be taken for XML that XlsxWriter made itself.
        sheet.write_rich_string(row, column, text[:1], style, text[1:], style)
    else:
        sheet.write_string(row, column, text, style)


def _clean(text: str) -> str:
    """Return a text as a cell may hold it; all its line breaks are of one kind."""
    if not text.isprintable():
        text = _NO_CHARACTERS.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))
    return text[:_LONGEST]


def _headings(page: Page) -> SheetRow:
    return SheetRow(tuple(column.heading for column in page.columns), Look.HEADING)


def _room(page: Page) -> float:
    """Return the points below the headings of a page, at the scale that fits the page's width."""
    wide, high = _LONG_SIDE, _SHORT_SIDE
    if page.is_upright:
        wide, high = high, wide
    width = sum(column.width for column in page.columns) * _WIDEST_CHARACTER
    scale = max(1.0, width / (wide - 2 * 72 * _MARGIN_INCHES))
    below = high - 72 * (_MARGIN_INCHES + _FOOT_INCHES)
    return (1 - _LEFT_OVER) * below * scale - _height(page.columns, _headings(page))


def _height(columns: Sequence[SheetColumn], row: SheetRow) -> float:
    if row.charts:
        return HEIGHT
    lines, runs = row.lines, dict(_runs(row, len(columns)))
    for position, value in enumerate(row.values):
        text = _measured(value) if isinstance(value, Told) else value
        if isinstance(text, str) and text:
            last = runs.get(position, position) if runs else position
            lines = max(lines, _lines(columns[position : last + 1], text, row.look))
    return max(lines * _LINE + _AROUND_LINES, _TO_WRITE if _is_written_in(columns, row) else 0)


def _measured(told: Told) -> str:
    """Return a text as wide as this one: its bold words are a little wider than they are here."""
    return " · ".join(f"{word}:  {text}" for word, text in told.parts)


def _is_written_in(columns: Sequence[SheetColumn], row: SheetRow) -> bool:
    """Return whether somebody writes in a row: where a text runs on over a box, it has none."""
    if row.is_written_in or row.look not in WRITTEN_IN:
        return row.is_written_in
    boxes = [at for at, column in enumerate(columns) if column.form is CellForm.WRITE]
    runs = _runs(row, len(columns)) if boxes else ()
    return any(not any(first < at <= last for first, last in runs) for at in boxes)


def _lines(over: Sequence[SheetColumn], text: str, look: Look) -> int:
    """Return how many lines a text takes over columns of which the first holds it."""
    is_bold = look in _BOLD or over[0].form is CellForm.WORD
    return lines_of(text, _inside(over), SIZE, is_bold=is_bold)


def _inside(over: Sequence[SheetColumn]) -> float:
    """Return how many points a text in these columns has for its letters."""
    width = over[0].width if len(over) == 1 else sum(column.width for column in over)
    return (width * _CHARACTER - _BESIDE_TEXT) / _WIDER
