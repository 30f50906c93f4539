from prepstore.report.workbook.page import Look
from prepstore.report.workbook.stock import stock_page
from tests.report.workbook.a_week import a_week, rows_of


def test_what_is_short_comes_first_and_says_so() -> None:
    first = rows_of(stock_page(a_week()))[0]
    assert first.values[:2] == ("SHORT 350 mL\nRESTOCK 2 L", "ethyl acetate")
    assert first.look is Look.ALERT


def test_amounts_are_in_words_and_lots_say_what_is_left() -> None:
    rows = {row.values[1]: row.values for row in rows_of(stock_page(a_week()))[:-1]}
    assert rows["ethyl acetate"][2:] == (
        "450 mL", "", "100 mL", "0 mL", "ACETATE-1: 100 mL; then empty",
    )  # fmt: skip
    assert rows["sodium hydrogencarbonate"][5:] == (
        "975 g",
        "BICARB-1: 25 g; 975 g left",
    )


def test_lots_that_do_not_count_stand_in_a_list_of_their_own_with_their_place() -> None:
    stock = """
        lot,  item,          amount, place, expiry,     state
        NEW,  ethyl acetate, 100 mL, ,      ,
        OLD,  ethyl acetate, 300 mL, ,      2027-01-20,
        KEPT, ethyl acetate, 200 mL, cabinet K, ,           reserved"""
    blocks = list(stock_page(a_week(stock=stock)).blocks)
    (aside,) = (block for block in blocks if str(block[0].values[0]).startswith("Lots that do not"))
    assert [row.values for row in aside[1:]] == [
        ("", "ethyl acetate", "OLD, 300 mL: out of date, last day Wed 20 Jan 2027"),
        ("", "ethyl acetate · cabinet K", "KEPT, 200 mL: reserved"),
    ]


def test_what_is_left_out_is_counted() -> None:
    rows = rows_of(stock_page(a_week()))
    assert "diethyl ether" not in [row.values[1] for row in rows[:-1]]
    assert str(rows[-1].values[0]).startswith("Left out: 2 items and solutions")
