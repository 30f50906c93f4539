from decimal import Decimal
from io import BytesIO
from itertools import pairwise
from typing import Any
from xml.sax.saxutils import unescape
from zipfile import ZipFile

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet
from xlsxwriter import Workbook

from prepstore.report.workbook.charts import HEIGHT
from prepstore.report.workbook.lay_out import fill_sheet
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Chart,
    Formula,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Value,
    band,
    note,
    told,
)
from prepstore.report.workbook.styles import add_styles

COLUMNS = (SheetColumn("Item", 20), SheetColumn("Amount", 10, CellForm.NUMBER))


def laid_out(*blocks: Block, is_filtered: bool = False) -> Worksheet:
    return on_sheet(Page("Sheet", "A title", COLUMNS, blocks, is_filtered))


def on_sheet(page: Page, foot: str = "foot") -> Worksheet:
    return openpyxl.load_workbook(written(page, foot))[page.name]


def written(page: Page, foot: str = "foot") -> BytesIO:
    """Return a page's file, written as long ones are: its rows wait on disk."""
    file = BytesIO()
    with Workbook(file, {"constant_memory": True}) as book:
        fill_sheet(book, add_styles(book), page, ("planned", "caution"), foot)
    return file


def first_cell(value: Value) -> tuple[object, str]:
    cell = laid_out((SheetRow((value,)),))["A5"]
    return cell.value, cell.data_type


def test_titles_then_headings_then_rows() -> None:
    sheet = laid_out((SheetRow(("ice", 3)),))
    assert [cell.value for cell in sheet["A"]] == ["A title", "planned", "caution", "Item", "ice"]
    assert (sheet["B4"].value, sheet["B5"].value) == ("Amount", 3)


def test_text_stays_text_whatever_it_begins_with() -> None:
    for text in ("=1+1", "+1", "-1", "@SUM(A1)", "#N/A"):
        assert first_cell(text) == (text, "s")


def test_control_characters_are_left_out() -> None:
    assert first_cell("a\x00b\x0bc\x1f") == ("abc", "s")


def test_a_text_longer_than_a_cell_is_cut() -> None:
    value, _ = first_cell("x" * 40_000)
    assert len(str(value)) == 32_767


@pytest.mark.parametrize(
    "text", ["http://example.org/x", "mailto:a@example.org", "file:///etc", "7"]
)
def test_a_text_becomes_neither_link_nor_number(text: str) -> None:
    cell = laid_out((SheetRow((text,)),))["A5"]
    assert (cell.value, cell.data_type, cell.hyperlink) == (text, "s", None)


@pytest.mark.parametrize("text", ["<r>bold</r>", "<r><t>x</t></r>", "<r></r>", "<b>&amp;"])
def test_what_looks_like_xml_is_shown_as_it_is(text: str) -> None:
    assert first_cell(text) == (text, "s")


def test_what_looks_like_an_escape_is_escaped() -> None:
    """So spreadsheets show it as it is: ECMA-376, part 1, section 22.9.2.19, ST_Xstring.

    openpyxl reads it as it stands in the file.
    """
    assert first_cell("_x0041_") == ("_x005F_x0041_", "s")


def test_line_breaks_are_of_one_kind() -> None:
    assert first_cell("one\r\ntwo\rthree") == ("one\ntwo\nthree", "s")


def test_what_no_xml_may_hold_is_left_out() -> None:
    assert first_cell("a\ufffeb\uffffc\ud800d") == ("abcd", "s")


