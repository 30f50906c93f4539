import pytest

from prepstore.report.errors import ReportError
from prepstore.report.stock_list import stock_lines, stock_rows
from prepstore.written import STORE, WrittenRow

ROWS = {
    "items": [WrittenRow("items", 2, STORE, {"item": "acetone"})],
    "solutions": [WrittenRow("solutions", 2, STORE, {"solution": "brine"})],
    "stock": [
        WrittenRow("stock", 2, STORE, {"lot": "007", "item": "acetone", "amount": "1 L"}),
        WrittenRow("stock", 3, STORE, {"lot": "008", "item": "brine", "amount": "2 L"}),
    ],
}


def test_lots_stand_in_columns_under_a_heading() -> None:
    assert list(stock_lines(stock_rows(ROWS, None, None))) == [
        "lot  item     amount  expiry  opened  state  place",
        "007  acetone  1 L",
        "008  brine    2 L",
        "2 lots",
    ]


def test_one_item_in_any_case() -> None:
    assert list(stock_lines(stock_rows(ROWS, "BRINE", None)))[1:] == ["008  brine  2 L", "1 lot"]


def test_an_unknown_item_is_a_sentence() -> None:
    with pytest.raises(ReportError, match=r"Did you mean brine\?"):
        stock_rows(ROWS, "brin", None)
