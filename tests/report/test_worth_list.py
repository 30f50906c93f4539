from fractions import Fraction

from prepstore.report.stock_list import Chosen, stock_rows
from prepstore.report.worth_list import (
    WORTH_COLUMNS,
    group_columns,
    group_lines,
    group_rows,
    worth_lines,
    worth_rows,
    worths_of,
)
from prepstore.shelf.prices import estimated, not_known, paid
from prepstore.shelf.worth import Grouping, grouped, together
from prepstore.written import STORE, WrittenRow


def _row(table: str, **cells: str) -> WrittenRow:
    return WrittenRow(table, 2, STORE, cells)


ROWS = {
    "items": [
        _row("items", item="acetone", unit="mL", storage="flammables"),
        _row("items", item="dye", unit="g"),
    ],
    "solutions": [_row("solutions", solution="brine", storage="shelf B")],
    "stock": [
        _row("stock", lot="A1", item="acetone", amount="1 L", place="shelf 1"),
        _row("stock", lot="A2", item="Acetone", amount="0 mL", place="shelf 1"),
        _row("stock", lot="B1", item="brine", amount="500 mL"),
        _row("stock", lot="D1", item="dye", amount="2 g"),
    ],
}
HELD = {"a1": 1000 * 10**9, "a2": 0, "b1": 500 * 10**9, "d1": 2 * 10**9}
PRICES = {
    "a1": paid(Fraction("0.0149")),
    "a2": paid(Fraction("0.0149")),
    "b1": estimated(Fraction(1, 300)),
    "d1": not_known("dye"),
}
LOTS = stock_rows(ROWS, HELD, Chosen())
WORTHS = worths_of(LOTS, ROWS, PRICES)


def test_each_lot_that_holds_something_has_a_price_a_value_and_how_it_is_known() -> None:
    assert list(worth_lines(LOTS, WORTHS, "EUR")) == [
        "lot  item     amount  place    price        value      known",
        "A1   acetone  1 L     shelf 1  14.90 EUR/L  14.90 EUR  paid",
        "B1   brine    500 mL           3.33 EUR/L   1.67 EUR   estimated",
        "D1   dye      2 g                                      not known",
        "3 lots, 16.57 EUR: paid 90 %, estimated 10 %, some not known",
        "Not counted, since no price is recorded and no pack is sold: dye.",
    ]


def test_rows_for_other_programs_have_every_lot_and_its_storage() -> None:
    rows = worth_rows(LOTS, WORTHS)
    assert all(tuple(row) == WORTH_COLUMNS for row in rows)
    assert [(row["lot"], row["storage"], row["value"], row["known"]) for row in rows] == [
        ("A1", "flammables", 14.9, "paid"),
        ("A2", "flammables", 0, "paid"),
        ("B1", "shelf B", 1.67, "estimated"),
        ("D1", "", None, "not known"),
    ]
    assert [row["price"] for row in rows] == [0.0149, 0.0149, 0.003333333, None]
    assert rows[3]["no_price"] == ["dye"]


def test_groups_have_their_sum_and_those_without_a_name_say_so() -> None:
    groups = grouped(WORTHS, Grouping.STORAGE)
    total = together(WORTHS)
    lines = list(group_lines(groups, Grouping.STORAGE, total, None))
    assert lines[:4] == [
        "storage           lots  value  known",
        "flammables        1     14.90  paid",
        "shelf B           1     1.67   estimated",
        "no storage given  1            not known",
    ]


def test_groups_of_one_item_have_an_amount() -> None:
    groups = grouped(WORTHS, Grouping.ITEM)
    assert "acetone  1     1 L     14.90  paid" in list(
        group_lines(groups, Grouping.ITEM, together(WORTHS), None)
    )
    rows = group_rows(groups, Grouping.ITEM)
    assert all(tuple(row) == group_columns(Grouping.ITEM) for row in rows)
    assert [(row["item"], row["amount"], row["unit"], row["value"]) for row in rows] == [
        ("acetone", 1000, "mL", 14.9),
        ("brine", 500, "mL", 1.67),
        ("dye", 2, "g", None),
    ]
    assert [row["lots_without_price"] for row in rows] == [0, 0, 1]


def test_no_lots_are_worth_nothing_and_say_no_more() -> None:
    assert list(worth_lines([], [], "EUR")) == ["0 lots"]
