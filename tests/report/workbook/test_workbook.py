import tempfile
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Any
from zipfile import ZipFile

import openpyxl
import pytest
from openpyxl.workbook import Workbook
from xlsxwriter.packager import Packager

from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.report.workbook import workbook
from prepstore.report.workbook.page import ACROSS, UPRIGHT, Block, Page, SheetColumn, note
from prepstore.report.workbook.text_lines import lines_of
from prepstore.report.workbook.workbook import (
    Origin,
    WorkbookError,
    pages_of,
    write_workbook,
)
from prepstore.safety.cautions import IN_SHORT
from tests.builders import facts_from
from tests.report.workbook.a_week import TABLES, a_week, an_empty_week

ORIGIN = Origin(version="9.8.7", store="chemistry.db")
SHEETS = [
    "Week", "Prepare", "Make up", "Set out", "Stock", "Order", "Waste", "Apparatus", "Cautions",
    "Workings",
]  # fmt: skip


def written(plan: Plan, folder: Path) -> Workbook:
    path = folder / "plan.xlsx"
    write_workbook(plan, path, ORIGIN)
    return openpyxl.load_workbook(path)


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Workbook:
    """The week's workbook, to be read."""
    return written(a_week(), tmp_path_factory.mktemp("week"))


def test_the_sheets_stand_in_their_order(book: Workbook) -> None:
    assert book.sheetnames == SHEETS


def test_a_week_without_sessions_has_all_sheets_and_says_so(tmp_path: Path) -> None:
    book = written(an_empty_week(), tmp_path)
    assert book.sheetnames == SHEETS
    assert str(book["Week"]["A5"].value).startswith("No session falls in this period. Nothing on ")
    assert book["Make up"]["A5"].value == "No solution is to be made up."


def test_every_sheet_says_what_it_is_where_it_comes_from_and_what_comes_first(
    book: Workbook,
) -> None:
    for sheet in book:
        assert sheet["A1"].value
        assert sheet["A2"].value == (
            "Planned on Mon 25 Jan 2027 for Week 2027-W05, Mon 1 Feb to Sun 7 Feb · "
            "prepstore 9.8.7 · store chemistry.db"
        )
        assert sheet["A3"].value == IN_SHORT


UPRIGHT_SHEETS = {"Week", "Prepare", "Make up", "Set out", "Cautions"}
"""Of lists with short rows, of which more stand on an upright page; others are tables."""


def test_every_sheet_prints_on_a4_with_its_headings_on_each_page(book: Workbook) -> None:
    sheets: list[Any] = list(book)
    for sheet in sheets:
        assert sheet.freeze_panes == "A5"
        assert sheet.print_title_rows == "$4:$4"
        way = "portrait" if sheet.title in UPRIGHT_SHEETS else "landscape"
        assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == (way, 9)
        assert sheet.sheet_properties.pageSetUpPr.fitToPage
        # One page wide, which a file need not say, and as many high as it takes.
        assert (sheet.page_setup.fitToWidth or 1, sheet.page_setup.fitToHeight) == (1, 0)
        assert (sheet.oddFooter.left.text, sheet.oddFooter.right.text) == ("&A", "Page &P of &N")
        assert sheet.oddFooter.center.text == (
            "Week 2027-W05 · planned on Mon 25 Jan 2027 · not a risk assessment"
        )


def test_long_lists_have_a_filter_over_their_rows_but_not_over_the_remark_below(
    book: Workbook,
) -> None:
    stock = book["Stock"]
    assert stock.auto_filter.ref == f"A4:G{stock.max_row - 1}"
    assert book["Workings"].auto_filter.ref
    assert book["Week"].auto_filter.ref is None


def test_costs_are_live_formulas_and_come_to_what_the_plan_says(tmp_path: Path) -> None:
    plan = a_week()
    sheet: Any = written(plan, tmp_path)["Order"]
    rows = [row for row in range(5, sheet.max_row + 1) if sheet.cell(row, 5).value]
    assert rows
    for row in rows:
        assert sheet.cell(row, 7).value == f"=E{row}*F{row}"
        assert sheet.cell(row, 7).data_type == "f"
    total = sum(sheet.cell(row, 5).value * sheet.cell(row, 6).value for row in rows)
    assert total == pytest.approx(float(sum(order.cost for order in plan.orders)))
    assert sheet.cell(rows[-1] + 1, 7).value == f"=SUM(G{rows[0]}:G{rows[-1]})"


def test_days_to_order_by_are_real_dates_shown_the_iso_way(book: Workbook) -> None:
    sheet = book["Order"]
    cell = next(cell for cell in sheet["I"] if isinstance(cell.value, datetime))
    assert (cell.value, cell.number_format) == (datetime(2027, 2, 1), "yyyy-mm-dd")  # noqa: DTZ001


def test_a_text_that_looks_like_a_formula_stays_a_text(tmp_path: Path) -> None:
    timetable = "session,practical,date,students\n=cmd|'/c calc'!A0,ESTER,2027-02-02,12"
    book = written(a_week(timetable=timetable), tmp_path)
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    mine = [cell for cell in cells if cell.value == "=cmd|'/c calc'!A0"]
    assert mine
    assert all(cell.data_type == "s" for cell in mine)


def test_the_file_is_replaced_whole_and_nothing_else_is_left(tmp_path: Path) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_text("an older plan")
    write_workbook(a_week(), path, ORIGIN)
    assert openpyxl.load_workbook(path).sheetnames == SHEETS
    assert [file.name for file in tmp_path.iterdir()] == ["plan.xlsx"]


