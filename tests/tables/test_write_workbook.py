import io

import openpyxl

from prepstore.columns import TABLES
from prepstore.tables.write_workbook import workbook_bytes
from prepstore.written import WrittenRow


def test_every_cell_is_a_text_so_that_nothing_turns_into_a_date_or_a_formula() -> None:
    row = WrittenRow("stock", 2, "x", {"lot": "00123", "item": "=1+1", "place": "1-2"})
    book = openpyxl.load_workbook(io.BytesIO(workbook_bytes({"stock": [row]})))
    assert book.sheetnames == list(TABLES)
    sheet = book["stock"]
    assert sheet["A2"].value == "00123"
    assert sheet["B2"].value == "=1+1"
    assert {sheet["A2"].data_type, sheet["B2"].data_type} == {"s"}
    assert sheet["A2"].number_format == "@"
    assert sheet.freeze_panes == "A2"
