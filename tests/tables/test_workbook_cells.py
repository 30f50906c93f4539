import tracemalloc
import warnings
from pathlib import Path

import pytest
from openpyxl import Workbook
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont

from prepstore.problems import ProblemsError
from prepstore.tables.read import read_set
from prepstore.tables.workbook_cells import LARGEST_UNPACKED
from prepstore.written import WrittenRow


def _book(*rows: list[object], sheet: str = "stock") -> Workbook:
    book = Workbook()
    page = book.worksheets[0]
    page.title = sheet
    for row in rows:
        page.append(row)
    return book


def _stock(book: Workbook, folder: Path, name: str = "set.xlsx") -> list[WrittenRow]:
    book.save(folder / name)
    rows, problems = read_set(folder / name)
    assert problems == []
    return rows["stock"]


HEADER: list[object] = ["lot", "item", "amount"]


@pytest.mark.parametrize(
    ("value", "number_format", "label"),
    [
        ("00123", "@", "00123"),
        (123, "00000", "00123"),
        (123, "General", "123"),
        (123456, "00000", "123456"),
        (123, "0", "123"),
        (1.0, "General", "1"),
        ("None", "General", "None"),
        (True, "General", "yes"),
        ("=1+1", "@", "=1+1"),
    ],
)
def test_a_label_reads_as_it_is_shown(
    value: str | float, number_format: str, label: str, tmp_path: Path
) -> None:
    book = _book(HEADER, [None, "salt", "1 g"])
    cell = book.worksheets[0]["A2"]
    cell.value = value
    if isinstance(value, str):
        cell.data_type = "s"
    cell.number_format = number_format
    (row,) = _stock(book, tmp_path)
    assert row.text["lot"] == label


@pytest.mark.parametrize("name", ["set.xlsx", "SET.XLSX", "set.xlsm"])
def test_the_case_of_the_ending_does_not_matter(name: str, tmp_path: Path) -> None:
    assert len(_stock(_book(HEADER, ["L1", "salt", "1 g"]), tmp_path, name)) == 1


def test_a_sheets_name_is_compared_without_case(tmp_path: Path) -> None:
    (row,) = _stock(_book(HEADER, ["L1", "salt", "1 g"], sheet="STOCK"), tmp_path)
    assert (row.table, row.source, row.number) == ("stock", "set.xlsx, sheet STOCK", 2)


def test_blank_rows_and_columns_between_are_passed_over(tmp_path: Path) -> None:
    book = _book(HEADER, ["L1", "salt", "1 g"])
    book.worksheets[0].insert_rows(2, 3)
    book.worksheets[0]["Z9"].number_format = "0"
    (row,) = _stock(book, tmp_path)
    assert row.number == 5
    assert dict(row.text) == {"lot": "L1", "item": "salt", "amount": "1 g"}


def test_a_text_in_several_fonts_is_one_text(tmp_path: Path) -> None:
    text = CellRichText("1.5 ", TextBlock(InlineFont(b=True), "kg"))
    (row,) = _stock(_book(HEADER, ["L1", "salt", text]), tmp_path)
    assert row.text["amount"] == "1.5 kg"


def test_line_ends_of_a_cell_are_plain(tmp_path: Path) -> None:
    book = _book(["lot", "item", "amount", "place"], ["L1", "salt", "1 g", "one\ntwo"])
    (row,) = _stock(book, tmp_path)
    assert row.text["place"] == "one\ntwo"


def test_reading_warns_of_nothing(tmp_path: Path) -> None:
    book = _book(HEADER, ["L1", "salt", "1 g"])
    book.worksheets[0]["D2"] = 1e12
    book.worksheets[0]["D2"].number_format = "yyyy-mm-dd"
    book.save(tmp_path / "set.xlsx")
    with warnings.catch_warnings(record=True) as caught:
        warnings.simplefilter("always")
        _, problems = read_set(tmp_path / "set.xlsx")
    assert caught == []
    assert [problem.code for problem in problems] == ["row-too-long"]


def test_a_file_larger_than_a_workbook_may_unpack_to_is_not_read_whole(tmp_path: Path) -> None:
    with (tmp_path / "set.xlsx").open("wb") as file:
        file.truncate(LARGEST_UNPACKED + 1)  # a hole: takes no room
    tracemalloc.start()
    try:
        with pytest.raises(ProblemsError, match="unpacks to more than 256 MiB"):
            read_set(tmp_path / "set.xlsx")
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < LARGEST_UNPACKED / 100


def test_a_number_shown_as_a_percentage_is_read_as_it_is_shown(tmp_path: Path) -> None:
    """Of a column that reads 5 as 5 %, the 0.05 that the cell holds would be 0.05 %."""
    book = _book(["lot", "item", "amount", "place"], ["L1", "salt", "1 g", 0.05])
    book.worksheets[0]["D2"].number_format = "0.00%"
    (row,) = _stock(book, tmp_path)
    assert row.text["place"] == "5 %"
