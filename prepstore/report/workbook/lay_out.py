"""Pages to sheets: columns, styles, print set-up, and page breaks that waste no paper."""

from collections.abc import Sequence
from typing import Final, cast

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE, Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.report.workbook.charts import HEIGHT, add_charts
from prepstore.report.workbook.page import (
    HEADING_ROW,
    Block,
    CellForm,
    Formula,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Value,
    band,
)
from prepstore.report.workbook.styles import CAUTION, SIZE, TITLE, UNDER_TITLE, style_name
from prepstore.report.workbook.text_lines import lines_of

_A4: Final = 9
_LONGEST: Final = 32_767
_LONGEST_FOOT: Final = 200
_MARGIN_INCHES: Final = 0.4
_FOOT_INCHES: Final = 0.5

# A page's room in points, and what stands on it. A4 across is 842 by 595 points.
_PAGE_WIDTH: Final = 842 - 2 * 72 * _MARGIN_INCHES
_PAGE_HEIGHT: Final = 595 - 72 * (_MARGIN_INCHES + _FOOT_INCHES)
_CHARACTER: Final = 5.25
_BETWEEN_COLUMNS: Final = 3.75
_TITLE: Final = 22
_UNDER_TITLE: Final = 14
_LINE: Final = 12.25
_AROUND_LINES: Final = 2.25
_LEAST_BEFORE_A_BREAK: Final = 0.25
_LEFT_OVER: Final = 0.01

# What a cell keeps free beside its text, and what a program's own letters may be wider.
_BESIDE_TEXT: Final = 3
_WIDER: Final = 1.02
_BOLD: Final = frozenset({Look.ALERT, Look.BAND, Look.HEADING, Look.TOTAL})


