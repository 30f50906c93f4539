from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.problems import RefusedError
from prepstore.shelf.shelf import first_to_expire
from tests.builders import day
from tests.shelf.small_shelf import DAY, shelf

SHELF = shelf()


@pytest.mark.parametrize("label", ["A1", "a1", " A1 "])
def test_a_lot_is_found_by_its_label_in_any_case(label: str) -> None:
    assert SHELF.lot(label).label == "A1"


def test_the_only_lot_with_anything_goes_by_the_name_of_the_item() -> None:
    assert SHELF.lot("salt").label == "S1"


@pytest.mark.parametrize(
    ("label", "says"),
    [
        ("A9", "'A9' is not a known lot"),
        ("acetone", "several lots of acetone: A3, A4, A2, A1. Name one"),
        ("saline", "no lot of saline with anything in it"),
    ],
)
def test_a_lot_that_cannot_be_told_is_refused(label: str, says: str) -> None:
    with pytest.raises(RefusedError, match=says):
        SHELF.lot(label)


def test_an_unknown_name_is_answered_with_the_nearest() -> None:
    with pytest.raises(RefusedError, match=r"Did you mean acetone\?"):
        SHELF.material("aceton")
    with pytest.raises(
        RefusedError, match=r"is not a known lot, item or solution. Did you mean acetone\?"
    ):
        SHELF.is_lot("aceton")


def test_a_name_is_a_lot_or_what_is_in_lots() -> None:
    assert SHELF.is_lot("S1")
    assert not SHELF.is_lot("Salt")


def test_the_lots_of_an_item_stand_first_to_expire_first() -> None:
    assert [held.label for held in SHELF.lots_of("acetone")] == ["A3", "A4", "A2", "A1"]


def _taken(wanted: str, on: str = "02-03") -> tuple[dict[str, str], str]:
    taken, missing = first_to_expire(SHELF.lots_of("acetone"), Decimal(wanted), day(on))
    return {held.label: str(number) for held, number in taken}, f"{missing:f}"


@pytest.mark.parametrize(
    ("wanted", "on", "lots", "missing"),
    [
        ("100", "02-03", {"A2": "100"}, "0"),  # A3 is out of date, A4 in quarantine
        ("100", "01-31", {"A3": "100"}, "0"),  # its last day included
        ("700", "02-03", {"A2": "500.000000000", "A1": "200.000000000"}, "0E-9"),
        ("1600", "02-03", {"A2": "500.000000000", "A1": "1000.000000000"}, "100.000000000"),
    ],
)
def test_what_expires_first_is_taken_first(
    wanted: str, on: str, lots: dict[str, str], missing: str
) -> None:
    taken, lacks = _taken(wanted, on)
    assert {lot: Decimal(number) for lot, number in taken.items()} == {
        lot: Decimal(number) for lot, number in lots.items()
    }
    assert Decimal(lacks) == Decimal(missing)


@given(wanted=st.decimals(0, 5000, places=9), spoken=st.decimals(0, 600, places=9))
def test_what_is_taken_and_what_is_missing_come_to_what_was_wanted(
    wanted: Decimal, spoken: Decimal
) -> None:
    lots = SHELF.lots_of("acetone")
    taken, missing = first_to_expire(lots, wanted, DAY, {"a2": spoken})
    assert sum((number for _, number in taken), missing) == wanted
    assert missing >= 0
    for held, number in taken:
        free = held.amount - (spoken if held.label == "A2" else 0)
        assert 0 < number <= free
    assert not missing or {held.label for held, _ in taken} >= {"A1"}
