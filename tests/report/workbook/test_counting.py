from pathlib import Path

import openpyxl
import pytest

from prepstore.report.workbook.counting import write_counting_sheet
from prepstore.report.workbook.workbook import WorkbookError
from prepstore.shelf.counting import to_be_counted
from prepstore.stores import Holding
from prepstore.tables.counting_sheet import read_counting_sheet
from tests.shelf.small_shelf import DAY, STOCK, shelf

SHELF = shelf(stock=f"{STOCK.rstrip()}\n    =1+1,salt,5 g,,,,,@home\n")


def _written(path: Path, lots: list[Holding] | None = None) -> Path:
    chosen = to_be_counted(SHELF, None, None) if lots is None else lots
    write_counting_sheet(chosen, path, "stores.db", DAY, 17)
    return path


def _rows(path: Path) -> list[list[str]]:
    sheet = openpyxl.load_workbook(path)["Count"]
    return [[str(cell.value or "") for cell in row] for row in sheet.iter_rows()]


def test_lots_stand_by_place_then_item_then_label(tmp_path: Path) -> None:
    rows = _rows(_written(tmp_path / "c.xlsx"))[4:]
    assert [row[0] for row in rows] == [
        "@home", "=1+1",
        "cabinet C", "E1", "E3",
        "drawer 1", "G1",
        "shelf 1", "A1", "A2", "A3",
        "shelf 2", "A4",
        "shelf 3", "S1",
        "shelf B", "B1",
    ]  # fmt: skip


def test_a_lot_says_what_it_should_hold_and_leaves_room_for_what_is_found(tmp_path: Path) -> None:
    rows = {row[0]: row[1:] for row in _rows(_written(tmp_path / "c.xlsx"))}
    assert rows["Lot"] == [
        "Item or solution", "Expiry", "Opened", "Containers", "State", "Should hold", "Counted",
        "Note",
    ]  # fmt: skip
    assert rows["A4"] == ["acetone", "2027-06-30", "", "1", "quarantine", "3 L", "", ""]
    assert rows["E1"] == ["ether", "2028-06-30", "2027-01-04", "1", "", "1 L", "", ""]
    assert rows["G1"] == ["glove", "", "", "1", "", "20", "", ""]


def test_no_text_of_the_sheet_is_a_formula(tmp_path: Path) -> None:
    sheet = openpyxl.load_workbook(_written(tmp_path / "c.xlsx"))["Count"]
    cells = [cell for row in sheet.iter_rows() for cell in row]
    assert any(cell.value == "=1+1" for cell in cells)
    assert "f" not in {cell.data_type for cell in cells}
    to_fill_in = [row[7] for row in sheet.iter_rows(min_row=6) if row[1].value]
    assert {cell.number_format for cell in to_fill_in} == {"@"}


def test_the_sheet_prints_on_a4_with_its_headings_and_page_numbers(tmp_path: Path) -> None:
    sheet = openpyxl.load_workbook(_written(tmp_path / "c.xlsx"))["Count"]
    assert sheet.page_setup.paperSize == 9
    assert sheet.print_title_rows == "$4:$4"
    assert sheet.oddFooter is not None
    assert sheet.oddFooter.right.text == "Page &P of &N"
    assert {sheet.row_dimensions[row].height > 24 for row in (6, 8, 9)} == {True}


def test_what_is_written_is_read_back_once_it_is_filled_in(tmp_path: Path) -> None:
    path = _written(tmp_path / "c.xlsx")
    book = openpyxl.load_workbook(path)
    for row in book["Count"].iter_rows(min_row=5):
        if row[1].value:
            row[7].value = row[6].value
    book.save(path)
    lots = {held.label: held.material for held in SHELF.lots.values()}
    read = read_counting_sheet(path, lots)
    assert read.after_movement == 17
    assert {one.lot: str(one.amount) for one in read.found} == {
        "=1+1": "5 g", "E1": "1 L", "E3": "3 L", "G1": "20 each", "A1": "1 L", "A2": "500 mL",
        "A3": "2 L", "A4": "3 L", "S1": "1.5 kg", "B1": "250 mL",
    }  # fmt: skip


def test_a_folder_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(WorkbookError, match="there is no folder"):
        _written(tmp_path / "none" / "c.xlsx")


def test_a_place_written_in_other_capitals_is_one_place(tmp_path: Path) -> None:
    stock = """
        lot,item,amount,place
        A1,acetone,1 L,Shelf 1
        G1,glove,20 each,shelf 1
        S1,salt,5 g,Shelf 1
    """
    lots = to_be_counted(shelf(stock=stock), None, None)
    rows = _rows(_written(tmp_path / "c.xlsx", lots))[4:]
    assert [row[0] for row in rows] == ["Shelf 1", "A1", "G1", "S1"]