class _Sheet:
    """A sheet that is being filled row by row."""

    def __init__(self, book: Workbook, page: Page) -> None:
        # A write-only sheet has all that is used here; its type stubs do not say so.
        self._sheet = cast(Worksheet, book.create_sheet(page.name))
        self._page = page
        self._row = 0
        self._room = _room(page)
        self._used: float = _TITLE + 2 * _UNDER_TITLE
        self._last_listed = HEADING_ROW
        self._band: SheetRow | None = None
        # A written cell is not kept, so one cell a style and column serves all rows.
        self._cells: dict[tuple[Look, CellForm | None], list[Cell]] = {}

    def fill(self, over_title: Sequence[str], foot: str) -> None:
        """Write the page: the lines above, the headings, the rows."""
        self._set_up(foot)
        self._write_top(over_title)
        for block in self._page.blocks:
            heights = [_height(self._page.columns, row) for row in block]
            self._break_before(block, heights)
            for row, height in zip(block, heights, strict=True):
                if self._page.repeats_bands:
                    self._go_on_before(row, height)
                self._write(row, height)
        if not self._page.is_printed:
            # Else a whole workbook that is printed has more of it than of all the rest. A sheet
            # with nothing in its print area has no page.
            self._sheet.print_area = f"{get_column_letter(len(self._page.columns) + 1)}1"
        if self._page.is_filtered:
            last = f"{get_column_letter(len(self._page.columns))}{self._last_listed}"
            self._sheet.auto_filter.ref = f"A{HEADING_ROW}:{last}"

    def _set_up(self, foot: str) -> None:
        """Set what must stand before the first row is written, and how the sheet prints."""
        sheet = self._sheet
        for position, column in enumerate(self._page.columns, start=1):
            sheet.column_dimensions[get_column_letter(position)].width = column.width
        sheet.freeze_panes = f"A{HEADING_ROW + 1}"
        # What the sheet is stands on its first page, and in short at the foot of each.
        sheet.print_title_rows = f"{HEADING_ROW}:{HEADING_ROW}"
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.page_setup.orientation = "landscape"
        sheet.page_setup.paperSize = _A4
        sheet.page_setup.fitToWidth = 1
        sheet.page_setup.fitToHeight = 0
        margins = sheet.page_margins
        margins.left = margins.right = margins.top = _MARGIN_INCHES
        margins.bottom = _FOOT_INCHES
        margins.header = margins.footer = _MARGIN_INCHES / 2
        footer = HeaderFooterItem()
        footer.left.text, footer.right.text = "&A", "Page &P of &N"
        footer.center.text = foot[:_LONGEST_FOOT].replace("&", "&&")
        sheet.HeaderFooter.oddFooter = footer

    def _write_top(self, over_title: Sequence[str]) -> None:
        lines = (self._page.title, *over_title)
        for text, style in zip(lines, (TITLE, UNDER_TITLE, CAUTION), strict=True):
            self._row += 1
            cell = WriteOnlyCell(self._sheet)
            cell.style = style
            _put(cell, text, self._row)
            height = _TITLE if style == TITLE else _UNDER_TITLE
            self._sheet.row_dimensions[self._row].height = height
            self._sheet.append([cell])
        headings = _headings(self._page)
        self._write(headings, _height(self._page.columns, headings))

    def _break_before(self, block: Block, heights: Sequence[float]) -> None:
        """Begin a new page where the block fits on one, but not on what is left of this one.

        One longer than a page begins a new one only where little is left. Lists break by
        themselves: only rows that are given together are kept together.
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
        if self._page.repeats_bands:
            return
        for of_row in heights:
            begins_a_page = self._used + of_row > self._room
            self._used = of_row if begins_a_page else self._used + of_row

    def _break(self) -> None:
        self._sheet.row_breaks.append(Break(id=self._row))
        self._used = 0

    def _go_on_before(self, row: SheetRow, height: float) -> None:
        """Begin a new page where the row does not fit on this one, under its band once more."""
        if row.look is Look.BAND:
            self._band = row
        if self._used and self._used + height > self._room:
            self._break()
            if self._band is not None and row is not self._band:
                again = band(f"{self._band.values[0]} (goes on)")
                of_band = _height(self._page.columns, again)
                self._used += of_band
                self._write(again, of_band)
        self._used += height

    def _write(self, row: SheetRow, height: float) -> None:
        self._row += 1
        if row.look is not Look.NOTE:
            self._last_listed = self._row
        cells = self._cells.get((row.look, row.form)) or self._make_cells(row.look, row.form)
        for cell, value in zip(cells, _filled(row.values, len(cells)), strict=True):
            _put(cell, value, self._row)
        if row.runs_from is not None:
            first = get_column_letter(row.runs_from + 1)
            last = get_column_letter(len(cells))
            if first != last:
                self._sheet.merged_cells.add(f"{first}{self._row}:{last}{self._row}")
        # Not every spreadsheet finds the height of wrapped or joined cells by itself.
        self._sheet.row_dimensions[self._row].height = height
        self._sheet.append(cells)
        if row.charts:
            add_charts(self._sheet, row.charts, self._row, _points(self._page.columns))

    def _make_cells(self, look: Look, form: CellForm | None) -> list[Cell]:
        cells = []
        for position, column in enumerate(self._page.columns):
            cell = WriteOnlyCell(self._sheet)
            cell.style = style_name(look, form if form and position else column.form)
            cells.append(cell)
        self._cells[look, form] = cells
        return cells


def fill_sheet(book: Workbook, page: Page, over_title: Sequence[str], foot: str) -> None:
    """Add a page to a write-only workbook as its next sheet.

    Args:
        book: Its styles have been added.
        page: What the sheet holds.
        over_title: The two lines between the title and the headings.
        foot: What stands in the middle at the foot of each printed page.
    """
    _Sheet(book, page).fill(over_title, foot)


def _filled(values: tuple[Value, ...], count: int) -> tuple[Value, ...]:
    return (*values, *[None] * (count - len(values)))


def _put(cell: Cell, value: Value, row: int) -> None:
    """Put a value into a cell; a text stays a text whatever it begins with."""
    if value == "":
        cell.value = None
    elif isinstance(value, str):
        cell.value = ILLEGAL_CHARACTERS_RE.sub("", value)[:_LONGEST]
        cell.data_type = "s"
    elif isinstance(value, Formula):
        cell.value = value.in_row(row)
    else:
        cell.value = value


def _headings(page: Page) -> SheetRow:
    return SheetRow(tuple(column.heading for column in page.columns), Look.HEADING)


def _room(page: Page) -> float:
    """Return the points below the headings of a page, at the scale that fits the page's width."""
    width = sum(_points(page.columns))
    top = _height(page.columns, _headings(page))
    return (1 - _LEFT_OVER) * _PAGE_HEIGHT * max(1.0, width / _PAGE_WIDTH) - top


def _points(columns: Sequence[SheetColumn]) -> list[float]:
    return [column.width * _CHARACTER + _BETWEEN_COLUMNS for column in columns]


def _height(columns: Sequence[SheetColumn], row: SheetRow) -> float:
    if row.charts:
        return HEIGHT
    is_bold = row.look in _BOLD
    lines = max(
        (
            _lines(columns, row, position, is_bold=is_bold or _is_word(columns, position))
            for position, value in enumerate(row.values)
            if isinstance(value, str)
        ),
        default=1,
    )
    return max(lines, row.lines) * _LINE + _AROUND_LINES


def _is_word(columns: Sequence[SheetColumn], position: int) -> bool:
    return columns[position].form is CellForm.WORD


def _lines(columns: Sequence[SheetColumn], row: SheetRow, position: int, *, is_bold: bool) -> int:
    runs_on = columns[position:] if position == row.runs_from else columns[position : position + 1]
    width = sum(column.width for column in runs_on) * _CHARACTER - _BESIDE_TEXT
    return lines_of(str(row.values[position]), width / _WIDER, SIZE, is_bold=is_bold)
