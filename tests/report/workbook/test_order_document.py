from pathlib import Path

import openpyxl

from prepstore.planning.plan import Plan
from prepstore.report.workbook.order_document import order_document, write_order_document
from prepstore.report.workbook.page import Formula
from prepstore.report.workbook.workbook import Origin
from tests.report.workbook.a_week import TABLES, a_week, rows_of

SETTINGS = TABLES["settings"].rstrip() + "\n        delivery_address,Yard 2\n"


def order_of(plan: Plan) -> list[tuple[object, ...]]:
    return [row.values for row in rows_of(order_document(plan, plan.orders))]


def test_an_order_names_its_reference_and_where_it_goes() -> None:
    rows = order_of(a_week(settings=SETTINGS))
    assert rows[0] == ("Reference", "Slow Solvents 2027-01-25")
    assert rows[1] == ("Deliver to", "Yard 2")


def test_a_line_says_what_how_many_by_when_and_for_which_sessions() -> None:
    plan = a_week()
    line = order_of(plan)[2]
    assert line[:4] == ("ETAC-2.5", "ethyl acetate, 2.5 L", 1, plan.orders[0].price)
    assert line[5:] == ("Mon 1 Feb 2027", "Tue am, Thu pm")
    assert isinstance(line[4], Formula)
    assert line[4].in_row(8) == "=C8*D8"


def test_totals_are_live_sums_of_the_lines() -> None:
    *_, goods, charge, total = order_of(a_week())
    assert isinstance(goods[4], Formula)
    assert isinstance(total[4], Formula)
    assert (goods[4].in_row(9), total[4].in_row(11)) == ("=SUM(E8:E8)", "=E9+E10")
    assert str(charge[4]) == "12.50"


def test_what_no_session_waits_for_is_for_the_shelf() -> None:
    stock = TABLES["stock"].replace(
        "ACETATE-1,ethyl acetate,100 mL", "ACETATE-1,ethyl acetate,800 mL"
    )
    assert order_of(a_week(stock=stock))[2][5:] == ("", "the shelf")


def test_the_workbook_is_one_sheet(tmp_path: Path) -> None:
    plan = a_week()
    write_order_document(plan, plan.orders, tmp_path / "order.xlsx", Origin("1", "store"))
    assert openpyxl.load_workbook(tmp_path / "order.xlsx").sheetnames == ["Order"]
