"""What is asked: the sessions, and which of them are booked out."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, time
from functools import cached_property

from prepstore.cell_types import fold
from prepstore.facts import Session


@dataclass(frozen=True)
class Timetable:
    """The sessions in the order of their table.

    `booked_out` has, by folded name, those whose use is recorded already, with the day they had
    then.
    """

    sessions: tuple[Session, ...]
    booked_out: Mapping[str, date] = field(default_factory=dict)

    @cached_property
    def _by_day(self) -> Mapping[date, list[Session]]:
        days: dict[date, list[Session]] = {}
        for session in self.sessions:
            days.setdefault(session.date, []).append(session)
        return days

    def on(self, day: date) -> Sequence[Session]:
        """Return the sessions of a day, in the order of their table."""
        return self._by_day.get(day, ())

    def is_booked_out(self, session: Session) -> bool:
        """Return whether what a session used is recorded."""
        return fold(session.session) in self.booked_out

    def over_and_not_booked(self, first: date, last: date) -> list[Session]:
        """Return the sessions with students of some days that are not booked out, in order."""
        over = [
            one
            for one in self.sessions
            if first <= one.date <= last and one.students and not self.is_booked_out(one)
        ]
        return sorted(over, key=lambda one: (one.date, one.start or time.min, one.session))
