import pytest

from prepstore.movements import Change, What
from prepstore.problems import RefusedError
from prepstore.shelf.correcting import Right, corrected
from prepstore.shelf.undoing import RELABELLED
from tests.shelf.small_shelf import moved, shelf

SHELF = shelf()
CELLS = {
    "lot": "A1",
    "item": "acetone",
    "amount": "1 L",
    "expiry": "2028-06-30",
    "place": "shelf 1",
}


def test_each_cell_that_differs_is_a_correction() -> None:
    right = Right(expiry="2029-06-30", place="shelf 1", batch_number="B7", opened="")
    booking = corrected(SHELF, SHELF.lot("A1"), CELLS, right, "read wrongly")
    assert [(one.what, one.change) for one in booking.movements] == [
        (What.CORRECTED, Change(column="expiry", was="2028-06-30", now="2029-06-30")),
        (What.CORRECTED, Change(column="batch_number", was="", now="B7")),
    ]
    assert booking.reason == "read wrongly"
    assert moved(booking) == {}


def test_a_cell_may_be_emptied() -> None:
    (movement,) = corrected(SHELF, SHELF.lot("A1"), CELLS, Right(place=""), None).movements
    assert movement.change == Change(column="place", was="shelf 1", now="")


@pytest.mark.parametrize(
    "right", [Right(place="shelf 1"), Right(containers=1), Right(label="A1"), Right(opened="")]
)
def test_what_stands_there_already_is_not_corrected(right: Right) -> None:
    with pytest.raises(RefusedError, match="says that already"):
        corrected(SHELF, SHELF.lot("A1"), CELLS, right, None)


def test_one_container_is_a_blank_cell() -> None:
    cells = {**CELLS, "containers": "3"}
    (movement,) = corrected(SHELF, SHELF.lot("A1"), cells, Right(containers=1), None).movements
    assert movement.change == Change(column="containers", was="3", now="")
    one = {**CELLS, "containers": "1"}
    with pytest.raises(RefusedError, match="says that already"):
        corrected(SHELF, SHELF.lot("A1"), one, Right(containers=1), None)


def test_under_another_label_all_of_it_goes_on_with_every_cell() -> None:
    right = Right(label="A9", place="shelf 2")
    booking = corrected(SHELF, SHELF.lot("A1"), CELLS, right, None)
    assert moved(booking) == {"A1": "-1000 mL", "A9": "1000 mL"}
    assert booking.new_lots == ({**CELLS, "lot": "A9", "place": "shelf 2"},)
    assert booking.gone == {"a1": RELABELLED}
    away, there = booking.movements[1:]
    assert away.change == there.change == Change(column="label", was="A1", now="A9")
    assert (away.item, there.item) == (None, "acetone")


def test_a_label_that_another_lot_has_is_refused() -> None:
    with pytest.raises(RefusedError, match="There is a lot A2 already"):
        corrected(SHELF, SHELF.lot("A1"), CELLS, Right(label="a2"), None)


def test_the_same_label_in_other_capitals_is_taken_as_well() -> None:
    with pytest.raises(RefusedError, match="There is a lot A1 already"):
        corrected(SHELF, SHELF.lot("A1"), CELLS, Right(label="a1"), None)
