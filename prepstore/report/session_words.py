"""What happened to a session between two plans, in words."""

from typing import Final

from prepstore.planning.differs import SessionChange, SessionDiffers
from prepstore.planning.papers import SessionThen
from prepstore.report.wording import day_in_words


def session_now(differs: SessionDiffers) -> str:
    """Return how a session that differs is now; blank where it is not in these days."""
    if differs.elsewhere is not None:
        return f"{day_in_words(differs.elsewhere.date)}, in another plan"
    if differs.now is None or differs.change is SessionChange.CANCELLED:
        return ""
    return session_then(differs.now)


def session_then(then: SessionThen) -> str:
    """Return day, time, room, practical and numbers of a session."""
    times = ""
    if then.start:
        times = f" {then.start:%H:%M}" + (f"–{then.end:%H:%M}" if then.end else "")
    room = f", {then.room}" if then.room else ""
    sets = "1 set" if then.sets == 1 else f"{then.sets} sets"
    return (
        f"{day_in_words(then.day)}{times}{room}, {then.practical}, {then.students} students, {sets}"
    )


def session_to_do(differs: SessionDiffers) -> str:
    """Return what happened to a session, and what to do about it."""
    return _WORDS[differs.change](differs)


def _added(differs: SessionDiffers) -> str:
    return f"added: prepare all of it by {_prepared(differs.now)}"


def _cancelled(differs: SessionDiffers) -> str:
    return f"cancelled{_take_back(differs)}"


def _out_of_period(differs: SessionDiffers) -> str:
    return f"moved out of these days{_take_back(differs)}"


def _moved(differs: SessionDiffers) -> str:
    return f"moved: prepare it by {_prepared(differs.now)}"


def _swapped(differs: SessionDiffers) -> str:
    told = (
        "; change what is set out by the lines below, and leave the rest" if differs.is_laid else ""
    )
    return f"another practical: prepare it by {_prepared(differs.now)}{told}"


def _another_room(differs: SessionDiffers) -> str:
    room = differs.now.room if differs.now else None
    where = f"set out in {room}" if room else "no room is given"
    moving = "; carry over what is set out" if differs.is_laid else ""
    return f"another room: {where}{moving}"


def _other_numbers(differs: SessionDiffers) -> str:
    if differs.before is None or differs.now is None:
        return ""
    more = differs.now.sets - differs.before.sets
    sets = f"{abs(more)} {'set' if abs(more) == 1 else 'sets'} {'more' if more > 0 else 'fewer'}"
    students = differs.now.students - differs.before.students
    if not students:
        return sets
    words = f"{abs(students)} {'student' if abs(students) == 1 else 'students'}"
    words += " more" if students > 0 else " fewer"
    return f"{words}, {sets if more else 'the same number of sets'}"


_WORDS: Final = {
    SessionChange.ADDED: _added,
    SessionChange.CANCELLED: _cancelled,
    SessionChange.OUT_OF_PERIOD: _out_of_period,
    SessionChange.MOVED: _moved,
    SessionChange.SWAPPED: _swapped,
    SessionChange.ROOM: _another_room,
    SessionChange.NUMBERS: _other_numbers,
}


def _prepared(now: SessionThen | None) -> str:
    return day_in_words(now.prepare_by) if now else ""


def _take_back(differs: SessionDiffers) -> str:
    return "; take back what is set out already" if differs.is_laid else ""
