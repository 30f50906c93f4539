"""Sessions as lines and rows, and what was changed in the timetable."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Final

from prepstore.facts import Session
from prepstore.movements import RecordedTimetable, TimetableChange
from prepstore.report.text_table import as_table
from prepstore.report.wording import day_in_words, user_in_words, why_in_words
from prepstore.timetable import Timetable

SESSION_COLUMNS: Final = (
    "session", "practical", "date", "start", "end", "room", "students", "group_size",
    "demonstrator_sets", "leave_out", "booked_out",
)  # fmt: skip
CHANGE_COLUMNS: Final = (
    "entry", "day", "at_utc", "by", "session", "column", "was", "now", "reason",
    "database_user",
)  # fmt: skip


def session_rows(sessions: Iterable[Session], timetable: Timetable) -> list[dict[str, Any]]:
    """Return a row a session."""
    return [
        {
            "session": one.session,
            "practical": one.practical,
            "date": one.date.isoformat(),
            "start": one.start and f"{one.start:%H:%M}",
            "end": one.end and f"{one.end:%H:%M}",
            "room": one.room,
            "students": one.students,
            "group_size": one.group_size,
            "demonstrator_sets": one.demonstrator_sets,
            "leave_out": "; ".join(one.leave_out or ()) or None,
            "booked_out": timetable.is_booked_out(one),
        }
        for one in sessions
    ]


def session_lines(sessions: Sequence[Session], timetable: Timetable) -> Iterator[str]:
    """Yield a heading and a line a session."""
    cells = [
        (
            day_in_words(one.date),
            _times(one),
            one.session,
            one.practical,
            one.room or "",
            str(one.students),
            "booked out" if timetable.is_booked_out(one) else _cancelled(one),
        )
        for one in sessions
    ]
    yield from as_table(("day", "time", "session", "practical", "room", "students", ""), cells)
    yield f"{len(cells)} session{'s' if len(cells) != 1 else ''}"


def _times(session: Session) -> str:
    if session.start is None:
        return ""
    return f"{session.start:%H:%M}" + (f"–{session.end:%H:%M}" if session.end else "")


def _cancelled(session: Session) -> str:
    return "" if session.students else "cancelled"


def timetable_change_lines(changes: Sequence[TimetableChange]) -> Iterator[str]:
    """Yield a line a session that is new or gone, and else a line a changed cell."""
    for one in changes:
        if one.column == "session":
            yield f"{one.now or one.was} is {'new' if one.now else 'taken out'} in the timetable"
    whole = {one.session for one in changes if one.column == "session"}
    for one in changes:
        if one.session not in whole:
            now, was = (f"'{cell}'" if cell else "blank" for cell in (one.now, one.was))
            yield f"{one.session}: {one.column} is {now} now, {was} before"


def timetable_history_rows(history: Iterable[RecordedTimetable]) -> list[dict[str, Any]]:
    """Return a row a changed cell."""
    return [
        {
            "entry": one.entry,
            "day": one.on_day.isoformat(),
            "at_utc": one.at_utc,
            "by": one.by,
            "session": one.change.session,
            "column": one.change.column,
            "was": one.change.was or None,
            "now": one.change.now or None,
            "reason": one.reason,
            "database_user": one.database_user,
        }
        for one in history
    ]


def timetable_history_lines(history: Sequence[RecordedTimetable]) -> Iterator[str]:
    """Yield a heading and a line a changed cell, or a session new or gone; the latest last."""
    cells = [
        (
            str(one.entry),
            one.on_day.isoformat(),
            one.change.session,
            what,
            user_in_words(one),
            why_in_words(one),
        )
        for one, what in _told(history)
    ]
    yield from as_table(("entry", "day", "session", "what", "by", "because"), cells)
    yield f"{len(cells)} change{'s' if len(cells) != 1 else ''} of the timetable"


def _told(history: Sequence[RecordedTimetable]) -> Iterator[tuple[RecordedTimetable, str]]:
    """Yield what is told of each change: a session that is new or gone is told once, as a whole."""
    whole: dict[tuple[int, str], list[TimetableChange]] = {}
    for one in history:
        whole.setdefault((one.entry, one.change.session), []).append(one.change)
    for one in history:
        change = one.change
        of_session = whole[one.entry, change.session]
        if change.column == "session":
            cells = ", ".join(other.now or other.was for other in of_session if other != change)
            yield one, f"{'new' if change.now else 'taken out'}: {cells}"
        elif all(other.column != "session" for other in of_session):
            yield one, f"{change.column}: {change.was or 'blank'} to {change.now or 'blank'}"
