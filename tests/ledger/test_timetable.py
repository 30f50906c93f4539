"""Changes of sessions in the store: rows follow, and go back letter for letter."""

import pytest

from prepstore.ledger.load import written_rows
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.ledger.timetable import recorded_timetable, session_cells
from prepstore.movements import Booking, TimetableChange
from tests.ledger.rows_of import SIGNED, put, row, store_with_lots


@pytest.fixture
def store(place: Place) -> Place:
    path = store_with_lots(place)
    with writing(path) as connection:
        cells = {"practical": "P", "date": "2027-02-01", "start": "9:30", "students": "12"}
        put(connection, {"timetable": [row("timetable", session="Mon", **cells)]})
    return path


def _book(path: Place, *changes: tuple[str, str, str]) -> int:
    with writing(path) as connection:
        timetable = tuple(
            TimetableChange(session=session, column=column, was="", now=now)
            for session, column, now in changes
        )
        return record(connection, Booking(timetable=timetable), SIGNED)


def _rows(path: Place) -> list[dict[str, str]]:
    with reading(path) as connection:
        return [dict(one.text) for one in written_rows(connection, "timetable")["timetable"]]


def test_a_changed_cell_stands_in_its_row_and_the_rest_stays(store: Place) -> None:
    _book(store, ("MON", "students", "14"), ("Mon", "room", "Lab 2"))
    (mon,) = _rows(store)
    assert mon == {
        "session": "Mon", "practical": "P", "date": "2027-02-01", "start": "9:30",
        "students": "14", "room": "Lab 2",
    }  # fmt: skip


def test_what_a_cell_was_is_kept_letter_for_letter(store: Place) -> None:
    entry = _book(store, ("Mon", "start", "14:00"), ("Mon", "end", "15:30"))
    with reading(store) as connection:
        found = recorded_timetable(connection, entry=entry)
        assert [(one.change.column, one.change.was, one.change.now) for one in found] == [
            ("start", "9:30", "14:00"),
            ("end", "", "15:30"),
        ]
        assert {one.by for one in found} == {"somebody"}
        assert recorded_timetable(connection, entry=entry + 1) == []
        assert session_cells(connection, ["MON", "Tue"])["mon"]["start"] == "14:00"
        assert session_cells(connection, ["Tue"]) == {"tue": {}}


def test_a_session_without_a_row_gets_one_and_goes_with_its_last_cell(store: Place) -> None:
    _book(store, ("Tue", "session", "Tue"), ("Tue", "date", "2027-02-02"))
    assert [one["session"] for one in _rows(store)] == ["Mon", "Tue"]
    _book(store, ("Tue", "date", ""), ("Tue", "session", ""))
    assert [one["session"] for one in _rows(store)] == ["Mon"]
