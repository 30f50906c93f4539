"""The consignment list as a sheet."""

from pathlib import Path

import openpyxl

from prepstore.report.workbook.consignment import consignment_page, write_consignment
from prepstore.report.workbook.workbook import Origin
from tests.builders import day
from tests.report.test_consignment import streams
from tests.report.workbook.a_week import rows_of

DAY = day("02-09")


def test_a_block_a_stream_with_code_composition_hazards_and_its_containers() -> None:
    rows = [row.values for row in rows_of(consignment_page(streams(), DAY))]
    assert rows[:8] == [
        ("solvent, 2 × 5 L",),
        ("List of Waste", "14 06 03* (hazardous)"),
        ("Composition", "% by volume: acetone 20–100; ether 0–80; not known below 1"),
        ("H codes of what is in it", "H224, H225, H319"),
        ("Notes", "earth the can"),
        ("W1", "1 L", "790 g", None, "Mon 1 Feb 2027", "Fri 5 Feb 2027", None),
        ("W2", "500 mL", "more than 79 g", None, "Mon 1 Feb 2027", "Fri 5 Feb 2027", None),
        ("In all", "1.5 L"),
    ]
    assert ("H codes of what is in it", "none in the tables") in rows
    assert ("Carrier", None) in rows
    assert any("not a classification of the waste" in str(row[0]) for row in rows)


def test_the_workbook_is_one_sheet_that_says_what_it_is(tmp_path: Path) -> None:
    path = tmp_path / "collection.xlsx"
    write_consignment(streams(), DAY, path, Origin("1", "store.db"))
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["Collection"]
    texts = [str(cell.value) for row in book["Collection"].iter_rows() for cell in row]
    assert "Waste for collection on Tue 9 Feb 2027" in texts
    assert any("not an analysis" in text for text in texts)
