from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from prepstore.amounts import Kind
from prepstore.movements import (
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
from prepstore.shelf.undoing import (
    RELABELLED,
    UNDONE,
    Entry,
    later_entries,
    typed_before,
    undone,
    why_gone,
)
from tests.builders import day
from tests.shelf.small_shelf import DAY, moved

CELLS = {
    "a1": {"lot": "A1", "item": "acetone", "place": "shelf 1"},
    "a2": {"lot": "A2", "item": "acetone", "place": "shelf 1"},
}


def _used(lot: str, ml: int, what: What = What.USED, **others: Any) -> Movement:  # noqa: ANN401
    return Movement(lot=lot, what=what, billionths=-ml * 10**9, unit=Kind.VOLUME, **others)


def _put(column: str, was: str, now: str, what: What = What.CORRECTED) -> Movement:
    change = Change(column=column, was=was, now=now)
    return Movement(lot="a1", what=what, unit=Kind.VOLUME, change=change)


def _recorded(number: int, entry: int, movement: Movement) -> Recorded:
    return Recorded(number=number, entry=entry, movement=movement, on_day=DAY, at_utc="", by="Kim")


CAME = _recorded(1, 1, _used("a1", -1000, What.RECEIVED, item="acetone", written="1 L"))
OTHER_CAME = _recorded(2, 1, _used("a2", -1000, What.RECEIVED, item="acetone", written="1 L"))


def _entry(
    *movements: Movement,
    later: Sequence[Movement] = (),
    cells: dict[str, dict[str, str]] | None = None,
    **others: Any,  # noqa: ANN401
) -> Entry:
    """Return entry 7 of two bottles of 1 L that came with entry 1; what is later is 8, 9, …"""
    mine = [_recorded(number, 7, movement) for number, movement in enumerate(movements, start=20)]
    since = [_recorded(number + 30, number, one) for number, one in enumerate(later, start=8)]
    given: dict[str, Any] = {
        "uses": (), "of_session": (), "orders": (), "of_orders": (), "names": (),
        "of_lots": [CAME, OTHER_CAME, *mine, *since],
        "cells": {lot: {**text, **(cells or {}).get(lot, {})} for lot, text in CELLS.items()},
    }  # fmt: skip
    return Entry(number=7, movements=mine, **{**given, **others})


def test_every_amount_goes_back_and_names_what_it_reverses() -> None:
    booking = undone(_entry(_used("a1", 250), _used("a2", -100)))
    assert moved(booking) == {"A1": "250 mL", "A2": "-100 mL"}
    assert {(one.what, one.lot): one.reverses for one in booking.movements} == {
        (What.UNDONE, "A1"): 20,
        (What.UNDONE, "A2"): 21,
    }
    assert booking.reason == "undoes entry 7"
    assert booking.gone == {"a1": "", "a2": ""}


def test_a_changed_cell_goes_back() -> None:
    (back,) = undone(_entry(_put("place", "shelf 9", "shelf 1", What.MOVED))).movements
    assert back.change == Change(column="place", was="shelf 1", now="shelf 9")


@pytest.mark.parametrize(
    ("column", "now"), [("state", "usable"), ("state", ""), ("containers", "1"), ("containers", "")]
)
def test_a_usual_cell_is_the_same_whether_written_or_not(column: str, now: str) -> None:
    assert len(undone(_entry(_put(column, "before", now))).movements) == 1


def test_a_cell_that_has_changed_since_stands_in_the_way_by_its_entry() -> None:
    later = [_put("state", "quarantine", "", What.STATE_CHANGED), _used("a1", 1)]
    with pytest.raises(
        RefusedError,
        match=r"The state of lot A1 is blank now, no longer 'quarantine'\. "
        r"Undo entry 8 first: prepstore stock undo 8",
    ):
        undone(_entry(_put("state", "", "quarantine"), later=later))


def test_what_has_been_used_since_stands_in_the_way_by_its_entry() -> None:
    came = _used("a1", -300, What.RECEIVED)
    assert undone(_entry(came, later=[_used("a1", 1000)])).movements
    with pytest.raises(
        RefusedError, match=r"Lot A1 would hold 50 mL less than 0, .* Undo entry 9 first"
    ):
        undone(_entry(came, later=[_used("a1", 1000), _used("a1", 50)]))


def test_more_than_any_store_holds_does_not_come_back() -> None:
    later = [_used("a1", -999_999_000, What.RECEIVED)]
    with pytest.raises(RefusedError, match="Lot A1 would hold more than any store"):
        undone(_entry(_used("a1", 1000), later=later))


def test_an_entry_is_undone_once() -> None:
    with pytest.raises(RefusedError, match=r"undone by entry 8 already\. To get it back: .*undo 8"):
        undone(_entry(_used("a1", 1), later=[_used("a1", -1, What.UNDONE, reverses=20)]))


def test_a_load_of_tables_has_no_way_back() -> None:
    with pytest.raises(RefusedError, match="load of tables with new lots"):
        undone(_entry(_used("a1", -1, What.OPENING_AMOUNT)))


def _beginning(*later: Movement) -> Entry:
    """Return the receipt of a lot that was not there before."""
    new = _recorded(20, 7, _used("a1", -500, What.RECEIVED, item="acetone", written="0.5 L"))
    since = [_recorded(number + 30, number, one) for number, one in enumerate(later, start=8)]
    return replace(_entry(new.movement), of_lots=[new, *since])


def test_a_lot_that_is_undone_is_gone() -> None:
    assert undone(_beginning()).gone == {"a1": UNDONE}


@pytest.mark.parametrize(
    "later", [_put("place", "", "shelf 2"), _used("a1", -500, What.RECEIVED), _used("a1", 0)]
)
def test_a_lot_that_has_changed_since_it_came_is_undone_from_the_end(later: Movement) -> None:
    cells = {"a1": {**CELLS["a1"], "place": "shelf 2"}}
    with pytest.raises(
        RefusedError, match=r"Lot A1 has changed since it came\. Undo entry 8 first"
    ):
        undone(replace(_beginning(later), cells=cells))


def _undoing(number: int, of: Recorded) -> Recorded:
    movement = Movement(
        lot="a1", what=What.UNDONE, billionths=-of.movement.billionths, unit=Kind.VOLUME,
        reverses=of.number,
    )  # fmt: skip
    return _recorded(number, number, movement)


def test_a_lot_is_there_again_once_its_undoing_is_undone_and_gone_once_that_is() -> None:
    back = _undoing(2, CAME)
    again = _undoing(3, back)
    assert [why_gone(history) for history in ([CAME], [CAME, back], [CAME, back, again])] == [
        "",
        UNDONE,
        "",
    ]
    assert why_gone([CAME, back, again, _undoing(4, again)]) == UNDONE
    entry = replace(_entry(back.movement), movements=[back], of_lots=[CAME, back])
    assert undone(entry).gone == {"a1": ""}


def test_a_label_that_was_used_again_does_not_bring_the_earlier_lot_back() -> None:
    back = _undoing(2, CAME)
    anew = _recorded(3, 8, _used("a1", -700, What.RECEIVED, item="water"))
    entry = replace(_entry(back.movement), movements=[back], of_lots=[CAME, back, anew])
    with pytest.raises(
        RefusedError, match=r"Another lot has the label A1 now\. Undo entry 8 first"
    ):
        undone(entry)


def test_a_lot_is_gone_where_all_of_it_is_under_another_label() -> None:
    change = Change(column="label", was="A1", now="A7")
    away = _recorded(2, 2, replace(_used("a1", 1000, What.CORRECTED), change=change))
    assert why_gone([CAME, away]) == RELABELLED
    there = _recorded(
        3, 2, replace(_used("a7", -1000, What.CORRECTED, item="acetone"), change=change)
    )
    assert why_gone([there]) == ""
    assert why_gone([CAME, away, _undoing(4, away)]) == ""


def test_the_words_of_the_last_amount_that_was_typed_are_found_again() -> None:
    counted = _recorded(2, 2, _used("a1", 100, What.COUNTED, written="0.9 L"))
    used = _recorded(3, 3, _used("a1", 50, written="50 mL"))
    assert typed_before([CAME, counted, used], 3) == "0.9 L"
    assert typed_before([CAME, counted], 2) == "1 L"
    assert typed_before([CAME], 1) == ""


def test_the_words_typed_last_are_found_whatever_came_and_went_since() -> None:
    """The row kept them all the while; where they no longer come to it, the export says digits."""
    used = _recorded(2, 2, _used("a1", 50, written="50 mL"))
    came = _recorded(3, 3, _used("a1", -50, What.RECEIVED, written="50 mL"))
    counted = _recorded(4, 4, _used("a1", 0, What.COUNTED, written="1000 mL"))
    assert typed_before([CAME, used, came, counted], 4) == "1 L"
    assert typed_before([CAME, used, came], 2) == "1 L"
    assert typed_before([CAME, counted, used, came], 3) == "1000 mL"
    assert typed_before([CAME, _recorded(2, 2, _put("place", "", "x")), counted], 4) == "1 L"


def test_where_nobody_typed_an_amount_there_are_no_words_to_go_back_to() -> None:
    split = _recorded(1, 1, _used("a1", -500, What.OPENED, item="acetone"))
    counted = _recorded(2, 2, _used("a1", 100, What.COUNTED, written="0.4 L"))
    assert typed_before([split, counted], 2) == ""


def test_what_was_split_off_goes_back_before_it_is_missed() -> None:
    fewer = Change(column="containers", was="3", now="2")
    opened = [
        replace(_used("a1", 500, What.OPENED), change=fewer),
        _used("a3", -500, What.OPENED, item="acetone"),
    ]
    entry = _entry(*opened, cells={"a1": {"containers": "2"}})
    cells = {**entry.cells, "a3": {"lot": "A3", "item": "acetone", "opened": "2027-02-03"}}
    back = undone(replace(entry, cells=cells))
    assert moved(back) == {"A1": "500 mL", "A3": "-500 mL"}
    assert [one.billionths > 0 for one in back.movements] == [True, False]
    assert back.movements[0].change == Change(column="containers", was="2", now="3")
    assert back.gone == {"a1": "", "a3": UNDONE}


def _use(used: int, planned: int = 0) -> SessionUse:
    return SessionUse(
        session="Mon", session_date=day("02-01"), practical="P", item="acetone",
        unit=Kind.VOLUME, planned=planned, used=used,
    )  # fmt: skip


def test_a_session_s_use_goes_back_with_what_was_planned() -> None:
    use = _use(5, 6)
    booking = undone(_entry(_used("a1", 1), uses=[use], of_session=[use]))
    assert [(one.planned, one.used) for one in booking.uses] == [(-6, -5)]
    assert booking.session == "Mon"


def test_a_session_that_brought_something_back_later_is_undone_from_the_end() -> None:
    first, later = _use(5, 5), _use(-2)
    with pytest.raises(RefusedError, match="brought acetone back later"):
        undone(_entry(_used("a1", 1), uses=[first], of_session=[first, later]))


def _order(what: OrderWhat, packs: int, number: int = 3) -> RecordedOrder:
    change = OrderChange(what=what, pack="H1", packs=packs, due=day("02-05"), price="7.00")
    return RecordedOrder(number=number, entry=7, change=change, on_day=DAY, at_utc="", by="Kim")


def test_orders_go_back_as_long_as_they_are_still_to_come() -> None:
    placed, arrived = _order(OrderWhat.PLACED, 2), _order(OrderWhat.ARRIVED, -1, number=4)
    (back,) = undone(_entry(orders=[placed], of_orders=[placed])).orders
    assert (back.what, back.packs, back.reverses, back.price) == (OrderWhat.UNDONE, -2, 3, "7.00")
    (again,) = undone(_entry(orders=[arrived], of_orders=[placed, arrived])).orders
    assert again.packs == 1
    later = replace(arrived, entry=9)
    with pytest.raises(
        RefusedError,
        match=r"Not all of H1, due on 2027-02-05, is still on order\. Undo entry 9 first",
    ):
        undone(_entry(orders=[placed], of_orders=[placed, later]))


def test_a_use_that_was_cut_short_goes_back_with_what_was_lacking() -> None:
    use = replace(_use(5, 6), lacked=10**9)
    (back,) = undone(_entry(_used("a1", 1), uses=[use], of_session=[use])).uses
    assert (back.planned, back.used, back.lacked) == (-6, -5, -(10**9))


@pytest.mark.parametrize(
    ("entries", "number", "later"),
    [
        ([(2, ""), (3, "")], 2, [3]),
        ([(2, ""), (3, "")], 3, []),
        ([(2, ""), (3, ""), (4, "undoes entry 3")], 2, []),
        ([(2, ""), (3, ""), (4, "undoes entry 3"), (5, "undoes entry 4")], 2, [5]),
        ([(2, ""), (3, "undoes entry 2"), (4, "undoes entry 3"), (5, "undoes entry 4")], 1, []),
        ([(2, ""), (3, ""), (4, "undoes entry 2"), (5, "undoes entry 4")], 5, []),
        ([(2, ""), (3, "undoes entry 2"), (4, "")], 3, [4]),
        ([(2, ""), (3, "undoes entry 2"), (4, ""), (5, "undoes entry 3")], 5, []),
        ([(2, ""), (3, "undoes entry 9"), (4, "undoes entry x")], 2, [3, 4]),
    ],
)
def test_entries_that_came_after_one_are_those_that_count(
    entries: list[tuple[int, str]], number: int, later: list[int]
) -> None:
    assert later_entries(entries, number) == later
