from dataclasses import replace
from typing import Any

import pytest

from prepstore.movements import What
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


@pytest.mark.parametrize(
    ("coming", "says"),
    [
        (_coming("salt", "1 kg", label="A1"), "Lot A1 is acetone, not salt"),
        (
            _coming("acetone", "1 L", label="A1", expiry=day("2029-01-31")),
            "keeps until 2028-06-30, not 2029-01-31",
        ),
        (_coming("ether", "1 L", label="E1", containers=1), "is opened, so no further containers"),
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
