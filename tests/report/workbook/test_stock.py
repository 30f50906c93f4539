from prepstore.report.workbook.page import Look
from prepstore.report.workbook.stock import stock_page
from tests.report.workbook.a_week import a_week, rows_of


def test_what_is_short_comes_first_and_says_so() -> None:
    first = rows_of(stock_page(a_week()))[0]
    assert first.values[:2] == ("SHORT", "ethyl acetate")
    assert first.look is Look.ALERT


def test_amounts_are_in_words_and_lots_have_their_places() -> None:
    rows = {row.values[1]: row.values for row in rows_of(stock_page(a_week()))[:-1]}
    assert rows["ethyl acetate"][3:9] == (
        "450 mL", "", "100 mL", "350 mL", "2 L", "ACETATE-1 (cabinet B): 100 mL",
    )  # fmt: skip


def test_what_is_left_out_is_counted() -> None:
    rows = rows_of(stock_page(a_week()))
    assert "diethyl ether" not in [row.values[1] for row in rows[:-1]]
    assert str(rows[-1].values[0]).startswith("Left out: 2 items and solutions")
