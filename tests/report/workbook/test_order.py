from prepstore.report.workbook.order import by_supplier, order_page
from prepstore.report.workbook.page import Formula, Look
from tests.report.workbook.a_week import TABLES, a_week, rows_of, texts_of

PAPER = {
    "stock": TABLES["stock"].replace("500 each", "10 each"),
    "packs": TABLES["packs"].rstrip()
    + "\n        PAPER-100,filter paper,Quick Papers,100 each,4.50\n",
}


def test_suppliers_of_late_rows_come_first() -> None:
    assert list(by_supplier(a_week(**PAPER))) == ["slow solvents", "quick papers"]


def test_a_late_row_says_so_and_names_the_sessions_it_stops() -> None:
    late = next(row for row in rows_of(order_page(a_week())) if row.values[0] == "LATE")
    assert late.look is Look.ALERT
    assert "Tue am (Tue 2 Feb 09:00)" in str(late.values[10])


def test_a_supplier_has_a_total_its_minimum_and_its_charge() -> None:
    rows = rows_of(order_page(a_week(**PAPER)))
    words = [row.values[1] for row in rows if row.look is Look.TOTAL]
    assert words == [
        "Total of goods", "Delivery charge", "Total with delivery",
        "Total of goods", "Minimum order",
        "Goods from all suppliers",
    ]  # fmt: skip


def test_the_totals_point_at_their_rows() -> None:
    rows = rows_of(order_page(a_week(**PAPER)))
    said = {}
    for number, row in enumerate(rows, start=5):
        for value in row.values:
            if isinstance(value, Formula):
                said[number] = value.in_row(number)
    totals = [number for number, text in said.items() if text.startswith("=SUM")]
    with_delivery = next(number for number, text in said.items() if "+G" in text)
    assert said[with_delivery] == f"=G{totals[0]}+G{with_delivery - 1}"
    last = max(said)
    assert said[last] == f'=SUMIF(B5:B{last - 1},"Total of goods",G5:G{last - 1})'
    assert f'=IF(G{totals[1]}<G{totals[1] + 1},"BELOW MINIMUM","")' in said.values()


def test_the_currency_stands_in_the_heading() -> None:
    headings = [column.heading for column in order_page(a_week()).columns]
    assert "Cost, EUR" in headings


def test_what_nobody_sells_or_cannot_be_made_on_site_is_not_forgotten() -> None:
    text = texts_of(order_page(a_week(packs="pack,item,supplier,size,price")))
    assert "nobody sells it" in text
    assert "made on site: more than can be made in the day" in text
