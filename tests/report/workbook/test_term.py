from dataclasses import replace
from pathlib import Path

import openpyxl

from prepstore.planning.ahead.slow_movers import slow_movers
from prepstore.report.workbook.page import Formula
from prepstore.report.workbook.term import (
    balance_page,
    cost_page,
    sign_page,
    slow_page,
    waste_page,
    write_term_workbook,
)
from prepstore.report.workbook.workbook import Origin
from tests.builders import day
from tests.planning.ahead.terms import ahead, tables_of
from tests.report.workbook.a_week import rows_of


def test_the_first_page_is_what_to_sign_with_live_sums() -> None:
    rows = [row.values for row in rows_of(sign_page(ahead()))]
    assert rows[1] == ("2027-W05, Mon 1 Feb, North, 28.00 with delivery",)
    line = rows[2]
    assert line[:5] == ("Mon 1 Feb 2027", "N1", "acetone", "1 L", 2)
    assert line[7:9] == ("Wed 3 Feb 2027", "2027-W06")
    assert isinstance(line[6], Formula)
    assert line[6].in_row(7) == "=E7*F7"
    assert [row[2] for row in rows[3:6]] == ["Goods", "Delivery charge", "Total with delivery"]


def test_what_runs_short_stands_first_with_its_reason() -> None:
    rows = [row.values for row in rows_of(balance_page(ahead()))]
    assert rows[1] == ("acetone", "1 L", "0 mL", "−1 L", "−2 L")
    assert str(rows[2][1]).startswith("acetone: in 2027-W06")


def test_what_has_a_minimum_has_a_chart_of_its_balance_against_it() -> None:
    rows = rows_of(balance_page(ahead(minimum="500 mL")))
    assert [row.charts[0].title for row in rows if row.charts] == ["acetone"]
    assert not any(row.charts for row in rows_of(balance_page(ahead())))


def test_costs_are_by_supplier_and_by_practical_for_each_session_and_student() -> None:
    rows = [row.values for row in rows_of(cost_page(ahead()))]
    assert rows[1] == ("North", 20, 8, 1)
    assert rows[3][:6] == ("P", 30, None, 3, 10, 12)
    assert str(rows[3][6]) == "2.50"


def test_what_nobody_sells_is_named_below_the_costs() -> None:
    salting = tables_of() | {
        "timetable": "session,practical,date,students\nS1,Q,2027-02-03,0\nS2,Q,2027-02-03,4"
    }
    rows = [row.values for row in rows_of(cost_page(ahead(tables=salting)))]
    assert rows[-2][:2] == ("Q", 0)
    assert rows[-1] == ("Not counted, since nobody sells it: salt",)


def test_waste_is_a_row_a_stream_and_a_column_a_week() -> None:
    (row,) = (row.values for row in rows_of(waste_page(ahead())))
    assert row == ("organic", *["1 L\n1 L"] * 3)


def test_the_workbook_has_these_sheets_in_order(tmp_path: Path) -> None:
    write_term_workbook(ahead(minimum="500 mL"), tmp_path / "term.xlsx", Origin("1", "store"))
    book = openpyxl.load_workbook(tmp_path / "term.xlsx")
    assert book.sheetnames == ["Sign", "Balance", "Cost", "Waste", "Slow movers"]


def test_slow_movers_are_listed_with_their_value() -> None:
    tables = tables_of(packs="\nN2,salt,North,500 g,4")
    tables["stock"] += "\nB1,salt,250 g,"
    found = ahead(tables=tables)
    slow = tuple(slow_movers(found.term, {"b1": day("2020-01-01")}))
    (row,) = (row.values for row in rows_of(slow_page(replace(found, slow_movers=slow))))
    assert row[:3] == ("Wed 1 Jan 2020", "B1", "salt")
    assert str(row[5]) == "2.00"
    assert rows_of(slow_page(found))[0].values == ("There is none.",)
