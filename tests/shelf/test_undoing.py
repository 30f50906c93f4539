from collections.abc import Sequence
from typing import Any

import pytest

from prepstore.amounts import Kind
from prepstore.facts import LotState
from prepstore.movements import (
    Booking,
    Change,
    Movement,
    OrderChange,
    OrderWhat,
    Recorded,
    RecordedOrder,
    SessionUse,
    What,
)
from prepstore.problems import RefusedError
from prepstore.shelf.handling import changed, opened, state_changed
from prepstore.shelf.shelf import Shelf
from prepstore.shelf.undoing import Entry, undone
from tests.builders import day
from tests.shelf.small_shelf import DAY, moved, shelf

SHELF = shelf()


def _entry(*movements: Movement, undone_by: int | None = None, **others: Any) -> Entry:  # noqa: ANN401
    recorded = [
        Recorded(
            number=number, entry=7, movement=movement, on_day=DAY, at_utc="", by="Kim",
            undone_by=undone_by,
        )
        for number, movement in enumerate(movements, start=20)
    ]  # fmt: skip
    given: dict[str, Sequence[Any]] = {"uses": (), "of_session": (), "orders": (), "names": ()}
    return Entry(number=7, movements=recorded, **{**given, **others})


def _used(lot: str, ml: int, what: What = What.USED) -> Movement:
    return Movement(lot=lot, what=what, billionths=-ml * 10**9, unit=Kind.VOLUME)


def _undone(entry: Entry, found: Shelf = SHELF) -> Booking:
    return undone(found, entry)


def test_every_amount_goes_back_and_names_what_it_reverses() -> None:
    booking = _undone(_entry(_used("A1", 250), _used("A2", -100)))
    assert moved(booking) == {"A1": "250 mL", "A2": "-100 mL"}
    assert {(one.what, one.lot): one.reverses for one in booking.movements} == {
        (What.UNDONE, "A1"): 20,
        (What.UNDONE, "A2"): 21,
    }
    assert booking.reason == "undoes entry 7"


def test_a_changed_cell_goes_back() -> None:
    movement = changed(SHELF.lot("A1"), What.MOVED, "place", "shelf 9", "shelf 1")
    (back,) = _undone(_entry(movement)).movements
    assert back.change == Change(column="place", was="shelf 1", now="shelf 9")


@pytest.mark.parametrize(
    ("column", "now"), [("state", "usable"), ("state", ""), ("containers", "1"), ("containers", "")]
)
def test_a_usual_cell_is_the_same_whether_written_or_not(column: str, now: str) -> None:
    movement = changed(SHELF.lot("A1"), What.CORRECTED, column, "before", now)
    assert len(_undone(_entry(movement)).movements) == 1


def test_a_cell_that_has_changed_since_stands_in_the_way() -> None:
    quarantined = state_changed(SHELF.lot("A1"), LotState.QUARANTINE)
    with pytest.raises(RefusedError, match="The state of lot A1 is '' now, no longer 'quarantine'"):
        _undone(_entry(quarantined))


def test_what_has_been_used_since_stands_in_the_way() -> None:
    came = _used("B1", -300, What.RECEIVED)
    with pytest.raises(RefusedError, match="Lot B1 would hold 50 mL less than nothing"):
        _undone(_entry(came))


def test_an_entry_is_undone_once() -> None:
    with pytest.raises(
        RefusedError, match=r"undone by entry 9 already\. To have it back: .*undo 9"
    ):
        _undone(_entry(_used("A1", 1), undone_by=9))


def test_a_load_of_tables_has_no_way_back() -> None:
    with pytest.raises(RefusedError, match="load of tables with new lots"):
        _undone(_entry(_used("A1", -1, What.OPENING_AMOUNT)))


def test_what_was_split_off_goes_back_before_it_is_missed() -> None:
    booking = opened(SHELF, SHELF.lot("E3"), DAY)
    after = shelf(
        stock="lot,item,amount,containers,opened\nE3,ether,2 L,2,\nE3-1,ether,1 L,,2027-02-03"
    )
    back = undone(after, _entry(*booking.movements))
    assert moved(back) == {"E3": "1000 mL", "E3-1": "-1000 mL"}
    assert [one.billionths > 0 for one in back.movements] == [True, False]
    assert back.movements[0].change == Change(column="containers", was="2", now="3")


def _use(used: int, planned: int = 0) -> SessionUse:
    return SessionUse(
        session="Mon", session_date=day("02-01"), practical="P", item="acetone",
        unit=Kind.VOLUME, planned=planned, used=used,
    )  # fmt: skip


def test_a_session_s_use_goes_back_with_what_was_planned() -> None:
    use = _use(5, 6)
    booking = _undone(_entry(_used("A1", 1), uses=[use], of_session=[use]))
    assert [(one.planned, one.used) for one in booking.uses] == [(-6, -5)]
    assert booking.session == "Mon"


def test_a_session_that_brought_something_back_later_is_undone_from_the_end() -> None:
    first, later = _use(5, 5), _use(-2)
    with pytest.raises(RefusedError, match="brought acetone back later"):
        _undone(_entry(_used("A1", 1), uses=[first], of_session=[first, later]))


def _order(what: OrderWhat, packs: int, number: int = 3) -> RecordedOrder:
    change = OrderChange(what=what, pack="H1", packs=packs, due=day("02-05"), price="7.00")
    return RecordedOrder(number=number, entry=7, change=change, on_day=DAY, at_utc="", by="Kim")


def test_orders_go_back_as_long_as_they_are_still_to_come() -> None:
    tables = {
        "suppliers": "supplier\nHarbour",
        "packs": "pack,item,supplier,size,price\nH1,acetone,Harbour,1 L,7.40",
        "on_order": "pack,packs,due\nH1,2,2027-02-05",
    }
    found = shelf(**tables)
    (back,) = undone(found, _entry(orders=[_order(OrderWhat.PLACED, 2)])).orders
    assert (back.what, back.packs, back.reverses, back.price) == (OrderWhat.UNDONE, -2, 3, "7.00")
    (again,) = undone(found, _entry(orders=[_order(OrderWhat.ARRIVED, -1)])).orders
    assert again.packs == 1
    with pytest.raises(RefusedError, match="Not all of H1, due on 2027-02-05, is still on order"):
        undone(found, _entry(orders=[_order(OrderWhat.PLACED, 3)]))
