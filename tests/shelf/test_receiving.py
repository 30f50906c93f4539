from dataclasses import replace
from typing import Any

import pytest

from prepstore.movements import Change, What
from prepstore.problems import RefusedError
from prepstore.shelf.asked import quantity
from prepstore.shelf.receiving import Bought, Coming, keeps_until, received
from prepstore.tables.units import read_amount
from tests.builders import day
from tests.shelf.small_shelf import DAY, moved, shelf

SHELF = shelf()


def _coming(item: str, amount: str, **others: Any) -> Coming:  # noqa: ANN401 - a builder
    material = SHELF.material(item)
    return Coming(
        material=material, amount=quantity(material, read_amount(amount)), day=DAY, **others
    )


def test_what_comes_is_a_new_lot_with_what_is_said_of_it() -> None:
    coming = _coming("acetone", "2.5 L", label="A9", expiry=day("2029-01-31"), place="shelf 1")
    booking = received(SHELF, replace(coming, containers=2, order_line="PO 1, 2 x P"))
    assert booking.new_lots == (
        {
            "lot": "A9",
            "item": "acetone",
            "amount": "2.5 L",
            "expiry": "2029-01-31",
            "containers": "2",
            "place": "shelf 1",
            "received": "2027-02-03",
        },
    )
    (movement,) = booking.movements
    assert (movement.what, movement.order_line) == (What.RECEIVED, "PO 1, 2 x P")
    assert moved(booking) == {"A9": "2500 mL"}


def test_a_lot_without_a_label_is_given_the_day_and_a_number() -> None:
    (cells,) = received(SHELF, _coming("acetone", "1 L")).new_lots
    assert cells["lot"] == "2027-02-03-1"
    assert "expiry" not in cells


@pytest.mark.parametrize(("expiry", "kept"), [(None, "2027-02-05"), ("2027-02-04", "2027-02-04")])
def test_what_does_not_keep_has_its_last_day_from_the_day_it_came_or_as_it_is_printed(
    expiry: str | None, kept: str
) -> None:
    items = "item,kind,unit,shelf_life\ndry ice,consumable,g,2"
    ice = shelf(items=items, solutions="", solution_parts="", stock="")
    coming = Coming(
        material=ice.material("dry ice"),
        amount=quantity(ice.material("dry ice"), read_amount("5 kg")),
        day=DAY,
        expiry=day(expiry) if expiry else None,
    )
    (cells,) = received(ice, coming).new_lots
    assert cells["expiry"] == kept


def test_what_comes_into_a_known_lot_adds_to_it() -> None:
    booking = received(SHELF, _coming("acetone", "1 L", label="a1"))
    assert booking.new_lots == ()
    assert moved(booking) == {"A1": "1000 mL"}
    assert len(booking.movements) == 1


def test_further_containers_are_counted_where_their_number_is_said() -> None:
    booking = received(SHELF, _coming("ether", "2 L", label="E3", containers=2))
    change = booking.movements[1].change
    assert change is not None
    assert (change.column, change.was, change.now) == ("containers", "3", "5")


def test_a_lot_that_is_received_into_may_be_put_somewhere_else() -> None:
    booking = received(SHELF, _coming("acetone", "1 L", label="A1", place="shelf 9"))
    assert [(one.what, one.change) for one in booking.movements] == [
        (What.RECEIVED, None),
        (What.MOVED, Change(column="place", was="shelf 1", now="shelf 9")),
    ]
    same = received(SHELF, _coming("acetone", "1 L", label="A1", place="shelf 1"))
    assert len(same.movements) == 1


def test_a_new_lot_says_what_it_begins_as_and_its_batch_number() -> None:
    booking = received(SHELF, _coming("acetone", "1 L", label="A9", batch_number="B7"))
    assert booking.movements[0].item == "acetone"
    assert booking.new_lots[0]["batch_number"] == "B7"
    assert received(SHELF, _coming("acetone", "1 L", label="A1")).movements[0].item is None


@pytest.mark.parametrize(
    ("coming", "was", "now"),
    [
        (_coming("acetone", "1 L", label="A1", containers=1), "", "2"),
        (_coming("ether", "3 L", label="E3", containers=3), "3", "6"),
        (_coming("salt", "1 kg", label="X1", containers=2), "", "2"),  # nothing was left of it
    ],
)
def test_containers_that_come_stand_beside_those_that_hold_something(
    coming: Coming, was: str, now: str
) -> None:
    change = received(SHELF, coming).movements[1].change
    assert change is not None
    assert (change.was, change.now) == (was, now)


@pytest.mark.parametrize(
    "coming",
    [
        _coming("ether", "2 L", label="E3"),  # nothing is said of how many came
        _coming("salt", "1 kg", label="X1", containers=1),
    ],
)
def test_as_many_containers_as_before_are_no_change(coming: Coming) -> None:
    assert len(received(SHELF, coming).movements) == 1


def test_an_empty_lot_of_several_that_is_filled_again_has_as_many_as_came() -> None:
    stock = "lot,item,amount,containers\nE3,ether,0 L,3"
    coming = _coming("ether", "1 L", label="E3", containers=1)
    change = received(shelf(stock=stock), coming).movements[1].change
    assert change is not None
    assert (change.was, change.now) == ("3", "1")


@pytest.mark.parametrize(
    ("coming", "says"),
    [
        (
            _coming("acetone", "1 L", label="A1", batch_number="B7"),
            "Lot A1 is of batch unknown, not B7",
        ),
        (_coming("salt", "1 kg", label="A1"), "Lot A1 is acetone, not salt"),
        (
            _coming("acetone", "1 L", label="A1", expiry=day("2029-01-31")),
            "keeps until 2028-06-30, not 2029-01-31",
        ),
        (_coming("ether", "1 L", label="E1", containers=1), "is opened, so no more containers"),
        (_coming("acetone", "999999 L", label="A1"), "more than any store"),
        (_coming("brine", "1 L"), "made on 2027-02-03 it would be 2027-03-05"),
    ],
)
def test_what_is_not_alike_is_refused(coming: Coming, says: str) -> None:
    with pytest.raises(RefusedError, match=says):
        received(SHELF, coming)


def test_a_solution_keeps_from_the_day_it_is_made() -> None:
    assert keeps_until(SHELF, SHELF.material("brine"), DAY) == day("03-05")
    assert keeps_until(SHELF, SHELF.material("saline"), DAY) is None
    assert keeps_until(SHELF, SHELF.material("salt"), DAY) is None


def test_what_was_paid_to_whom_stands_with_the_movement_alone() -> None:
    bought = Bought("14.90", "Harbour", "DN 77")
    for label in ("A9", "A1"):  # a new lot, and one that is there
        (movement, *_) = received(
            SHELF, _coming("acetone", "1 L", label=label, bought=bought)
        ).movements
        assert (movement.paid, movement.supplier, movement.delivery_note) == (
            "14.90",
            "Harbour",
            "DN 77",
        )
