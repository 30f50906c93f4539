import io
from datetime import date, time

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.utils import get_column_letter

from prepstore.columns import NAMED_IN, TABLES, Column
from prepstore.tables.cell_text import cell_text
from prepstore.tables.fillable_sheets import ROWS_TO_FILL_IN, add_lists, make_fillable, typed
from prepstore.tables.read import LISTS


def _column(table: str, name: str) -> Column:
    return TABLES[table].columns[name]


@pytest.mark.parametrize(
    ("table", "name", "text", "value", "number_format"),
    [
        ("timetable", "date", "2027-03-08", date(2027, 3, 8), "yyyy-mm-dd"),
        ("timetable", "start", "09:30", time(9, 30), "hh:mm"),
        ("timetable", "students", "24", 24, "General"),
        ("packs", "price", "14.2", 14.2, "General"),
        # What would not come back letter for letter stays text.
        ("packs", "price", "14.20", "14.20", "@"),
        ("timetable", "start", "9:30", "9:30", "@"),
        ("timetable", "students", "1000000000000000", "1000000000000000", "@"),
        ("timetable", "date", "8 March", "8 March", "@"),
        # In a sheet of a spreadsheet program the year 1900 has a day too many.
        ("stock", "expiry", "1900-02-28", "1900-02-28", "@"),
        ("stock", "lot", "00123", "00123", "@"),
        ("stock", "lot", "123", "123", "@"),
        ("stock", "place", "2027-03-08", "2027-03-08", "@"),
        ("stock", "amount", "500 g", "500 g", "@"),
    ],
)
def test_dates_times_and_numbers_are_such_and_all_else_is_text(
    table: str, name: str, text: str, value: object, number_format: str
) -> None:
    assert typed(_column(table, name), text) == (value, number_format)
    assert type(typed(_column(table, name), text)[0]) is type(value)


TEXTS = st.one_of(
    st.decimals(allow_nan=False, allow_infinity=False).map(str),
    st.integers().map(str),
    st.dates().map(str),
    st.times().map(str),
    st.text(max_size=8),
)


COLUMNS = [column for table in TABLES.values() for column in table.columns.values()]


@given(st.sampled_from(COLUMNS), TEXTS)
def test_every_text_comes_back_letter_for_letter(column: Column, text: str) -> None:
    assert cell_text(typed(column, text)[0]) == cell_text(text)


def _filled() -> openpyxl.Workbook:
    book = Workbook()
    for name, table in TABLES.items():
        make_fillable(book.create_sheet(name), table, tuple(table.columns), rows=3)
    add_lists(book, items=3, solutions=3)
    file = io.BytesIO()
    book.save(file)
    return openpyxl.load_workbook(file)


def test_each_column_that_names_something_offers_the_names_that_may_stand_there() -> None:
    book = _filled()
    for (table, column), named_in in NAMED_IN.items():
        letter = get_column_letter([*TABLES[table].columns].index(column) + 1)
        (offered,) = (
            choice
            for choice in book[table].data_validations.dataValidation
            if str(choice.sqref) == f"{letter}2:{letter}{3 + ROWS_TO_FILL_IN}"
        )
        assert not offered.showErrorMessage
        for name in named_in if len(named_in) == 1 else (LISTS,):
            assert name in offered.formula1


def test_items_and_solutions_stand_one_below_the_other_on_a_hidden_sheet() -> None:
    book = _filled()
    sheet = book[LISTS]
    assert sheet.sheet_state == "hidden"
    last = 3 + ROWS_TO_FILL_IN
    assert sheet["B1"].value == f"=COUNTA(items!$A$2:$A${last})"
    assert sheet["C1"].value == f"=COUNTA(solutions!$A$2:$A${last})"
    assert sheet["A2"].value == (
        f"=IF(ROW()-1<=$B$1,INDEX(items!$A$2:$A${last},ROW()-1),"
        f'IF(ROW()-1-$B$1<=$C$1,INDEX(solutions!$A$2:$A${last},ROW()-1-$B$1),""))'
    )
    assert sheet.max_row == 1 + 3 + 3 + ROWS_TO_FILL_IN - 2
