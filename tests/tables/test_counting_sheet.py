from collections.abc import Callable
from pathlib import Path

import openpyxl
import pytest
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.amounts import Kind
from prepstore.chemistry.conversions import Material
from prepstore.problems import ProblemsError
from prepstore.tables.counting_sheet import CountingSheet, read_counting_sheet

LOTS = {
    "A1": Material("acetone", Kind.VOLUME),
    "S1": Material("salt", Kind.MASS),
    "G1": Material("glove", Kind.COUNT),
}
TITLE = ("Count of the shelf",)
STAMP = ("Written on Wed 3 Mar 2027 from store x.db, after movement 146. Counted by:",)
HEADING = ("Lot", "Item or solution", "Counted", "Note")
TOP = (TITLE, STAMP, (), HEADING, ("cabinet B",))


def _sheet(
    path: Path,
    *rows: tuple[object, ...],
    top: tuple[tuple[object, ...], ...] = TOP,
    change: Callable[[Worksheet], object] = lambda _: None,
) -> Path:
    """Write a sheet whose rows begin in row 6; the cells of each are lot, item, counted, note."""
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Count"
    for row in (*top, *rows):
        sheet.append(list(row))
    change(sheet)
    book.save(path)
    return path


def _read(path: Path) -> CountingSheet:
    return read_counting_sheet(path, LOTS)


def _sentences(path: Path) -> list[str]:
    with pytest.raises(ProblemsError) as told:
        _read(path)
    return [problem.sentence for problem in told.value.problems]


def test_rows_in_which_something_was_counted_are_read_with_their_notes(tmp_path: Path) -> None:
    sheet = _sheet(
        tmp_path / "c.xlsx",
        ("A1", "acetone", "1.2 L", "spilt"),
        ("S1", "salt", None, "not found"),
        ("g1", "glove", 20),
    )
    read = _read(sheet)
    assert [(one.lot, str(one.amount), one.note) for one in read.found] == [
        ("A1", "1.2 L", "spilt"),
        ("g1", "20 each", ""),
    ]
    assert read.after_movement == 146


def test_columns_may_have_been_moved_about(tmp_path: Path) -> None:
    top = (TITLE, STAMP, ("Note", "Counted", "Lot"))
    sheet = _sheet(tmp_path / "c.xlsx", ("", "0 mL", "A1"), top=top)
    assert [one.lot for one in _read(sheet).found] == ["A1"]


@pytest.mark.parametrize(
    ("lot", "counted", "says"),
    [
        ("A1", "1.2", "'1.2' has no unit."),
        ("A1", 1.2, "'1.2' has no unit."),
        ("A1", "1,2 L", "'1,2 L'"),
        ("A1", "-1 L", "'-1 L'"),
        ("A1", "2 each", "'2 each' cannot be converted to mL"),
        ("A1", "9999999999 L", "'9999999999 L'"),
        ("A1", "=1+1", "holds a formula without a stored result."),
        ("A1", "#REF!", "'#REF!' is an error of the spreadsheet."),
        ("G1", "1.5 each", "'1.5 each' is not a whole number, and glove is counted."),
        ("G1", "1.5", "'1.5' has no unit."),
        ("S1", "some", "'some' is not a number and a unit."),
    ],
)
def test_a_cell_that_is_no_amount_is_told_with_its_place(
    lot: str, counted: object, says: str, tmp_path: Path
) -> None:
    (sentence,) = _sentences(_sheet(tmp_path / "c.xlsx", (lot, "", counted)))
    assert sentence.startswith(f"c.xlsx, sheet Count: row 6, column Counted: {says}")


def test_lots_that_are_not_known_or_stand_twice_are_told(tmp_path: Path) -> None:
    sheet = _sheet(
        tmp_path / "c.xlsx",
        ("A1", "", "1 L"),
        ("A2", "", "1 L"),
        ("a1", "", "2 L"),
        (None, "", "1 L"),
    )
    unknown, twice, blank = _sentences(sheet)
    assert unknown == (
        "c.xlsx, sheet Count: row 7, column Lot: 'A2' is not a lot of the store. "
        "Expected one of: A1, G1, S1."
    )
    assert "row 8, column Lot: 'a1' is counted in row 6 already. Keep one" in twice
    assert "row 9, column Lot: the label of the lot is blank." in blank


def test_every_mistake_is_told_in_one_go_in_the_order_of_rows(tmp_path: Path) -> None:
    sheet = _sheet(tmp_path / "c.xlsx", ("A1", "", "1"), ("A9", "", "1 L"), ("S1", "", "1 each"))
    rows = [sentence.split("row ")[1][0] for sentence in _sentences(sheet)]
    assert rows == ["6", "7", "8"]


def _rename(sheet: Worksheet) -> None:
    sheet.title = "stock"


@pytest.mark.parametrize(
    ("top", "change"),
    [
        ((TITLE, (), (), HEADING), lambda _: None),
        ((TITLE, STAMP, (), ("Lot", "Amount")), lambda _: None),
        (TOP, _rename),
    ],
    ids=["no movement", "no heading", "another sheet"],
)
def test_a_workbook_that_is_no_counting_sheet_is_told(
    top: tuple[tuple[object, ...], ...], change: Callable[[Worksheet], object], tmp_path: Path
) -> None:
    (sentence,) = _sentences(_sheet(tmp_path / "c.xlsx", top=top, change=change))
    assert "is not a counting sheet as prepstore stock count --sheet writes it." in sentence


def test_a_file_that_is_no_workbook_is_told(tmp_path: Path) -> None:
    path = tmp_path / "c.xlsx"
    path.write_text("lot,counted\nA1,1 L\n", encoding="utf-8")
    (sentence,) = _sentences(path)
    assert sentence.startswith("c.xlsx: is not an .xlsx workbook")
