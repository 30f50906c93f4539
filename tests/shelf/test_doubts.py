from datetime import date
from typing import Any

import pytest

from prepstore.amounts import Kind
from prepstore.movements import Booking, Change, Movement, OrderChange, OrderWhat, What
from prepstore.shelf.doubts import doubts_of, remarks_on
from tests.builders import day
from tests.shelf.small_shelf import shelf

TODAY = day("02-03")
DATED = shelf(
    stock="lot,item,amount,expiry,state,received\nD1,acetone,1 L,2027-01-31,,2027-01-10\n"
    "D2,acetone,1 L,,quarantine,"
)


def _of(lot: str = "D1", what: What = What.USED, **others: Any) -> Booking:  # noqa: ANN401
    movement = Movement(lot=lot, what=what, billionths=0, unit=Kind.VOLUME, **others)
    return Booking(movements=(movement,))


def _doubts(booking: Booking, on: date) -> list[str]:
    return list(doubts_of(booking, DATED, on, TODAY))


def _remarks(booking: Booking, on: date = TODAY) -> list[str]:
    return list(remarks_on(booking, DATED, on, TODAY))


@pytest.mark.parametrize(("on", "doubts"), [("2028-02-03", 0), ("2028-02-04", 1)])
def test_a_use_more_than_a_year_ahead_is_asked_about(on: str, doubts: int) -> None:
    assert len(_doubts(_of(), day(on))) == doubts


@pytest.mark.parametrize(("on", "remarks"), [("02-03", 0), ("02-04", 1), ("2028-02-04", 0)])
def test_a_use_that_lies_ahead_is_told(on: str, remarks: int) -> None:
    ahead = [one for one in _remarks(_of("D2", What.MOVED), day(on)) if "still to come" in one]
    assert len(ahead) == remarks


@pytest.mark.parametrize(("expiry", "doubts"), [("2057-02-03", 0), ("2057-02-04", 1)])
def test_an_expiry_more_than_thirty_years_ahead_is_asked_about(expiry: str, doubts: int) -> None:
    new = Booking(new_lots=({"lot": "N", "item": "acetone", "expiry": expiry},))
    corrected = _of(what=What.CORRECTED, change=Change(column="expiry", was="", now=expiry))
    undone = _of(what=What.UNDONE, change=Change(column="expiry", was="", now=expiry))
    found = [len(_doubts(one, TODAY)) for one in (new, corrected, undone)]
    assert found == [doubts, doubts, 0]


@pytest.mark.parametrize(("on", "doubts"), [("01-10", 0), ("01-09", 1)])
def test_what_happened_before_the_lot_came_is_asked_about(on: str, doubts: int) -> None:
    assert len(_doubts(_of(), day(on))) == doubts
    assert _doubts(_of(what=What.CORRECTED), day(on)) == []
    assert _doubts(_of("D2"), day(on)) == []


@pytest.mark.parametrize(
    ("on", "says"),
    [
        ("01-31", []),
        ("02-01", ["Lot D1 was out of date on 2027-02-01: its last day was 2027-01-31."]),
    ],
)
def test_a_use_of_what_is_out_of_date_is_told(on: str, says: list[str]) -> None:
    assert _remarks(_of(), day(on)) == says
    assert _remarks(_of(what=What.DISCARDED), day(on)) == []


def test_a_use_of_what_is_put_aside_is_told() -> None:
    assert _remarks(_of("D2")) == ["Lot D2 is in quarantine, and plans do not count it."]


def test_what_comes_out_of_date_is_told() -> None:
    new = Booking(new_lots=({"lot": "N", "item": "acetone", "expiry": "2027-02-02"},))
    (said,) = _remarks(new)
    assert said == "Lot N is out of date on 2027-02-03 already: it keeps until 2027-02-02."
    on_its_last_day = Booking(new_lots=({"lot": "N", "item": "a", "expiry": "2027-02-03"},))
    assert _remarks(on_its_last_day) == []


def _due(on: str, packs: int = 1) -> Booking:
    change = OrderChange(what=OrderWhat.DUE_CHANGED, pack="H1", packs=packs, due=day(on))
    return Booking(orders=(change,))


def test_a_day_that_is_due_far_ahead_is_asked_about_and_one_that_is_over_told() -> None:
    assert [len(_doubts(_due(on), TODAY)) for on in ("2028-02-03", "2028-02-04")] == [0, 1]
    assert [len(_remarks(_due(on), day("02-02"))) for on in ("02-02", "02-01")] == [0, 1]
    assert _doubts(_due("2028-02-04", packs=-1), TODAY) == []


def test_a_year_after_a_leap_day_is_the_last_of_february() -> None:
    leap = date(2028, 2, 29)
    assert list(doubts_of(_of("D2"), DATED, date(2029, 2, 28), leap)) == []
    assert len(list(doubts_of(_of("D2"), DATED, date(2029, 3, 1), leap))) == 1


def test_the_last_year_of_the_calendar_has_none_after_it() -> None:
    assert list(doubts_of(_of("D2"), DATED, date(9999, 12, 31), date(9999, 1, 1))) == []
