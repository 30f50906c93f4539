"""Late changes of the timetable: a session added, moved, swapped, cancelled, with other numbers."""

import datetime
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Any

from prepstore.cell_types import Count, Name, Names, fold
from prepstore.columns import TABLES
from prepstore.facts import Session
from prepstore.movements import RecordedTimetable, TimetableChange
from prepstore.problems import RefusedError, not_known
from prepstore.shelf.shelf import Department, Renamed, called_now


@dataclass(frozen=True, slots=True)
class Moved:
    """Where a session goes; what is None stays as it is.

    Without an end the session is as long as it was.
    """

    date: datetime.date
    start: datetime.time | None = None
    end: datetime.time | None = None
    room: str | None = None


def session_of(department: Department, name: str) -> Session:
    """Return a session that is still to be changed.

    Raises:
        RefusedError: There is none of that name, or what it used is booked.
    """
    sessions = department.timetable.sessions
    found = next((one for one in sessions if fold(one.session) == fold(name)), None)
    if found is None:
        raise not_known(name, "session", [one.session for one in sessions])
    if department.timetable.is_booked_out(found):
        raise RefusedError(
            f"Session {found.session} is booked out, so it is over. If it is still to run, undo "
            "what was booked, or add a session of another name."
        )
    return found


def refuse_known(department: Department, name: str) -> None:
    """Refuse the name of a session that is there already.

    Raises:
        RefusedError: It is; says on which day.
    """
    for one in department.timetable.sessions:
        if fold(one.session) == fold(name):
            raise RefusedError(
                f"There is a session {one.session} already, on {one.date}. Choose another name."
            )


def moved(session: Session, to: Moved) -> Session:
    """Return a session on another day, at another time or in another room."""
    start = to.start or session.start
    return replace(
        session,
        date=to.date,
        start=start,
        end=to.end or _end_after(session, start),
        room=session.room if to.room is None else Name(to.room),
    )


def _end_after(session: Session, start: datetime.time | None) -> datetime.time | None:
    """Return the end of a session that begins at another time and is as long."""
    if session.start is None or session.end is None or start is None:
        return session.end
    day = datetime.date.min
    length = datetime.datetime.combine(day, session.end) - datetime.datetime.combine(
        day, session.start
    )
    ends = datetime.datetime.combine(day, start) + length
    if ends.date() != day:
        raise RefusedError(
            f"A session that starts at {start:%H:%M} would end after midnight. Give its end as "
            "well."
        )
    return ends.time()


def swapped(department: Department, session: Session, practical: str) -> Session:
    """Return a session with another practical; stages that this one does not have stay.

    Raises:
        RefusedError: There is no such practical; names the nearest, or what it is called now.
    """
    known = department.catalogue.practicals
    found = known.get(fold(practical))
    if found is None:
        instead = called_now(practical, department.renamed, "practicals")
        raise not_known(practical, "practical", [one.practical for one in known.values()], instead)
    lines = department.catalogue.lines.get(fold(practical), ())
    optional = {fold(line.stage) for line in lines if line.optional and line.stage}
    left_out = tuple(stage for stage in session.leave_out or () if fold(stage) in optional)
    return replace(
        session, practical=found.practical, leave_out=Names(left_out) if left_out else None
    )


def with_students(session: Session, students: int) -> Session:
    """Return a session with other numbers; 0 cancels it."""
    return replace(session, students=Count(students))


def timetable_changes(before: Session | None, now: Session) -> tuple[TimetableChange, ...]:
    """Return the cells in which a session differs from what it was, each once.

    Args:
        before: None where the session is new.
        now: What it is to be.
    """
    was = _cells(before) if before else {}
    cells = _cells(now)
    return tuple(
        TimetableChange(
            session=now.session, column=column, was=was.get(column, ""), now=cells.get(column, "")
        )
        for column in TABLES["timetable"].columns
        if was.get(column, "") != cells.get(column, "")
    )


def taken_out(cells: Mapping[str, str]) -> tuple[TimetableChange, ...]:
    """Return the changes by which a session, given as its cells, leaves the timetable."""
    name = cells["session"]
    return tuple(
        TimetableChange(session=name, column=column, was=cells[column], now="")
        for column in TABLES["timetable"].columns
        if cells.get(column)
    )


def _cells(session: Session) -> Mapping[str, str]:
    """Return a session as cells, as a person would write them; what is usual is left out."""
    cells = {
        name: _written(getattr(session, column.field))
        for name, column in TABLES["timetable"].columns.items()
    }
    if session.demonstrator_sets == 0:
        cells["demonstrator_sets"] = ""
    return {name: cell for name, cell in cells.items() if cell}


def _written(value: Any) -> str:  # noqa: ANN401 - the value of any column
    match value:
        case None:
            return ""
        case datetime.time():
            return f"{value:%H:%M}"
        case tuple():
            return "; ".join(value)
        case _:
            return str(value)


def with_session(department: Department, session: Session) -> Department:
    """Return a department with a session as it is to be, in the place of that of its name."""
    sessions = [
        session if fold(one.session) == fold(session.session) else one
        for one in department.timetable.sessions
    ]
    if session not in sessions:
        sessions.append(session)
    return replace(department, timetable=replace(department.timetable, sessions=tuple(sessions)))


def changes_undone(
    changes: Iterable[RecordedTimetable],
    cells: Mapping[str, Mapping[str, str]],
    renamed: Renamed = MappingProxyType({}),
) -> tuple[TimetableChange, ...]:
    """Return what takes changes of sessions back, the last first.

    Args:
        changes: Of one entry.
        cells: What the rows of those sessions say now, by folded name.
        renamed: What practicals are called now that bore other names then.

    Raises:
        RefusedError: A cell says another thing by now; a sentence for each.
    """
    recorded = [_as_called_now(one.change, renamed) for one in changes]
    reasons = [*_in_the_way(recorded, cells), *_beside_what_was_new(recorded, cells)]
    if reasons:
        raise RefusedError(*reasons)
    return tuple(replace(one, was=one.now, now=one.was) for one in recorded[::-1])


def _as_called_now(change: TimetableChange, renamed: Renamed) -> TimetableChange:
    """Return a change with the names that its practicals have by now."""
    if change.column != "practical":
        return change
    was, now = (
        found.name if (found := renamed.get(("practicals", fold(name)))) else name
        for name in (change.was, change.now)
    )
    return replace(change, was=was, now=now)


def _beside_what_was_new(
    changes: Sequence[TimetableChange], cells: Mapping[str, Mapping[str, str]]
) -> Iterator[str]:
    """Yield a sentence for each cell that a session, which would be gone, was given later."""
    told = {(fold(one.session), one.column) for one in changes}
    for one in changes:
        if one.column == "session" and one.now and not one.was:
            for column, cell in cells.get(fold(one.session), {}).items():
                if (fold(one.session), column) not in told:
                    yield (
                        f"The {column} of session {one.session} was set to '{cell}' since, by a "
                        "load or a later change. Cancel the session instead: prepstore session "
                        "cancel"
                    )


def _in_the_way(
    changes: Iterable[TimetableChange], cells: Mapping[str, Mapping[str, str]]
) -> Iterator[str]:
    for one in changes:
        now = cells.get(fold(one.session), {}).get(one.column, "")
        if now != one.now:
            is_now = f"'{now}'" if now else "blank"
            was_then = f"'{one.now}'" if one.now else "blank"
            yield (
                f"The {one.column} of session {one.session} is {is_now} now, no longer {was_then}: "
                "a load or a later change set it. See prepstore session history, and change the "
                "session itself."
            )
