import io
from datetime import datetime, time

import openpyxl
import pytest

from prepstore.columns import TABLES
from prepstore.problems import RefusedError
from prepstore.tables.read import LISTS
from prepstore.tables.write_workbook import workbook_bytes
from prepstore.written import WrittenRow


def test_a_text_turns_neither_into_a_date_nor_into_a_formula() -> None:
    row = WrittenRow("stock", 2, "x", {"lot": "00123", "item": "=1+1", "place": "1-2"})
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes({"stock": [row]})))
    assert book.sheetnames == [*(name for name in TABLES if not TABLES[name].where_used), LISTS]
    sheet = book["stock"]
    assert sheet["A2"].value == "00123"
    assert sheet["B2"].value == "=1+1"
    assert {sheet["A2"].data_type, sheet["B2"].data_type} == {"s"}
    assert sheet["A2"].number_format == "@"
    assert sheet.freeze_panes == "A2"


def test_an_export_is_as_good_to_fill_in_as_a_template() -> None:
    row = WrittenRow(
        "timetable",
        2,
        "x",
        {"session": "Mon", "date": "2027-03-08", "start": "09:00", "students": "9"},
    )
    sheet = openpyxl.load_workbook(io.BytesIO(workbook_bytes({"timetable": [row]})))["timetable"]
    assert sheet["C2"].value == datetime(2027, 3, 8)  # noqa: DTZ001 - as a sheet has it
    assert sheet["D2"].value == time(9)
    assert sheet["G2"].value == 9
    assert sheet["A1"].comment is not None
    assert "Must be given" in sheet["A1"].comment.text
    assert sheet.column_dimensions["C"].number_format == "yyyy-mm-dd"
    assert [str(choice.sqref) for choice in sheet.data_validations.dataValidation] == ["B2:B2001"]


def _movements(**cells: str) -> dict[str, list[WrittenRow]]:
    return {"movements": [WrittenRow("movements", 2, "x", cells)]}


def test_more_rows_than_a_sheet_holds_are_refused_with_the_way_out() -> None:
    rows = {"settings": [WrittenRow("settings", 2, "x", {"setting": "a"})] * 1_048_576}
    with pytest.raises(RefusedError) as told:
        workbook_bytes(rows)
    assert told.value.sentences == (
        "Table settings has 1,048,576 rows, more than a sheet can hold.",
        "Export into a folder of CSV files instead: give a path without .xlsx.",
    )


def test_more_cells_than_could_be_read_again_are_refused() -> None:
    rows = {"movements": _movements(movement="1")["movements"] * 277_778}
    with pytest.raises(RefusedError, match="277,778 rows, more than a sheet can hold"):
        workbook_bytes(rows)


@pytest.mark.parametrize("text", ["a" * 32_768, "a\rb", "bell \x07"])
def test_a_text_that_no_sheet_can_hold_is_refused(text: str) -> None:
    with pytest.raises(RefusedError) as told:
        workbook_bytes(_movements(movement="1", note=text))
    assert told.value.sentences[0] == (
        "Table movements, row 2, column note has a text that no sheet can hold."
    )


def test_a_workbook_that_unpacks_to_too_much_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("prepstore.tables.write_workbook.LARGEST_UNPACKED", 1000)
    with pytest.raises(RefusedError, match="too large for one workbook"):
        workbook_bytes({})
