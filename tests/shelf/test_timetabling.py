"""Late changes of the timetable, and what takes them back."""

from dataclasses import replace
from datetime import date, time

import pytest

from prepstore.facts import Session
from prepstore.movements import RecordedTimetable, TimetableChange
from prepstore.problems import RefusedError
from prepstore.shelf.shelf import Department
from prepstore.shelf.timetabling import (
    Moved,
    changes_undone,
    moved,
    refuse_known,
    session_of,
    swapped,
    timetable_changes,
    with_session,
    with_students,
)
from tests.builders import day, facts_from

WEEK = facts_from(
    {
        "items": "item,kind,unit\nsalt,reagent,g",
        "practicals": "practical,title\nP,One\nQ,Two",
        "practical_lines": """
            practical, stage, item, amount, per,   optional
            P,         a,     salt, 1 g,    group, yes
            P,         b,     salt, 1 g,    group, yes
            Q,         b,     salt, 1 g,    group, yes""",
        "timetable": """
            session, practical, date,       start, end,   room,  students, leave_out
            Mon,     P,         2027-02-01, 09:30, 11:00, Lab 1, 12,       a; b
            Tue,     P,         2027-02-02, ,      ,      ,      8,        """,
    }
)
MON = session_of(WEEK, "mon")


def _cells(before: Session | None, now: Session) -> dict[str, str]:
    return {one.column: one.now for one in timetable_changes(before, now)}


def test_a_session_is_found_by_name_and_one_that_is_not_there_is_refused() -> None:
    assert MON.session == "Mon"
    with pytest.raises(RefusedError, match="'Wed' is not a known session"):
        session_of(WEEK, "Wed")


def test_what_is_booked_out_is_not_changed_any_more() -> None:
    over = replace(WEEK, timetable=replace(WEEK.timetable, booked_out={"mon": day("02-01")}))
    with pytest.raises(RefusedError, match="booked out"):
        session_of(over, "Mon")


def test_a_name_that_is_there_is_no_name_for_a_new_session() -> None:
    refuse_known(WEEK, "Wed")
    with pytest.raises(RefusedError, match="session Mon already, on 2027-02-01"):
        refuse_known(WEEK, "MON")


def test_other_numbers_change_one_cell_and_none_cancels() -> None:
    assert _cells(MON, with_students(MON, 14)) == {"students": "14"}
    assert _cells(MON, with_students(MON, 0)) == {"students": "0"}
    assert _cells(MON, with_students(MON, 12)) == {}


@pytest.mark.parametrize(
    ("to", "cells"),
    [
        (Moved(date(2027, 2, 3)), {"date": "2027-02-03"}),
        (
            Moved(date(2027, 2, 1), start=time(14)),
            {"start": "14:00", "end": "15:30"},  # as long as it was
        ),
        (Moved(date(2027, 2, 1), end=time(12)), {"end": "12:00"}),
        (Moved(date(2027, 2, 1), start=time(14), end=time(17)), {"start": "14:00", "end": "17:00"}),
        (Moved(date(2027, 2, 1), room="Lab 2"), {"room": "Lab 2"}),
    ],
)
def test_a_move_changes_what_it_says(to: Moved, cells: dict[str, str]) -> None:
    assert _cells(MON, moved(MON, to)) == cells


def test_a_session_that_would_end_tomorrow_wants_an_end() -> None:
    with pytest.raises(RefusedError, match="after midnight"):
        moved(MON, Moved(MON.date, start=time(23)))


def test_a_session_without_times_gets_those_that_are_said() -> None:
    tue = session_of(WEEK, "Tue")
    assert _cells(tue, moved(tue, Moved(tue.date, start=time(9)))) == {"start": "09:00"}


def test_another_practical_keeps_the_stages_left_out_that_it_has() -> None:
    assert _cells(MON, swapped(WEEK, MON, "q")) == {"practical": "Q", "leave_out": "b"}
    with pytest.raises(RefusedError, match="'R' is not a known practical"):
        swapped(WEEK, MON, "R")


def test_a_new_session_is_all_its_cells() -> None:
    new = replace(MON, session=MON.session.__class__("Wed"), leave_out=None)
    assert _cells(None, new) == {
        "session": "Wed",
        "practical": "P",
        "date": "2027-02-01",
        "start": "09:30",
        "end": "11:00",
        "room": "Lab 1",
        "students": "12",
    }
    names = [one.session for one in with_session(WEEK, new).timetable.sessions]
    assert names == ["Mon", "Tue", "Wed"]
    changed = with_session(WEEK, with_students(MON, 3)).timetable.sessions
    assert [one.students for one in changed] == [3, 8]


def _recorded(*changes: TimetableChange) -> list[RecordedTimetable]:
    return [
        RecordedTimetable(entry=5, change=one, on_day=day("02-01"), at_utc="", by="Kim")
        for one in changes
    ]


def test_an_undo_takes_the_last_change_back_first() -> None:
    changes = timetable_changes(MON, moved(MON, Moved(date(2027, 2, 3), start=time(14))))
    back = changes_undone(_recorded(*changes), {"mon": {one.column: one.now for one in changes}})
    assert [(one.column, one.was, one.now) for one in back] == [
        ("end", "15:30", "11:00"),
        ("start", "14:00", "09:30"),
        ("date", "2027-02-03", "2027-02-01"),
    ]


def test_what_has_changed_since_stands_in_the_way() -> None:
    (change,) = timetable_changes(MON, with_students(MON, 14))
    with pytest.raises(RefusedError) as refused:
        changes_undone(_recorded(change), {"mon": {"students": "15"}})
    assert refused.value.sentences == (
        "The students of session Mon is '15' now, no longer '14': a load or a later "
        "change set it. See prepstore session history, and change the session itself.",
    )
    with pytest.raises(RefusedError, match="blank now"):
        changes_undone(_recorded(change), {})


def test_a_department_is_otherwise_the_same() -> None:
    assert isinstance(with_session(WEEK, MON), Department)
    assert with_session(WEEK, MON).stores is WEEK.stores
