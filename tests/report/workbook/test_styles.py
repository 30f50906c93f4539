from io import BytesIO
from typing import Any

import openpyxl
import pytest
from xlsxwriter import Workbook

from prepstore.report.workbook.page import CellForm, Look
from prepstore.report.workbook.styles import DEFAULT, add_styles


def written() -> tuple[Any, dict[tuple[Look, CellForm], Any]]:
    """Return a workbook with a cell of each format, as openpyxl reads it, and those cells."""
    file = BytesIO()
    with Workbook(file, {"default_format_properties": DEFAULT}) as book:
        sheet = book.add_worksheet()
        rows = add_styles(book).rows
        for row, style in enumerate(rows.values()):
            sheet.write_string(row, 0, "x", style)
    read = openpyxl.load_workbook(file)
    cells = read.worksheets[0]["A"]
    return read, dict(zip(rows, cells, strict=True))


def test_every_look_of_every_form_has_a_format() -> None:
    assert set(written()[1]) == {(look, form) for look in Look for form in CellForm}


def test_all_letters_are_of_the_font_that_widths_count_and_their_colour_is_the_program_s() -> None:
    book, cells = written()
    first = book._fonts[0]  # noqa: SLF001 - the book's own
    assert (first.name, first.sz) == ("Arial", 9.5)
    shown = {
        (cell.font.name, cell.font.sz, cell.font.color, cell.font.scheme) for cell in cells.values()
    }
    assert shown == {("Arial", 10, None, None)}


def test_a_bold_word_is_of_the_font_and_the_size_of_the_letters_beside_it() -> None:
    with Workbook(BytesIO(), {"default_format_properties": DEFAULT}) as book:
        word = add_styles(book).word
    assert (word.font_name, word.font_size, word.bold) == ("Arial", 10, True)


def test_a_digit_that_widths_count_is_nearly_a_whole_number_of_pixels() -> None:
    """A digit of Arial is 0.556 of its size wide (Helvetica.afm), a pixel is 0.75 points."""
    digit = 0.556 * float(DEFAULT["font_size"]) / 0.75  # type: ignore[arg-type]
    assert digit == pytest.approx(round(digit), rel=0.01)


@pytest.mark.parametrize(
    ("form", "across", "shown"),
    [
        (CellForm.TEXT, "left", "@"),
        (CellForm.NUMBER, "right", "General"),
        (CellForm.COUNT, "center", "General"),
        (CellForm.MONEY, "right", "#,##0.00##"),
        (CellForm.PERCENT, "right", "0.0%"),
        (CellForm.DAY, "center", "yyyy-mm-dd"),
    ],
)
def test_what_a_column_holds_says_how_it_is_shown(form: CellForm, across: str, shown: str) -> None:
    cell = written()[1][Look.PLAIN, form]
    assert (cell.alignment.horizontal, cell.alignment.vertical) == (across, "top")
    assert cell.alignment.wrap_text
    assert cell.number_format == shown


def test_what_runs_over_columns_is_text_to_the_left_whatever_they_hold() -> None:
    cell = written()[1][Look.BAND, CellForm.MONEY]
    assert (cell.alignment.horizontal, cell.number_format) == ("left", "@")


def test_headings_stand_just_above_their_columns() -> None:
    alignment = written()[1][Look.HEADING, CellForm.MONEY].alignment
    # The bottom is where a cell's text stands of itself.
    assert (alignment.horizontal, alignment.vertical or "bottom") == ("right", "bottom")


def test_rows_stand_out_by_lines_and_grey_and_a_cell_to_write_in_is_a_box() -> None:
    cells = written()[1]

    def lines(look: Look, form: CellForm) -> list[str | None]:
        border = cells[look, form].border
        return [side.style for side in (border.left, border.right, border.top, border.bottom)]

    assert lines(Look.PLAIN, CellForm.TEXT) == [None, None, None, "hair"]
    assert lines(Look.BAND, CellForm.TEXT) == [None, None, "medium", "thin"]
    assert lines(Look.HEADING, CellForm.WRITE) == [None, None, "thin", "medium"]
    assert lines(Look.ALERT, CellForm.WRITE) == ["thin"] * 4
    assert cells[Look.ALERT, CellForm.TEXT].fill.fgColor.rgb == "FFE4E4E4"
    assert cells[Look.ALERT, CellForm.WRITE].fill.fill_type is None
    assert cells[Look.PLAIN, CellForm.TEXT].border.bottom.color.rgb == "FF808080"
