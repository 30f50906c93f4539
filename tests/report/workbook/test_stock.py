from prepstore.report.workbook.page import Look
from prepstore.report.workbook.stock import stock_page
from tests.report.workbook.a_week import TABLES, a_week, an_empty_week, printed_rows, rows_of


def test_what_is_short_comes_first_and_says_so() -> None:
    first = rows_of(stock_page(a_week()))[0]
    assert first.values[:2] == ("SHORT 350 mL\nRESTOCK 2 L", "ethyl acetate")
    assert first.look is Look.ALERT


def test_amounts_are_in_words_and_lots_say_what_is_left() -> None:
    rows = {row.values[1]: row.values for row in rows_of(stock_page(a_week())) if row.values[1:]}
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
    at = blocks.index(aside) + 1
    assert [row.values for row in (*aside[1:], *blocks[at])] == [
        ("", "ethyl acetate: OLD, 300 mL: out of date, last day Wed 20 Jan 2027"),
        ("", "ethyl acetate · cabinet K: KEPT, 200 mL: reserved"),
    ]


def test_what_there_is_enough_of_is_for_the_screen() -> None:
    page = stock_page(a_week())
    printed = [row.values for row in printed_rows(page)]
    assert [row[0] for row in printed] == [
        "SHORT 350 mL\nRESTOCK 2 L",
        "SHORT 400 g",
        "Apparatus that is short, or not worked out, and who has it then",
        "SHORT 1",
    ]
    head, *enough = [row for block in page.on_screen for row in block]
    assert str(head.values[0]).startswith("For the screen, and not printed")
    assert {row.values[0] for row in enough[:-1]} == {""}
    assert "sodium hydrogencarbonate" in [row.values[1] for row in enough[:-1]]


def test_lots_of_what_nobody_wants_are_for_the_screen() -> None:
    stock = (
        TABLES["stock"]
        + """        OLD,diethyl ether,1 L,cabinet C,2027-01-20
        WET,filter paper,9 each,drawer 2,2027-01-20
        BENT,separating funnel,2 each,bay 9,2027-01-20
        CHIPPED,beaker,3 each,bay 9,2027-01-20
"""
    )
    items = TABLES["items"].rstrip() + "\n        beaker,apparatus,each,,,,,,,,\n"
    page = stock_page(a_week(stock=stock, items=items))
    printed = "\n".join(str(row.values) for row in printed_rows(page))
    assert "WET, 9: out of date" in printed
    assert "BENT, 2: out of date" in printed
    assert "OLD, 1 L" not in printed
    assert "CHIPPED" not in printed
    on_screen = "\n".join(str(row.values) for block in page.on_screen for row in block)
    assert "diethyl ether · cabinet C: OLD, 1 L: out of date" in on_screen
    assert "CHIPPED" in on_screen
    assert "WET" not in on_screen


def test_apparatus_that_is_short_is_printed_with_who_has_it() -> None:
    rows = printed_rows(stock_page(a_week()))
    (funnel,) = (row for row in rows if row.values[0] == "SHORT 1")
    assert funnel.values[1] == (
        "separating funnel: 7 in use at once from Tue 2 Feb 09:00, 6 held; Tue am: 7"
    )
    assert funnel.look is Look.ALERT


def test_what_is_only_to_restock_takes_no_paper_here() -> None:
    paper = a_week(
        stock=TABLES["stock"].replace("100 mL", "2.3 L").replace("6 each", "9 each"),
        items=TABLES["items"].replace("500 mL,2 L", "2 L,3 L").replace("1 kg", "9 kg"),
    )
    page = stock_page(paper)
    assert [row.values[0] for row in printed_rows(page)] == ["RESTOCK 1.15 L"]
    assert not page.takes_paper


def test_where_nothing_is_short_and_all_lots_count_the_sheet_takes_no_paper() -> None:
    assert not stock_page(an_empty_week()).takes_paper
    assert stock_page(a_week()).takes_paper


def test_what_is_left_out_is_counted() -> None:
    rows = rows_of(stock_page(a_week()))
    assert "diethyl ether" not in [row.values[1] for row in rows if row.values[1:]]
    assert str(rows[-1].values[0]).startswith("Left out: 2 items and solutions")
