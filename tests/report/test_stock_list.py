from typing import Any

import pytest

from prepstore.problems import RefusedError
from prepstore.report.stock_list import (
    COLUMNS,
    Chosen,
    numbers_of,
    shown_cell,
    stock_lines,
    stock_rows,
)
from prepstore.written import STORE, WrittenRow
from tests.tables.written_rows import written


def _lot(lot: str, item: str, amount: str, **cells: str) -> WrittenRow:
    return WrittenRow("stock", 2, STORE, {"lot": lot, "item": item, "amount": amount, **cells})


def _of(table: str, name: str, **cells: str) -> WrittenRow:
    return WrittenRow(table, 2, STORE, {table.removesuffix("s"): name, **cells})


ROWS = {
    "items": [
        _of("items", "acetone", unit="mL", minimum="5 L"),
        _of("items", "ether", unit="ml", opened_life="180"),
        _of("items", "sand", unit="g", minimum="2 kg"),
    ],
    "solutions": [_of("solutions", "brine", minimum="500 mL")],
    "stock": [
        _lot("007", "acetone", "1 L", place="Shelf 1", containers="2", received="2027-01-04"),
        _lot("008", "Brine", "1069.322766835 mL", state="quarantine", expiry="2027-03-01"),
        _lot("009", "brine", "0 x 5 mL"),
        _lot("010", "ether", "1 L", expiry="2028-06-30", opened="2027-01-04", tested="2027-02-01"),
    ],
}
BALANCES = {"007": 1000 * 10**9, "008": 1069322766835, "010": 1000 * 10**9}


def _rows(**chosen: Any) -> list[dict[str, str]]:  # noqa: ANN401 - a builder
    return stock_rows(ROWS, BALANCES, Chosen(**chosen))


def test_lots_stand_in_columns_under_a_heading_and_blank_columns_are_left_out() -> None:
    rows = [row for row in _rows() if row["lot"] != "010"]
    assert list(stock_lines(rows, with_empty=False)) == [
        "lot  item     amount      expiry      state       place",
        "007  acetone  1 L                                 Shelf 1",
        "008  Brine    1.069323 L  2027-03-01  quarantine",
        "2 lots",
        "1 empty lot is not shown; --empty shows it.",
    ]
    assert list(stock_lines(rows, with_empty=True))[-1] == "3 lots"
    assert list(stock_lines(rows[2:] * 2, with_empty=False)) == [
        "0 lots",
        "2 empty lots are not shown; --empty shows them.",
    ]


@pytest.mark.parametrize(
    ("chosen", "lots"),
    [
        ({}, ["007", "008", "009", "010"]),
        ({"item": "BRINE"}, ["008", "009"]),
        ({"place": "shelf 1"}, ["007"]),
        ({"state": "usable"}, ["007", "009", "010"]),
        ({"state": "quarantine"}, ["008"]),
        ({"lots": {"007", "008"}, "item": "brine"}, ["008"]),
    ],
)
def test_lots_are_chosen_by_item_place_state_and_what_else_is_asked(
    chosen: dict[str, Any], lots: list[str]
) -> None:
    assert [row["lot"] for row in _rows(**chosen)] == lots


def test_other_programs_get_the_amount_as_the_row_has_it_and_its_figure() -> None:
    (row,) = _rows(state="quarantine")
    assert tuple(row) == COLUMNS
    assert (row["amount"], row["number"], row["unit"]) == (
        "1069.322766835 mL", "1069.322766835", "mL",
    )  # fmt: skip
    assert row["minimum"] == "500 mL"
    (row,) = _rows(item="acetone")
    assert (row["containers"], row["received"], row["last_day"]) == ("2", "2027-01-04", "")


@pytest.mark.parametrize(
    ("lot", "last"),
    [
        ("008", "2027-03-01"),
        ("010", "2027-07-03"),  # 180 days from 4 January: 27 + 28 + 31 + 30 + 31 + 30 + 3
    ],
)
def test_the_last_day_is_the_earlier_of_printed_expiry_and_opened_life(lot: str, last: str) -> None:
    assert [row["last_day"] for row in _rows(lots={lot})] == [last]


def test_what_has_no_lot_stands_at_the_end_without_a_label_and_is_no_lot_on_the_screen() -> None:
    rows = _rows(lots={"007"}, without_lots=["sand"])
    assert [(row["lot"], row["item"], row["amount"]) for row in rows] == [
        ("007", "acetone", "1 L"),
        ("", "sand", "0 g"),
    ]
    assert list(stock_lines(rows, with_empty=True))[-1] == "1 lot"


@pytest.mark.parametrize("chosen", [{"place": "shelf 1"}, {"state": "usable"}, {"item": "brine"}])
def test_what_has_no_lot_stands_nowhere_and_in_no_state(chosen: dict[str, Any]) -> None:
    assert not any(row["item"] == "sand" for row in _rows(without_lots=["sand"], **chosen))


def test_an_unknown_item_is_a_sentence() -> None:
    with pytest.raises(RefusedError, match=r"Did you mean brine\?"):
        _rows(item="brin")


def test_what_a_lot_holds_is_said_in_words_however_it_was_typed() -> None:
    lot = {"lot": "A1", "number": "1872", "unit": "mL"}
    assert shown_cell("amount", {**lot, "amount": "1872 mL"}) == "1.872 L"
    assert shown_cell("amount", {**lot, "amount": "1.8720 L"}) == "1.872 L"
    assert shown_cell("lot", lot) == "A1"


def test_what_a_lot_holds_is_a_number_for_other_programs() -> None:
    lot = {"lot": "A1", "number": "0.5", "containers": "", "amount": "0.5 g"}
    assert (numbers_of(lot)["number"], numbers_of(lot)["containers"]) == (0.5, 1)
    assert numbers_of({**lot, "containers": "3"})["containers"] == 3
    assert numbers_of({**lot, "lot": ""})["containers"] == 0


@pytest.mark.parametrize(
    ("expiry", "opened", "life"),
    [("soon", "", ""), ("", "9999-12-31", "180"), ("", "2027-01-01", "long")],
)
def test_a_cell_that_cannot_be_read_has_no_last_day(expiry: str, opened: str, life: str) -> None:
    items = f"item,kind,unit,opened_life\nsalt,reagent,g,{life}\n"
    stock = f"lot,item,amount,expiry,opened\nL1,salt,1 g,{expiry},{opened}\nL2,gone,1 g,,\n"
    rows = {**written(items=items, stock=stock), "solutions": []}
    first, second = stock_rows(rows, {"l1": 10**9}, Chosen())
    assert (first["last_day"], first["number"]) == ("", "1")
    assert (second["unit"], second["last_day"]) == ("", "")
