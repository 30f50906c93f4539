"""What sessions that are booked out were to send to waste streams, and what they did send."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Final

from prepstore.amounts import Kind, of_billionths
from prepstore.cell_types import fold
from prepstore.containers import RecordedContainer
from prepstore.movements import SessionUse
from prepstore.planning.demands import Scaler
from prepstore.planning.endings import Ended, ends_by_item
from prepstore.recorded import standing
from prepstore.shelf.pouring import poured_of
from prepstore.shelf.session_use import is_booked_out
from prepstore.shelf.shelf import Department

_HUNDRED: Final = Decimal(100)


@dataclass(frozen=True, slots=True)
class Compared:
    """What the sessions of a practical were to send to a stream and sent, in mL or g.

    `expected` is without spare, `allow_for` with all of it. `cut_short` of the `sessions` did not
    find all of something that goes there, and so sent less.
    """

    practical: str
    stream: str
    unit: Kind
    sessions: int
    expected: Decimal
    allow_for: Decimal
    recorded: Decimal
    cut_short: int

    @property
    def difference(self) -> Decimal:
        """Return how much more was recorded than allowed for (less: negative)."""
        return self.recorded - self.allow_for

    @property
    def percent(self) -> Decimal | None:
        """Return the difference in % of what was allowed for; None where nothing was."""
        return self.difference / self.allow_for * _HUNDRED if self.allow_for else None


@dataclass(frozen=True, slots=True)
class Comparison:
    """A row a practical and stream, by name; sessions of which nobody knows what was planned."""

    rows: tuple[Compared, ...]
    without_forecast: tuple[str, ...]


def waste_compared(
    department: Department,
    uses: Iterable[SessionUse],
    history: Sequence[RecordedContainer],
) -> Comparison:
    """Return what sessions that are booked out were to send to streams, and what is recorded.

    What each was planned to use was recorded when it was booked out; where that goes is as its
    script says now. What an entry that is undone brought into a container does not count.

    Args:
        department: The scripts, the timetable and the streams.
        uses: What the sessions that are asked for were planned to use, and used.
        history: All changes of waste containers, in the order of recording.
    """
    booked = _booked(uses)
    comparing = _Comparing(department, booked)
    without = [of[0].session for name, of in booked.items() if not comparing.add_forecast(name)]
    for one in standing(history):
        comparing.add_recorded(one)
    return Comparison(tuple(comparing.rows()), tuple(without))


_Uses = Sequence[SessionUse]


def _booked(uses: Iterable[SessionUse]) -> dict[str, _Uses]:
    """Return the uses of each session (folded) that is booked out."""
    by_session: dict[str, list[SessionUse]] = {}
    for use in uses:
        by_session.setdefault(fold(use.session), []).append(use)
    return {name: of for name, of in by_session.items() if is_booked_out(of)}


def _lacking(uses: _Uses) -> set[str]:
    """Return the items (folded) of which a session did not find all that it was to take."""
    lacked: dict[str, int] = {}
    for use in uses:
        lacked[fold(use.item)] = lacked.get(fold(use.item), 0) + use.lacked
    return {item for item, billionths in lacked.items() if billionths}


@dataclass(slots=True)
class _Sums:
    """What the sessions (folded) of a practical come to in a stream, in billionths."""

    practical: str
    stream: str
    unit: Kind
    expected: int = 0
    allow_for: int = 0
    recorded: int = 0
    sessions: set[str] = field(default_factory=set)
    cut_short: set[str] = field(default_factory=set)


class _Comparing:
    """Adds up forecast and record by practical and stream.

    Args:
        department: The scripts, the timetable and the streams.
        booked: The uses of each session (folded) that is booked out.
    """

    def __init__(self, department: Department, booked: Mapping[str, _Uses]) -> None:
        self._department = department
        self._booked = booked
        self._scaler = Scaler(department.catalogue)
        self._sessions = {fold(one.session): one for one in department.timetable.sessions}
        self._sums: dict[tuple[str, str, Kind], _Sums] = {}

    def add_forecast(self, name: str) -> bool:
        """Add what a session (folded) was planned to send; False where nobody knows its script."""
        session = self._sessions.get(name)
        if session is None:
            return False
        ends = ends_by_item(self._scaler.scale(session).endings)
        lacking = _lacking(self._booked[name])
        for use in self._booked[name]:
            for end, fraction in ends.get(fold(use.item), {}).items():
                if end in self._department.goods.streams:
                    sums = self._add_planned(use, end, fraction)
                    sums.cut_short |= {name} if fold(use.item) in lacking else set()
        return True

    def _add_planned(self, use: SessionUse, end: str, fraction: Ended) -> _Sums:
        stream = self._department.goods.streams[end]
        material = self._department.materials[fold(use.item)]
        planned, unit = of_billionths(use.planned), stream.measure.kind
        sums = self._sums_of(use, stream.stream, unit)
        sums.expected += poured_of(material, planned * fraction.expected, unit).level
        sums.allow_for += poured_of(material, planned * fraction.allow_for, unit).level
        return sums

    def add_recorded(self, one: RecordedContainer) -> None:
        """Add what was poured into a container, or taken out again, for one of the sessions."""
        name = fold(one.session or "")
        if name in self._booked and name in self._sessions and one.change.billionths:
            sums = self._sums_of(self._booked[name][0], one.change.stream, one.change.unit)
            sums.recorded += one.change.billionths

    def _sums_of(self, use: SessionUse, stream: str, unit: Kind) -> _Sums:
        key = fold(use.practical), fold(stream), unit
        found = self._sums.setdefault(key, _Sums(use.practical, stream, unit))
        found.sessions.add(fold(use.session))
        return found

    def rows(self) -> Iterator[Compared]:
        """Yield a row a practical and stream that anything was to be sent to, or was."""
        for _, of in sorted(self._sums.items()):
            if of.expected or of.allow_for or of.recorded:
                yield Compared(
                    practical=of.practical,
                    stream=of.stream,
                    unit=of.unit,
                    sessions=len(of.sessions),
                    expected=of_billionths(of.expected),
                    allow_for=of_billionths(of.allow_for),
                    recorded=of_billionths(of.recorded),
                    cut_short=len(of.cut_short),
                )
