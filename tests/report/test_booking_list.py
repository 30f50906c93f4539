import pytest

from prepstore.amounts import Kind
from prepstore.movements import Booking, Change, Movement, What
from prepstore.report.booking_list import (
    LotsBefore,
    booking_lines,
    count_lines,
    movement_in_words,
    standing_on_a_count,
    to_be_opened,
)
from prepstore.shelf.counting import Count, counted_by_sheet
from prepstore.shelf.handling import opened
from prepstore.tables.units import read_amount
from tests.shelf.small_shelf import DAY, shelf

SHELF = shelf()
ML = 10**9


def _movement(what: What, ml: int = 0, change: tuple[str, str, str] | None = None) -> Movement:
    cells = change and Change(column=change[0], was=change[1], now=change[2])
    return Movement(lot="A1", what=what, billionths=ml * ML, unit=Kind.VOLUME, change=cells or None)


@pytest.mark.parametrize(
    ("movement", "words"),
    [
        (_movement(What.USED, -250), "used 250 mL"),
        (_movement(What.RECEIVED, 2500), "received 2.5 L"),
        (_movement(What.COUNTED, -50), "counted 50 mL less"),
        (_movement(What.COUNTED, 50), "counted 50 mL more"),
        (_movement(What.COUNTED), "counted as expected"),
        (_movement(What.UNDONE, 250), "undone +250 mL"),
        (_movement(What.UNDONE, -250), "undone -250 mL"),
        (_movement(What.OPENED, 0, ("opened", "", "2027-02-03")), "opened on 2027-02-03"),
        (
            _movement(What.OPENED, -1000, ("containers", "3", "2")),
            "opened -1 L, containers from 3 to 2",
        ),
        (_movement(What.MOVED, 0, ("place", "", "shelf 9")), "moved from blank to shelf 9"),
        (
            _movement(What.STATE_CHANGED, 0, ("state", "quarantine", "")),
            "state changed from quarantine to usable",
        ),
        (
            _movement(What.CORRECTED, 0, ("expiry", "2027-01-31", "2028-01-31")),
            "corrected expiry from 2027-01-31 to 2028-01-31",
        ),
        (_movement(What.TESTED, 0, ("tested", "", "2027-02-03")), "tested on 2027-02-03"),
    ],
)
def test_what_happened_is_said_in_the_words_of_the_trade(movement: Movement, words: str) -> None:
    assert movement_in_words(movement) == words


def test_each_line_says_what_is_left_even_of_a_new_lot() -> None:
    booking = opened(SHELF, SHELF.lot("E3"), DAY)
    assert list(booking_lines(booking, LotsBefore.of(SHELF))) == [
        "E3 ether: opened -1 L, containers from 3 to 2, 2 L left",
        "E3-1 ether: opened +1 L, 1 L left",
    ]
    twice = Booking(movements=(_movement(What.USED, -100), _movement(What.USED, -150)))
    assert [line.rsplit(", ", 1)[1] for line in booking_lines(twice, LotsBefore.of(SHELF))] == [
        "900 mL left",
        "750 mL left",
    ]


def test_where_it_went_and_what_it_came_with_is_said() -> None:
    gone = Movement(
        lot="A1", what=What.DISCARDED, billionths=-ML, unit=Kind.VOLUME, stream="solvents"
    )
    assert movement_in_words(gone) == "discarded 1 mL into solvents"
    came = Movement(
        lot="A1", what=What.RECEIVED, billionths=ML, unit=Kind.VOLUME, order_line="PO 1, 1 x H1"
    )
    assert movement_in_words(came) == "received 1 mL of PO 1, 1 x H1"


@pytest.mark.parametrize(("lot", "told"), [("E3", 1), ("E1", 0), ("A1", 0)])
def test_who_uses_a_sealed_lot_that_ages_is_reminded_to_record_its_opening(
    lot: str, told: int
) -> None:
    used = Movement(lot=lot, what=What.USED, billionths=-ML, unit=Kind.VOLUME)
    lines = list(to_be_opened(Booking(movements=(used,)), SHELF))
    assert len(lines) == told
    assert all("prepstore stock open E3" in line for line in lines)


def test_a_counting_sheet_tells_differences_and_what_to_count_again() -> None:
    found = [
        (lot, read_amount(text), "")
        for lot, text in (("A1", "0.9 L"), ("S1", "1.5 kg"), ("A2", "1 L"))
    ]
    lines = list(count_lines(counted_by_sheet(SHELF, found, {"a2"}, {}, DAY), SHELF))
    assert lines == [
        "place    lot  item     should hold  counted  difference",
        "shelf 1  A1   acetone  1 L          900 mL   100 mL less",
        "1 of 2 counts differ, 1 agree.",
        "A2 acetone has moved since the sheet was written: count it again.",
    ]


@pytest.mark.parametrize(
    ("since", "says"),
    [
        (-300, "After 2027-02-03 another 300 mL went, so lot A1 holds 900 mL now."),
        (200, "After 2027-02-03 another 200 mL came, so lot A1 holds 900 mL now."),
    ],
)
def test_a_count_of_an_earlier_day_says_what_the_lot_holds_now(since: int, says: str) -> None:
    count = Count(_movement(What.COUNTED, -100), since * ML)
    assert list(standing_on_a_count(count, SHELF.lot("A1"), DAY)) == [says]
    assert list(standing_on_a_count(Count(count.movement, 0), SHELF.lot("A1"), DAY)) == []
