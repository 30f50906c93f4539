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


def so_many(sessions: int) -> str:
    """Return a timetable of so many sessions at the same time."""
    rows = "\n".join(f"S{number},ESTER,2027-02-02,12" for number in range(sessions))
    return f"session,practical,date,students\n{rows}"


def test_four_sessions_stand_beside_what_stops_them() -> None:
    rows = rows_of(order_page(a_week(timetable=so_many(4))))
    assert not any(row.is_tied for row in rows)
    (late,) = (row for row in rows if row.values[0] == "LATE")
    assert str(late.values[10]).count("Tue 2 Feb") == 4


def test_many_sessions_stand_in_a_row_of_their_own_below_and_the_total_spans_it() -> None:
    rows = rows_of(order_page(a_week(timetable=so_many(5))))
    at = next(at for at, row in enumerate(rows) if row.values[0] == "LATE")
    assert rows[at].values[10] == "as below"
    assert rows[at + 1].values == ("", "It stops Tue 2 Feb: S0, S1, S2, S3, S4")
    assert (rows[at + 1].look, rows[at + 1].runs_from) == (Look.ALERT, 1)
    assert [row.is_tied for row in rows[at : at + 2]] == [False, True]
    until = next(at for at, row in enumerate(rows) if row.look is Look.TOTAL)
    total = rows[until].values[6]
    assert isinstance(total, Formula)
    assert rows[0].look is Look.BAND
    assert total.in_row(until) == f"=SUM(G1:G{until - 1})"


def test_a_supplier_has_a_total_its_minimum_and_its_charge() -> None:
    rows = rows_of(order_page(a_week(**PAPER)))
    words = [row.values[1] for row in rows if row.look is Look.TOTAL]
    assert words == [
        "Total of goods", "Total with delivery", "Total of goods", "Goods from all suppliers",
    ]  # fmt: skip
    assert [row.values[0] for row in rows if row.look is Look.BAND][:2] == [
        "Slow Solvents · 20 working days from order to delivery · delivery charge 12.50 EUR",
        "Quick Papers · 1 working days from order to delivery · minimum order 100.00 EUR",
    ]


def test_the_totals_point_at_their_rows() -> None:
    rows = rows_of(order_page(a_week(**PAPER)))
    said, words = {}, set()
    for number, row in enumerate(rows, start=5):
        for value in row.values:
            if isinstance(value, Formula):
                said[number] = value.in_row(number)
                words.add(said[number])
    totals = [number for number, text in said.items() if text.startswith("=SUM")]
    assert said[totals[0] + 1] == f"=G{totals[0]}+12.50"
    last = max(said)
    assert said[last] == f'=SUMIF(B5:B{last - 1},"Total of goods",G5:G{last - 1})'
    assert f'=IF(G{totals[1]}<100,"BELOW MINIMUM","")' in words


def test_the_currency_stands_in_the_heading() -> None:
    headings = [column.heading for column in order_page(a_week()).columns]
    assert "Cost, EUR" in headings


def test_what_nobody_sells_or_cannot_be_made_on_site_is_not_forgotten() -> None:
    text = texts_of(order_page(a_week(packs="pack,item,supplier,size,price")))
    assert "nobody sells it" in text
    assert "made on site: more than can be made in the day" in text