def test_a_plan_that_cannot_be_saved_leaves_what_was_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plan.xlsx"
    path.write_text("an older plan")

    def refuse(_: Path, target: Path) -> None:
        raise PermissionError(13, "Permission denied", str(target))

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(WorkbookError, match="open in a spreadsheet, or is its folder read-only"):
        write_workbook(a_week(), path, ORIGIN)
    assert path.read_text() == "an older plan"
    assert [file.name for file in tmp_path.iterdir()] == ["plan.xlsx"]


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(WorkbookError, match="there is no folder"):
        write_workbook(a_week(), tmp_path / "nowhere" / "plan.xlsx", ORIGIN)


def test_the_file_says_what_it_is(book: Workbook) -> None:
    properties = book.properties
    assert properties.title == "Plan of Week 2027-W05, Mon 1 Feb to Sun 7 Feb"
    assert properties.creator == "prepstore"
    assert properties.subject


@pytest.mark.parametrize(
    "period",
    [Period.of_week("2027-W12"), Period(date(2027, 3, 22), date(2027, 3, 28))],
)
def test_no_foot_runs_into_the_page_number_of_an_upright_page(
    tmp_path: Path, period: Period
) -> None:
    """It stands in the middle of 552 points, on whose right "Page 100 of 120" takes 73."""
    plan = facts_from(TABLES).plan(period, date(2027, 3, 17))
    sheet: Any = written(plan, tmp_path)["Set out"]
    foot = sheet.oddFooter.center.text
    assert foot.endswith("planned on Wed 17 Mar 2027 · not a risk assessment")
    assert lines_of(foot, 552 - 2 * 73, 10) == 1


def test_widths_count_digits_of_a_font_that_every_machine_has(book: Workbook) -> None:
    first = book._fonts[0]  # type: ignore[attr-defined]  # noqa: SLF001
    assert (first.name, first.sz) == ("Arial", 9.5)


def test_no_sheet_is_so_wide_that_it_prints_smaller_than_it_is() -> None:
    """A column is 5.305 points wide a character in LibreOffice, as measured in its PDF."""
    assert ACROSS * 5.305 <= 842 - 2 * 0.3 * 72
    assert UPRIGHT * 5.305 <= 595 - 2 * 0.3 * 72
    for page in pages_of(a_week()):
        widest = UPRIGHT if page.is_upright else ACROSS
        assert sum(column.width for column in page.columns) <= widest, page.name


def test_the_same_plan_gives_the_same_file_but_for_when_it_was_made(tmp_path: Path) -> None:
    def parts() -> dict[str, bytes]:
        written(a_week(), tmp_path)
        with ZipFile(tmp_path / "plan.xlsx") as file:
            return {name: file.read(name) for name in file.namelist()}

    first, second = parts(), parts()
    assert list(first) == list(second)
    assert {name for name in first if first[name] != second[name]} <= {"docProps/core.xml"}


@pytest.mark.parametrize("longest_in_memory", [0, 400])
def test_what_waited_on_disk_is_removed_also_where_a_page_fails(
    longest_in_memory: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workbook, "_LONG", longest_in_memory)
    waiting = tmp_path / "waiting"
    waiting.mkdir()
    monkeypatch.setattr(tempfile, "tempdir", str(waiting))
    write_workbook(a_week(), tmp_path / "plan.xlsx", ORIGIN)
    assert list(waiting.iterdir()) == []

    def blocks() -> Iterator[Block]:
        yield (note("first"),)
        (folder,) = waiting.iterdir()
        assert bool(list(folder.iterdir())) == (longest_in_memory == 0)
        raise ZeroDivisionError

    page = Page("Broken", "A title", (SheetColumn("Item", 20),), blocks())
    with pytest.raises(ZeroDivisionError):
        write_workbook(a_week(), tmp_path / "broken.xlsx", ORIGIN, [page])
    assert list(waiting.iterdir()) == []
    assert not (tmp_path / "broken.xlsx").exists()


def test_a_disk_without_room_for_waiting_rows_is_a_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Packager, "_create_package", refuse)
    with pytest.raises(WorkbookError, match=r"temporary files: .*No space left on device"):
        write_workbook(a_week(), tmp_path / "plan.xlsx", ORIGIN)


def test_a_long_workbook_whose_rows_wait_on_disk_has_the_same_cells(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def cells(book: Workbook) -> list[object]:
        return [
            (
                sheet.title,
                cell.coordinate,
                cell.value,
                cell.data_type,
                cell.number_format,
                repr(cell.font),
            )
            for sheet in book
            for row in sheet.iter_rows()
            for cell in row
        ]

    short = cells(written(a_week(), tmp_path))
    monkeypatch.setattr(workbook, "_LONG", 0)
    assert cells(written(a_week(), tmp_path)) == short


def test_no_sheet_names_a_folder_of_this_machine(tmp_path: Path) -> None:
    for sheet in written(a_week(), tmp_path):
        for row in sheet.iter_rows(values_only=True):
            assert not any(str(tmp_path) in str(value) for value in row)


def test_sixty_sessions_are_one_workbook(tmp_path: Path) -> None:
    sessions = "\n".join(
        f"S{number:02},ESTER,2027-02-{1 + number % 5:02},12" for number in range(60)
    )
    timetable = f"session,practical,date,students\n{sessions}"
    book = written(a_week(timetable=timetable, settings=TABLES["settings"]), tmp_path)
    listed = {
        str(row[2]).split("\n")[0] for row in book["Week"].iter_rows(min_row=5, values_only=True)
    }
    assert {f"S{number:02}" for number in range(60)} <= listed
