from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from prepstore.report.workbook.worth import Of, write_worth
from prepstore.shelf.worth import Grouping
from tests.builders import day
from tests.report.test_worth_list import LOTS, WORTHS


def _sheet(tmp_path: Path, by: Grouping, *, is_empty: bool = False) -> Any:  # noqa: ANN401 - openpyxl
    path = tmp_path / "year-end.xlsx"
    worths, lots = ([], []) if is_empty else (WORTHS, LOTS)
    write_worth(worths, lots, by, path, Of(day("07-31"), "prepstore.db", "EUR"))
    (sheet,) = load_workbook(path).worksheets
    return sheet


def _cells(sheet: Any, *columns: str) -> list[tuple[object, ...]]:  # noqa: ANN401 - openpyxl
    return [
        tuple(sheet[f"{column}{row}"].value for column in columns)
        for row in range(5, sheet.max_row + 1)
    ]


def test_the_list_says_its_day_and_has_a_line_a_lot_that_holds_something(tmp_path: Path) -> None:
    sheet = _sheet(tmp_path, Grouping.ITEM)
    assert sheet["A1"].value == "Stock on Sat 31 Jul 2027, by item"
    assert _cells(sheet, "A", "B", "J", "K") == [
        ("acetone", None, None, None),
        ("A1", "acetone", 14.9, "paid"),
        (None, "Together", "=SUM(J6:J6)", "paid"),
        ("brine", None, None, None),
        ("B1", "brine", 1.67, "estimated"),
        (None, "Together", "=SUM(J9:J9)", "estimated"),
        ("dye", None, None, None),
        ("D1", "dye", None, "not known"),
        (None, "Together", "=SUM(J12:J12)", "not known"),
        (
            None,
            "All lots",
            '=SUMIF(B5:B13,"Together",J5:J13)',
            "paid 90 %, estimated 10 %, some not known",
        ),
        ("Not counted, since no price is recorded and no pack is sold: dye.", None, None, None),
    ]
    assert (sheet["H6"].value, sheet["I6"].value, sheet["H9"].value) == (14.9, "L", 3.33)
    assert (sheet["I12"].value, sheet["H12"].value) == ("kg", None)
    assert sheet.page_setup.orientation == "landscape"


def test_lots_without_a_place_come_last_under_words_that_say_so(tmp_path: Path) -> None:
    bands = [a for a, b in _cells(_sheet(tmp_path, Grouping.PLACE), "A", "B") if a and not b]
    assert bands[:2] == ["shelf 1", "no place given"]


def test_an_empty_store_has_a_sheet_that_says_so(tmp_path: Path) -> None:
    assert _cells(_sheet(tmp_path, Grouping.ITEM, is_empty=True), "A") == [
        ("No lot holds anything.",)
    ]
