from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.cell_types import LotState
from prepstore.movements import Change, What
from prepstore.problems import RefusedError
from prepstore.shelf.handling import moved as put
from prepstore.shelf.handling import opened, state_changed
from tests.shelf.small_shelf import DAY, moved, shelf

SHELF = shelf()


def test_opening_one_container_writes_the_day() -> None:
    (movement,) = opened(SHELF, SHELF.lot("A1"), DAY).movements
    assert movement.what is What.OPENED
    assert movement.change == Change(column="opened", was="", now="2027-02-03")
    assert not movement.billionths


def test_opening_one_of_several_splits_it_off() -> None:
    booking = opened(SHELF, SHELF.lot("E3"), DAY)
    assert moved(booking) == {"E3": "-1000 mL", "E3-1": "1000 mL"}
    assert booking.movements[0].change == Change(column="containers", was="3", now="2")
    assert booking.new_lots == (
        {
            "lot": "E3-1",
            "item": "ether",
            "amount": "1000 mL",
            "expiry": "2028-06-30",
            "opened": "2027-02-03",
            "place": "cabinet C",
        },
    )


def test_the_one_opened_may_have_a_label_of_its_own() -> None:
    assert opened(SHELF, SHELF.lot("E3"), DAY, "E7").new_lots[0]["lot"] == "E7"


@given(thousandths=st.integers(min_value=2, max_value=10**9), containers=st.integers(2, 50))
def test_nothing_is_lost_when_one_of_several_is_opened(thousandths: int, containers: int) -> None:
    amount = Decimal(thousandths) / 1000
    held = shelf(stock=f"lot,item,amount,containers\nE3,ether,{amount:f} mL,{containers}").lot("E3")
    fewer, one = opened(SHELF, held, DAY).movements
    assert fewer.billionths + one.billionths == 0
    assert one.billionths * containers <= held.amount * 10**9 < (one.billionths + 1) * containers


@pytest.mark.parametrize(
    ("pieces", "containers", "opened_one", "others"),
    [
        (429, 5, 86, 343),  # 85.8
        (5, 2, 3, 2),  # 2.5, the half up
        (16, 5, 3, 13),  # 3.2
        (1, 5, 1, 0),  # one at least: nobody opens an empty box
        (20, 4, 5, 15),
    ],
)
def test_counted_things_are_split_into_whole_numbers(
    pieces: int, containers: int, opened_one: int, others: int
) -> None:
    stock = f"lot,item,amount,containers\nG3,glove,{pieces} each,{containers}"
    held = shelf(stock=stock).lot("G3")
    fewer, one = opened(SHELF, held, DAY).movements
    assert one.billionths == opened_one * 10**9
    assert held.amount * 10**9 + fewer.billionths == others * 10**9
    assert (one.item, fewer.item) == ("glove", None)


@pytest.mark.parametrize(
    ("lot", "label", "says"),
    [
        ("E1", None, "was opened on 2027-01-04 already"),
        ("X1", None, "is empty"),
        ("A1", "A7", "one container, which keeps its label"),
        ("E3", "A1", "There is a lot A1 already"),
    ],
)
def test_what_cannot_be_opened_is_refused(lot: str, label: str | None, says: str) -> None:
    with pytest.raises(RefusedError, match=says):
        opened(SHELF, SHELF.lot(lot), DAY, label)


def test_a_move_and_a_state_say_from_and_to() -> None:
    assert put(SHELF.lot("A1"), "shelf 9").change == Change(
        column="place", was="shelf 1", now="shelf 9"
    )
    assert put(SHELF.lot("X1"), "shelf 9").change == Change(column="place", was="", now="shelf 9")
    assert state_changed(SHELF.lot("A4"), LotState.USABLE).change == Change(
        column="state", was="quarantine", now=""
    )


def test_what_is_so_already_is_refused() -> None:
    with pytest.raises(RefusedError, match="is at shelf 1 already"):
        put(SHELF.lot("A1"), "shelf 1")
    with pytest.raises(RefusedError, match="is quarantine already"):
        state_changed(SHELF.lot("A4"), LotState.QUARANTINE)
