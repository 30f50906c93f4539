import pytest

from prepstore.movements import What
from prepstore.problems import RefusedError
from prepstore.shelf.counting import counted, counted_by_sheet, to_be_counted
from prepstore.tables.units import read_amount
from tests.shelf.small_shelf import asked, moved, shelf

SHELF = shelf()


@pytest.mark.parametrize(
    ("found", "difference"),
    [
        ("0.9 L", {"A1": "-100 mL"}),
        ("1.2 L", {"A1": "200 mL"}),
        ("1 L", {}),
        ("0 L", {"A1": "-1000 mL"}),
    ],
)
def test_a_count_is_the_difference_to_what_the_store_held(
    found: str, difference: dict[str, str]
) -> None:
    held = SHELF.lot("A1")
    movement = counted(held, asked(held, found))
    assert moved(movement) == difference
    assert (movement.what, movement.written) == (What.COUNTED, found)


def test_a_sheet_counts_each_lot_but_those_that_moved_since() -> None:
    found = [(lot, read_amount(text)) for lot, text in (("a1", "1 L"), ("S1", "1.4 kg"))]
    count = counted_by_sheet(SHELF, found, {"a1"})
    assert moved(count.counts) == {"S1": "-100 g"}
    assert [held.label for held in count.moved_since] == ["A1"]


def _to_count(place: str | None = None, item: str | None = None) -> list[str]:
    return [held.label for held in to_be_counted(SHELF, place, item)]


def test_what_holds_something_is_to_be_counted_all_or_by_place_or_item() -> None:
    assert _to_count() == ["A1", "A2", "A3", "A4", "E1", "E3", "S1", "B1", "G1"]
    assert _to_count(place="Shelf 1") == ["A1", "A2", "A3"]
    assert _to_count(item="SALT") == ["S1"]
    assert _to_count("shelf 2", "acetone") == ["A4"]


@pytest.mark.parametrize(
    ("place", "item", "says"),
    [
        ("sehlf 3", None, r"Nothing stands at 'sehlf 3'. Did you mean shelf 3\?"),
        (None, "slat", r"Did you mean salt\?"),
        ("shelf 1", "salt", "nothing to count"),
    ],
)
def test_where_nothing_is_to_be_counted_it_says_why(
    place: str | None, item: str | None, says: str
) -> None:
    with pytest.raises(RefusedError, match=says):
        _to_count(place, item)
