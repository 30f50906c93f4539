from collections.abc import Sequence
from datetime import date

import pytest

from prepstore.amounts import Kind
from prepstore.movements import Movement, Recorded, What
from prepstore.problems import RefusedError
from prepstore.shelf.counting import counted, counted_by_sheet, recorded_as, to_be_counted
from prepstore.tables.units import read_amount
from tests.builders import day
from tests.shelf.small_shelf import DAY, asked, moved, shelf

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
    booking = recorded_as([counted(held, asked(held, found), (), DAY)], "shelf count")
    (movement,) = booking.movements
    assert moved(booking) == difference
    assert (movement.what, movement.written) == (What.COUNTED, found)


def _history(*movements: tuple[What, int, str], undone: Sequence[int] = ()) -> list[Recorded]:
    """Return movements of A1 in mL, each with its day; those undone are taken back at the end."""
    done: list[tuple[What, int, date, int | None]] = [
        (what, ml, day(on), None) for what, ml, on in movements
    ]
    done += [(What.UNDONE, -movements[one][1], day("02-09"), one + 1) for one in undone]
    return [
        Recorded(
            number=number, entry=number, on_day=on, at_utc="", by="Kim",
            movement=Movement(
                lot="a1", what=what, billionths=ml * 10**9, unit=Kind.VOLUME, reverses=reverses
            ),
        )
        for number, (what, ml, on, reverses) in enumerate(done, start=1)
    ]  # fmt: skip


RECEIVED = (What.RECEIVED, 1300, "02-01")
USED_LATER = (What.USED, -300, "02-05")


def test_a_count_of_an_earlier_day_leaves_what_was_used_since_used() -> None:
    held = SHELF.lot("A1")  # 1 L now: 1.3 L came, 300 mL went on the 5th
    count = counted(held, asked(held, "1.2 L"), _history(RECEIVED, USED_LATER), day("02-03"))
    assert moved(count.movement) == {"A1": "-100 mL"}
    assert count.since == -300 * 10**9


def test_what_was_used_on_the_day_of_a_count_was_gone_when_it_was_counted() -> None:
    held = SHELF.lot("A1")
    count = counted(held, asked(held, "1.2 L"), _history(RECEIVED, USED_LATER), day("02-05"))
    assert moved(count.movement) == {"A1": "200 mL"}
    assert count.since == 0


def test_what_was_undone_never_went() -> None:
    held = SHELF.lot("A1")
    slip = (What.USED, -900, "02-05")
    history = _history((What.RECEIVED, 1000, "02-01"), slip, undone=[1])
    count = counted(held, asked(held, "950 mL"), history, day("02-03"))
    assert moved(count.movement) == {"A1": "-50 mL"}


def test_a_count_of_which_more_has_gone_since_is_refused() -> None:
    held = SHELF.lot("A1")
    with pytest.raises(RefusedError, match=r"Since 2027-02-03 300 mL of lot A1 have gone, more"):
        counted(held, asked(held, "299 mL"), _history(RECEIVED, USED_LATER), day("02-03"))
    history = _history(RECEIVED, USED_LATER)
    assert counted(held, asked(held, "300 mL"), history, day("02-03")).since


def test_what_a_lot_began_with_was_there_before_it_was_entered() -> None:
    held = SHELF.lot("A1")
    count = counted(held, asked(held, "900 mL"), _history((What.RECEIVED, 1000, "02-05")), DAY)
    assert (moved(count.movement), count.since) == ({"A1": "-100 mL"}, 0)


def test_a_count_before_a_later_count_changes_nothing_any_more() -> None:
    held = SHELF.lot("A1")
    history = _history(RECEIVED, (What.COUNTED, -300, "02-05"))
    with pytest.raises(RefusedError, match=r"Lot A1 was counted on 2027-02-05, after 2027-02-04"):
        counted(held, asked(held, "1 L"), history, day("02-04"))
    assert counted(held, asked(held, "1 L"), history, day("02-05")).since == 0


def test_a_sheet_counts_each_lot_but_those_that_moved_since() -> None:
    found = [
        (lot, read_amount(text), note)
        for lot, text, note in (("a1", "1 L", ""), ("S1", "1.4 kg", "caked"))
    ]
    count = counted_by_sheet(SHELF, found, {"a1"}, {}, DAY)
    (of_salt,) = count.counts
    assert moved(of_salt.movement) == {"S1": "-100 g"}
    assert of_salt.movement.note == "caked"
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
        ("sehlf 3", None, r"'sehlf 3' is not a known place. Did you mean shelf 3\?"),
        (None, "slat", r"Did you mean salt\?"),
        ("shelf 1", "salt", "nothing to count"),
    ],
)
def test_where_nothing_is_to_be_counted_it_says_why(
    place: str | None, item: str | None, says: str
) -> None:
    with pytest.raises(RefusedError, match=says):
        _to_count(place, item)
