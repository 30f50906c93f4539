from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from openpyxl import load_workbook

from prepstore.report.workbook.spending import write_spending
from prepstore.shelf.prices import estimated, paid
from prepstore.shelf.spending import Spending, Spent
from tests.report.test_spending_list import FOUND, NOTHING

MONTHS = [
    Spent("2027-02", "", paid(Fraction("7.125"))),
    Spent("2027-03", "", paid(Fraction(20)) + estimated(Fraction("0.5"))),
]


def _book(tmp_path: Path, found: Spending) -> Any:  # noqa: ANN401 - openpyxl
    path = tmp_path / "spending.xlsx"
    write_spending(found, path, "Store prepstore.db, up to 2027-07-31.", "EUR")
    return load_workbook(path)


def _rows(sheet: Any) -> list[tuple[object, ...]]:  # noqa: ANN401 - openpyxl
    return [tuple(cell.value for cell in row) for row in sheet.iter_rows(min_row=5)]


def test_there_is_a_sheet_each_and_one_of_months(tmp_path: Path) -> None:
    book = _book(tmp_path, replace(FOUND, months=MONTHS))
    assert book.sheetnames == ["Months", "Suppliers", "Sessions", "Practicals", "Items"]
    assert book["Suppliers"]["A2"].value == "Store prepstore.db, up to 2027-07-31."
    assert _rows(book["Suppliers"])[:3] == [
        ("2027-02", "Harbour", 7.125, 0, 7.125, "paid"),
        ("2027-03", "no supplier given", 0, 0.5, 0.5, "estimated, some not known"),
        ("All", None, 7.125, 0.5, 7.625, "paid 93 %, estimated 7 %, some not known"),
    ]
    assert _rows(book["Practicals"])[0] == ("P", 1, 0, 0, None, "not known")
    assert _rows(book["Items"])[2] == ("All", None, None, None, 1.25, 0, 1.25, "paid")


def test_spending_by_month_is_a_chart_up_to_the_largest_month(tmp_path: Path) -> None:
    sheet = _book(tmp_path, replace(FOUND, months=MONTHS))["Months"]
    (chart,) = sheet._charts  # noqa: SLF001 - openpyxl has no other way to see them
    assert chart.series[0].val.numRef.f == "Months!$D$5:$D$6"
    assert chart.y_axis.scaling.max == 21
    assert chart.y_axis.number_format.formatCode == "#,##0"
    assert [row[3] for row in _rows(sheet)] == [7.125, 20.5, None, 27.625]


def test_nothing_spent_has_no_chart(tmp_path: Path) -> None:
    sheet = _book(tmp_path, NOTHING)["Months"]
    assert sheet._charts == []  # noqa: SLF001 - openpyxl has no other way to see them
    assert [row[:4] for row in _rows(sheet)] == [("All", 0, 0, 0)]
