"""Sessions and their changes as lines."""

from dataclasses import replace

from prepstore.movements import RecordedTimetable, TimetableChange
from prepstore.report.timetable_list import (
    CHANGE_COLUMNS,
    SESSION_COLUMNS,
    session_lines,
    session_rows,
    timetable_change_lines,
    timetable_history_lines,
    timetable_history_rows,
)
from prepstore.timetable import Timetable
from tests.builders import day, session

MON = session("Mon", start="09:00", end="11:00", room="Lab 1", students="12", leave_out="a; b")
TUE = session("Tue", "2027-02-02", students="0")


def _timetable(*booked: str) -> Timetable:
    return Timetable((MON, TUE), dict.fromkeys(booked, day("02-01")))


def test_sessions_say_what_they_are_and_whether_they_take_place() -> None:
    assert list(session_lines((MON, TUE), _timetable())) == [
        "day        time         session  practical  room   students",
        "Mon 1 Feb  09:00–11:00  Mon      P          Lab 1  12",
        "Tue 2 Feb               Tue      P                 0         cancelled",
        "2 sessions",
    ]
    assert "booked out" in list(session_lines((MON,), _timetable("mon")))[1]


def test_rows_have_the_columns_of_the_list() -> None:
    rows = session_rows((MON, TUE), _timetable("mon"))
    assert all(tuple(row) == SESSION_COLUMNS for row in rows)
    assert (rows[0]["start"], rows[0]["leave_out"], rows[0]["booked_out"]) == (
        "09:00",
        "a; b",
        True,
    )
    assert rows[1]["start"] is None


STUDENTS = TimetableChange(session="Mon", column="students", was="12", now="14")
NEW = tuple(
    TimetableChange(session="Wed", column=column, was="", now=now)
    for column, now in (("session", "Wed"), ("practical", "P"))
)


def test_a_changed_cell_is_a_line_and_a_new_session_is_one() -> None:
    assert list(timetable_change_lines((STUDENTS, *NEW))) == [
        "Wed is new in the timetable",
        "Mon: students is '14' now, '12' before",
    ]
    gone = replace(NEW[0], was="Wed", now="")
    assert list(timetable_change_lines((gone,))) == ["Wed is taken out in the timetable"]
    room = TimetableChange(session="Mon", column="room", was="Lab 1", now="")
    assert list(timetable_change_lines((room,))) == ["Mon: room is blank now, 'Lab 1' before"]


def test_the_history_says_who_changed_what_when_and_why() -> None:
    one = RecordedTimetable(
        entry=7, change=STUDENTS, on_day=day("02-01"), at_utc="x", by="Kim", reason="late"
    )
    assert list(timetable_history_lines([one]))[1] == (
        "7      2027-02-01  Mon      students: 12 to 14  Kim  late"
    )
    (row,) = timetable_history_rows([one])
    assert tuple(row) == CHANGE_COLUMNS
