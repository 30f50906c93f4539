"""What is out at the same time."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import combinations

from prepstore.amounts import ZERO, round_up
from prepstore.cell_types import fold
from prepstore.facts import Item
from prepstore.planning.demands import SessionWork
from prepstore.planning.scaled_lines import ScaledLine

_SECONDS = 60


@dataclass(frozen=True, slots=True)
class Use:
    """One session holding a number of one piece of apparatus, the end not included."""

    work: SessionWork
    number: int
    begins: datetime
    ends: datetime


@dataclass(frozen=True, slots=True)
class ApparatusPlan:
    """The peak of one piece of apparatus, its first moment, and what is held.

    `not_computed` are the sessions for which a shared instrument's time is not known.
    """

    item: Item
    uses: tuple[Use, ...]
    held: Decimal
    peak: int
    at: datetime | None
    not_computed: tuple[SessionWork, ...]

    @property
    def holders_at_peak(self) -> tuple[Use, ...]:
        """Return the sessions that hold some of it at the peak's first moment."""
        at = self.at
        return tuple(use for use in self.uses if at is not None and use.begins <= at < use.ends)

    @property
    def short(self) -> Decimal:
        """Return how many are missing at the peak."""
        return max(ZERO, self.peak - self.held)


def apparatus_plan(item: Item, works: Iterable[SessionWork], held: Decimal) -> ApparatusPlan:
    """Return how many of one piece of apparatus are out at the same time.

    Args:
        item: The apparatus; `turnaround` in minutes is part of its being out.
        works: The sessions that use it.
        held: What the department has of it, usable on the period's first day.
    """
    name = fold(item.item)
    uses: list[Use] = []
    not_computed: list[SessionWork] = []
    for work in works:
        number = wanted_by(item, name, work)
        if not all_is_computed(item, name, work):
            not_computed.append(work)
        if number:
            begins, ends = held_from_until(item, work)
            uses.append(Use(work, number, begins, ends))
    peak, at = _peak(uses)
    return ApparatusPlan(item, tuple(uses), held, peak, at, tuple(not_computed))


def wanted_by(item: Item, name: str, work: SessionWork) -> int:
    """Return how many a session holds; lines whose time to serve is not known count nothing."""
    if item.minutes_per_use is None:
        return int(work.scale.needs.get(name, ZERO))
    length = session_minutes(work)
    busy = ZERO
    for line in _lines_of(name, work):
        if minutes := line.line.within or length:
            busy += line.amount * item.minutes_per_use / minutes
    return round_up(busy)


def all_is_computed(item: Item, name: str, work: SessionWork) -> bool:
    """Return whether the time in which a shared instrument must serve is known for every line."""
    return (
        item.minutes_per_use is None
        or session_minutes(work) is not None
        or all(line.line.within for line in _lines_of(name, work))
    )


def _lines_of(name: str, work: SessionWork) -> list[ScaledLine]:
    return [line for line in work.scale.lines if line.name == name]


def session_minutes(work: SessionWork) -> Decimal | None:
    """Return a session's length in minutes; None where it has no times."""
    session = work.session
    if session.start is None or session.end is None:
        return None
    begins = datetime.combine(session.date, session.start)
    return Decimal((datetime.combine(session.date, session.end) - begins).seconds) / _SECONDS


def held_from_until(item: Item, work: SessionWork) -> tuple[datetime, datetime]:
    """Return from when until when a session's apparatus is out: all day without times."""
    session = work.session
    midnight = datetime.combine(session.date, datetime.min.time())
    if session.start is None or session.end is None:
        return midnight, midnight + timedelta(days=1)
    turnaround = timedelta(minutes=float(item.turnaround or 0))
    return (
        datetime.combine(session.date, session.start),
        datetime.combine(session.date, session.end) + turnaround,
    )


def _peak(uses: Iterable[Use]) -> tuple[int, datetime | None]:
    """Return the most that is out at once and the first moment of it."""
    changes: dict[datetime, int] = {}
    for use in uses:
        changes[use.begins] = changes.get(use.begins, 0) + use.number
        changes[use.ends] = changes.get(use.ends, 0) - use.number
    peak, at, out = 0, None, 0
    for moment in sorted(changes):
        out += changes[moment]
        if out > peak:
            peak, at = out, moment
    return peak, at


def uses_by_item(
    works: Iterable[SessionWork], apparatus: Mapping[str, Item]
) -> dict[str, list[SessionWork]]:
    """Return the sessions that use each piece of apparatus, by folded name."""
    users: dict[str, list[SessionWork]] = {name: [] for name in apparatus}
    for work in works:
        for name in work.scale.needs:
            if name in users:
                users[name].append(work)
    return users


def clashes(works: Iterable[SessionWork]) -> list[tuple[SessionWork, SessionWork]]:
    """Return the pairs of sessions with students whose times overlap in one room."""
    by_room: dict[tuple[str, object], list[SessionWork]] = {}
    for work in works:
        session = work.session
        if session.room and session.students and session.start and session.end:
            by_room.setdefault((fold(session.room), session.date), []).append(work)
    return [
        (first, second)
        for sharing in by_room.values()
        for first, second in combinations(sorted(sharing, key=lambda work: work.order), 2)
        if first.session.end and second.begins.time() < first.session.end
    ]