def test_letters_outside_the_first_plane_count_twice_as_spreadsheets_count_them() -> None:
    value, _ = first_cell("\U0001f9ea" * 20_000)
    assert value == "\U0001f9ea" * (32_767 // 2)


def test_a_formula_knows_its_row() -> None:
    assert first_cell(Formula(lambda row: f"=B{row}*2")) == ("=B5*2", "f")


def test_nothing_of_one_row_is_left_in_the_next() -> None:
    sheet = laid_out((SheetRow(("ice", 3)), SheetRow(("", None))))
    assert (sheet["A6"].value, sheet["B6"].value) == (None, None)


def test_a_formula_comes_without_a_value() -> None:
    """What a program does not work out by itself is blank, and never a nought that looks real."""
    file = written(Page("Sheet", "A title", COLUMNS, ((SheetRow((Formula(lambda _: "=1+1"),)),),)))
    assert openpyxl.load_workbook(file, data_only=True)["Sheet"]["A5"].value is None


def test_numbers_are_those_of_the_page() -> None:
    amounts = [Decimal(digits) for digits in ("0.1", "1E-9", "1E+3", "1000000000000000", "0")]
    sheet = laid_out(tuple(SheetRow(("ice", amount)) for amount in amounts))
    assert [cell.value for cell in sheet["B"]][4:] == [float(amount) for amount in amounts]


def test_an_alert_is_bold_and_filled() -> None:
    cell = laid_out((SheetRow(("ice", 3), Look.ALERT),))["A5"]
    assert cell.font.b
    assert cell.fill.fill_type == "solid"
    assert cell.border.top.style


def test_what_runs_over_columns_is_joined_and_high_enough() -> None:
    sheet = laid_out((note("word " * 30),))
    assert "A5:B5" in [str(joined) for joined in sheet.merged_cells.ranges]
    assert sheet.row_dimensions[5].height > 3 * 11


def test_what_runs_over_columns_takes_no_more_lines_than_it_needs() -> None:
    text = "word word word word word word"
    sheet = laid_out((SheetRow((text,)), note(text)))
    assert sheet.row_dimensions[5].height > sheet.row_dimensions[6].height


def test_bold_letters_take_more_lines() -> None:
    text = "m" * 12
    sheet = laid_out((SheetRow((text,)), SheetRow((text,), Look.TOTAL)))
    assert sheet.row_dimensions[5].height < sheet.row_dimensions[6].height


def test_charts_side_by_side_are_as_wide_as_the_columns() -> None:
    charts = tuple(Chart("acid", column=1, rows=1, above=1, top=1) for _ in range(4))
    sheet = laid_out((SheetRow(("now", 1)), SheetRow((), charts=charts)))
    *_, last = sheet._charts  # type: ignore[attr-defined]  # noqa: SLF001
    assert last.anchor.to.col == 1
    assert last.anchor.to.colOff > 0.8 * 10 * 7 * 9_525


def test_a_row_to_write_in_is_as_high_as_it_asks_for() -> None:
    sheet = laid_out((SheetRow(("ice", 3)), SheetRow(("ice", 3), lines=2)))
    assert sheet.row_dimensions[6].height == sheet.row_dimensions[5].height + 12.25


def test_a_row_with_a_box_to_write_in_has_room_for_a_hand() -> None:
    """The squares of squared paper are 5 mm high; common practice, no source."""
    columns = (SheetColumn("Item", 20), SheetColumn("Taken", 10, CellForm.WRITE))
    rows = (SheetRow(("ice",)), note("ice"), SheetRow(("ice\nice",), Look.ALERT))
    sheet = on_sheet(Page("Sheet", "A title", columns, (rows,)))
    in_mm = [sheet.row_dimensions[row].height * 25.4 / 72 for row in (5, 6, 7)]
    assert 5 <= in_mm[0] < 5.1
    assert in_mm[1] < 5 < in_mm[2]


def test_wrapped_text_has_the_height_of_its_lines() -> None:
    sheet = laid_out((SheetRow(("one\ntwo\nthree",)), SheetRow(("one",))))
    assert sheet.row_dimensions[5].height > 2 * sheet.row_dimensions[6].height


def test_a_row_may_say_what_its_cells_after_the_first_hold() -> None:
    sheet = laid_out(
        (SheetRow(("now", Decimal("0.5")), form=CellForm.PERCENT), SheetRow(("ice", 3)))
    )
    assert [sheet[cell].number_format for cell in ("A5", "B5", "B6")] == ["@", "0.0%", "General"]


def test_a_row_with_charts_is_as_high_as_they_are() -> None:
    row = SheetRow((), charts=(Chart("acid", column=1, rows=1, above=1, top=1),))
    sheet = laid_out((SheetRow(("now", 1)), row))
    assert sheet.row_dimensions[6].height == HEIGHT
    [bars] = sheet._charts  # type: ignore[attr-defined]  # noqa: SLF001
    assert bars.anchor._from.row == 5  # noqa: SLF001 - its public name


def test_heights_and_widths_are_kept_to_the_last_digit() -> None:
    columns = (SheetColumn("Item", 9.5), SheetColumn("Amount", 66))
    rows = tuple(SheetRow(("\n".join("x" * lines),)) for lines in range(1, 41))
    sheet = on_sheet(Page("Sheet", "A title", columns, (rows,)))
    heights = [sheet.row_dimensions[row].height for row in range(1, 45)]
    assert heights == [18, 12.75, 12.75, 12.75, *(12.25 * lines + 0.5 for lines in range(1, 41))]
    assert [sheet.column_dimensions[letter].width for letter in "AB"] == [9.5, 66]


@pytest.mark.parametrize("foot", ["R&G.db", "a & b", "&[Picture]", "&", "2027"])
def test_the_foot_is_a_text_whatever_it_holds(foot: str) -> None:
    sheet: Any = on_sheet(Page("Sheet", "A title", COLUMNS, ()), foot)
    parts = sheet.oddFooter
    found = (parts.left.text, parts.center.text, parts.right.text)
    assert found == ("&A", foot.replace("&", "&&"), "Page &P of &N")


@pytest.mark.parametrize("letter", ["x", "&", "\U0001f9ea"])
def test_a_long_foot_is_cut_before_it_is_longer_than_a_spreadsheet_takes(letter: str) -> None:
    with ZipFile(written(Page("Sheet", "A title", COLUMNS, ()), letter * 300)) as file:
        sheet = file.read("xl/worksheets/sheet1.xml").decode()
    code = unescape(sheet.split("<oddFooter>")[1].split("</oddFooter>")[0])
    assert len(code.encode("utf-16-le")) // 2 <= 255
    letters = '&10&"Arial,Regular"'
    assert code.startswith(f"&L{letters}&A&C{letters}{letter}")
    assert code.endswith(f"{letter}&R{letters}Page &P of &N")
    middle = code.removeprefix(f"&L{letters}&A&C{letters}")
    middle = middle.removesuffix(f"&R{letters}Page &P of &N")
    assert middle.count("&") % 2 == 0


def test_a_sheet_for_the_screen_prints_nothing_of_its_columns() -> None:
    sheet = on_sheet(Page("Sheet", "A title", COLUMNS, (), is_for_screen=True))
    assert sheet.print_area == "'Sheet'!$C$1"


def test_a_sheet_with_nothing_to_say_prints_nothing_of_its_columns() -> None:
    sheet = on_sheet(Page("Sheet", "A title", COLUMNS, ((note("none"),),), is_blank=True))
    assert sheet.print_area == "'Sheet'!$C$1"
    assert sheet["A5"].value == "none"


def test_rows_for_the_screen_stand_below_what_is_printed() -> None:
    printed, seen = (SheetRow(("ice", 3)),), (SheetRow(("salt", 4)),)
    sheet = on_sheet(Page("Sheet", "A title", COLUMNS, (printed,), on_screen=(seen,)))
    assert sheet.print_area == "'Sheet'!$A$1:$B$5"
    assert [cell.value for cell in sheet["A"]][4:] == ["ice", "salt"]
    assert not on_sheet(Page("Sheet", "A title", COLUMNS, (printed,))).print_area


def test_what_is_wanted_if_there_is_room_is_printed_there_and_else_for_the_screen() -> None:
    extra = part("charts", 3)
    for rows, is_printed in ((33, True), (34, False)):
        lines = [(SheetRow((str(row), row)),) for row in range(rows)]
        seen = ((SheetRow(("figures",)),),)
        page = Page("Sheet", "A title", COLUMNS, lines, if_room=extra, on_screen=seen)
        sheet = on_sheet(page)
        last = 4 + rows + len(extra) * is_printed
        assert sheet.print_area == f"'Sheet'!$A$1:$B${last}"
        assert [cell.value for cell in sheet["A"]][4 + rows] == "charts"
        assert sheet.row_breaks.brk == []


def test_a_row_that_is_tied_to_the_one_above_is_not_parted_from_it() -> None:
    rows = [SheetRow(("one", 1)), SheetRow(("two", 2), is_tied=True)] * 40
    assert [one - 4 for one in breaks(tuple(rows))][:2] == [36, 76]
    plain = [SheetRow(("one", 1))] * 80
    assert [one - 4 for one in breaks(tuple(plain))][:2] == [37, 78]


def test_no_page_is_begun_among_rows_for_the_screen() -> None:
    seen = [(SheetRow((str(row), row)), SheetRow((str(row), row))) for row in range(100)]
    sheet = on_sheet(Page("Sheet", "A title", COLUMNS, (), on_screen=seen))
    assert sheet.row_breaks.brk == []


FOUR = (*COLUMNS, SheetColumn("For", 10), SheetColumn("Initials", 6, CellForm.WRITE))


def joined_below(sheet: Worksheet) -> set[str]:
    """Return the joined cells of the rows; the three lines on top are joined over all columns."""
    joined = {str(one) for one in sheet.merged_cells.ranges}
    assert joined >= {"A1:D1", "A2:D2", "A3:D3"}
    return joined - {"A1:D1", "A2:D2", "A3:D3"}


def test_a_line_on_top_is_not_wider_than_the_sheet_and_as_high_as_it_needs() -> None:
    """Ten letters m of 14 points bold are 124 points wide, of 10 points 83; the sheet has 157."""
    long = "m" * 15
    file = BytesIO()
    with Workbook(file, {}) as book:
        page = Page("Sheet", long, COLUMNS, [(SheetRow(("one", 1)),) for _ in range(40)])
        fill_sheet(book, add_styles(book), page, (f"{long} {long}", "caution"), "foot")
    sheet = openpyxl.load_workbook(file)["Sheet"]
    assert [sheet.row_dimensions[row].height for row in (1, 2, 3)] == [36, 25.5, 12.75]
    # 525.5 points of a page less these lines are 35 rows, where 37 stand under one line each.
    assert [one.id - 4 for one in sheet.row_breaks.brk] == [35]


def test_a_second_text_may_run_on_after_the_first() -> None:
    row = SheetRow(("ice", None, "made by"), Look.BAND, runs_from=0, then_from=2)
    sheet = on_sheet(Page("Sheet", "A title", FOUR, ((row,),)))
    assert joined_below(sheet) == {"A5:B5", "C5:D5"}
    assert (sheet["A5"].value, sheet["C5"].value) == ("ice", "made by")


def test_a_text_that_runs_on_up_to_another_takes_no_more_lines_than_it_needs() -> None:
    text = "word word word word word"
    rows = (
        SheetRow((text,), Look.TOTAL),
        SheetRow((text,), Look.TOTAL, runs_from=0, then_from=2),
        SheetRow((f"{text} word word word",), Look.TOTAL, runs_from=0, then_from=2),
    )
    sheet = on_sheet(Page("Sheet", "A title", FOUR, (rows,)))
    assert [sheet.row_dimensions[row].height for row in (5, 6, 7)] == [25, 12.75, 25]


def test_a_box_that_a_text_runs_over_needs_no_room_for_a_hand() -> None:
    rows = (
        SheetRow(("", 1, "ice"), runs_from=1),
        SheetRow(("", 1, "ice"), runs_from=1, then_from=3),
        SheetRow(("ice",), Look.BAND, runs_from=0, is_written_in=True),
    )
    sheet = on_sheet(Page("Sheet", "A title", FOUR, (rows,)))
    assert [sheet.row_dimensions[row].height for row in (5, 6, 7)] == [12.75, 14.25, 14.25]


def test_a_text_may_end_before_a_box_that_follows_it() -> None:
    rows = (
        SheetRow(("ice", None, "lot"), runs_from=0, runs_to=1),
        SheetRow(("", "ice"), runs_from=1, runs_to=3),
    )
    sheet = on_sheet(Page("Sheet", "A title", FOUR, (rows,)))
    assert joined_below(sheet) == {"A5:B5", "B6:D6"}
    assert [sheet.row_dimensions[row].height for row in (5, 6)] == [14.25, 12.75]
    assert (sheet["A5"].value, sheet["C5"].value) == ("ice", "lot")


def test_an_upright_page_has_half_as_many_rows_again() -> None:
    """A4 is 842 points high less 54 of margins: 57 rows of 12.75 under the titles, then 60."""
    rows = [(SheetRow(("one", 1)),) for _ in range(130)]
    sheet = on_sheet(Page("Sheet", "A title", COLUMNS, rows, is_upright=True))
    assert sheet.page_setup.orientation == "portrait"
    assert [one.id - 4 for one in sheet.row_breaks.brk] == [57, 117]
    across = on_sheet(Page("Sheet", "A title", COLUMNS, rows))
    assert across.page_setup.orientation == "landscape"
    assert [one.id - 4 for one in across.row_breaks.brk] == [37, 78, 119]


def told_cell(row: SheetRow, columns: tuple[SheetColumn, ...] = FOUR) -> Any:  # noqa: ANN401 - openpyxl's own
    """Return the first cell of a row with the fonts of its pieces."""
    book = openpyxl.load_workbook(
        written(Page("Sheet", "A title", columns, ((row,),))), rich_text=True
    )
    return book["Sheet"]["A5"]


def test_words_are_bold_and_what_is_told_after_them_is_not() -> None:
    cell = told_cell(told(("How", "Stir."), ("Label", "acid")))
    assert [(piece.text, bool(piece.font.b), piece.font.sz) for piece in cell.value] == [
        ("How: ", True, 10),
        ("Stir.", False, 10),
        (" · Label: ", True, 10),
        ("acid", False, 10),
    ]


def test_all_is_bold_in_a_row_that_stands_out() -> None:
    cell = told_cell(told(("SHORT", "ice"), look=Look.ALERT))
    assert [bool(piece.font.b) for piece in cell.value] == [True, True]


def test_what_is_told_over_columns_stands_on_the_left_of_the_first() -> None:
    columns = (SheetColumn("Done", 6, CellForm.MIDDLE), SheetColumn("Item", 20))
    assert told_cell(told(("How", "Stir.")), columns).alignment.horizontal == "left"
    assert told_cell(SheetRow(("x",)), columns).alignment.horizontal == "center"


def test_a_word_without_a_text_stands_alone() -> None:
    assert str(told_cell(told(("How", ""), ("Label", "acid"))).value) == "How:  · Label: acid"


def test_what_is_told_is_cut_where_a_cell_takes_no_more() -> None:
    cell = laid_out((told(("How", "x" * 40_000), ("Label", "acid")),))["A5"]
    assert cell.value == f"How: {'x' * 32_762}"


def test_what_is_told_has_the_height_of_its_lines() -> None:
    """Twelve letters m of 8.33 points and the word are wider than 30 columns; without it, not."""
    text = "m" * 17
    rows = (SheetRow((text,), runs_from=0), told(("Hazards", text)))
    sheet = on_sheet(Page("Sheet", "A title", COLUMNS, (rows,)))
    assert [sheet.row_dimensions[row].height for row in (5, 6)] == [12.75, 25]


def test_margins_leave_room_for_the_foot() -> None:
    margins = laid_out().page_margins
    assert (margins.left, margins.right, margins.top, margins.bottom) == (0.3, 0.3, 0.3, 0.45)
    assert (margins.header, margins.footer) == (0.2, 0.2)


def part(name: str, rows: int) -> Block:
    return (band(name), *(SheetRow((f"{name} {number}", number)) for number in range(rows)))


def breaks(*blocks: Block) -> list[int]:
    return [one.id for one in laid_out(*blocks).row_breaks.brk]


def test_parts_that_fit_on_a_page_together_are_not_parted() -> None:
    assert breaks(part("Mon", 3), part("Tue", 3)) == []


def test_a_part_that_does_not_fit_on_the_rest_of_a_page_begins_the_next() -> None:
    assert breaks(part("Mon", 20), part("Tue", 20)) == [25]


def test_a_part_longer_than_a_page_begins_at_once() -> None:
    assert breaks(part("Mon", 15), part("Tue", 200))[0] == 4 + 37


def test_a_part_longer_than_a_page_does_not_begin_on_the_last_lines_of_one() -> None:
    assert breaks(part("Mon", 29), part("Tue", 200))[0] == 4 + 30


def test_a_page_that_is_hardly_begun_is_not_left() -> None:
    assert breaks(part("Mon", 1), part("Tue", 27)) == []


def test_a_list_is_broken_where_a_page_is_full_so_that_no_program_prints_it_smaller() -> None:
    """LibreOffice prints a sheet up to 2 % smaller where that saves a page, as measured."""
    found = breaks(*((SheetRow((str(number), number)),) for number in range(200)))
    assert {second - first for first, second in pairwise(found)} == {ONE_PAGE}
    assert len(found) == 4
    assert breaks(*((SheetRow((str(number), number)),) for number in range(37))) == []
    assert breaks(*((SheetRow((str(number), number)),) for number in range(38))) == [4 + 37]


def test_a_list_goes_on_over_pages_and_what_follows_stays_whole_on_the_last() -> None:
    """On each page a list has three ends that leave too little room for four rows together.

    Where a list ends with the page, what follows begins a new one of itself.
    """
    lists = [[(SheetRow((str(row), row)),) for row in range(rows)] for rows in ENDS]
    begun = [len(rows) for rows in lists if 4 + len(rows) in breaks(*rows, part("Tue", 3))]
    steps = [second - first for first, second in pairwise(begun)]
    assert steps[:7] == [1, 1, 1, ONE_PAGE - 3, 1, 1, 1]


ONE_PAGE = 41
ENDS = (*range(31, 40), *range(72, 81))
"""Lists that end near the end of the first page or of the second."""


def goes_on(*blocks: Block, has_a_page_each: bool = False) -> tuple[list[int], list[object]]:
    """Return the breaks of a page that repeats its bands, and its first column."""
    page = Page(
        "Sheet", "A title", COLUMNS, blocks, has_a_page_each=has_a_page_each, repeats_bands=True
    )
    sheet = on_sheet(page)
    return [one.id for one in sheet.row_breaks.brk], [cell.value for cell in sheet["A"]]


def test_a_page_that_goes_on_has_its_band_again_at_its_head() -> None:
    begun, cells = goes_on(part("Mon", 1), *((row,) for row in part("Mon", 60)[1:]))
    assert begun
    assert [cells[number] for number in begun] == ["Mon (goes on)"] * len(begun)
    assert cells.count("Mon") == 1
    rows = [str(cell) for cell in cells[4:] if "goes on" not in str(cell)]
    assert len(rows) == 62


def test_a_band_is_repeated_only_on_a_page_that_wants_it() -> None:
    sheet = laid_out(*((row,) for row in part("Mon", 60)))
    assert sheet.row_breaks.brk
    assert not any("goes on" in str(cell.value) for cell in sheet["A"])


def test_no_page_that_goes_on_is_longer_than_paper() -> None:
    begun, _ = goes_on(part("Mon", 1), *((row,) for row in part("Mon", 100)[1:]))
    assert {second - first for first, second in pairwise(begun)} == {ONE_PAGE}


def test_a_day_does_not_begin_on_the_last_line_of_a_page() -> None:
    begun, cells = goes_on(*((row,) for row in part("Mon", 34)), part("Tue", 1), part("Wed", 1))
    assert [cells[number] for number in begun] == ["Wed"]


def test_a_session_goes_on_under_its_own_band_and_the_next_begins_a_page() -> None:
    begun, cells = goes_on(part("S", 40), part("T", 3), has_a_page_each=True)
    assert [cells[number] for number in begun] == ["S (goes on)", "T"]


def test_a_band_that_begins_a_page_does_not_go_on() -> None:
    firsts = set()
    for rows in range(29, 45):
        begun, cells = goes_on(*((row,) for row in part("Mon", rows)), (band("Tue"),))
        assert "Tue (goes on)" not in cells
        firsts |= {cells[number] for number in begun}
    assert firsts == {"Mon (goes on)", "Tue"}
