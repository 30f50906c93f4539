"""ISO weeks and working days."""

import re
from dataclasses import dataclass
from datetime import date, timedelta

_DAY = timedelta(days=1)
_WEEK = re.compile(r"([0-9]{4})-W([0-9]{2})")


@dataclass(frozen=True, slots=True)
class Period:
    """The days a plan is for, both included; `week` is its ISO week where it is one."""

    first: date
    last: date
    week: str | None = None

    @classmethod
    def of_week(cls, week: str) -> "Period":
        """Return the Monday to Sunday of an ISO 8601 week such as `2027-W05`.

        Raises:
            ValueError: It is not written so, or the year has no such week.

        >>> Period.of_week("2026-W53").first.isoformat()
        '2026-12-28'
        """
        found = _WEEK.fullmatch(week)
        if found is None:
            raise ValueError(f"'{week}' is not a week. Write it like 2027-W05.")
        year, number = int(found[1]), int(found[2])
        try:
            monday = date.fromisocalendar(year, number, 1)
        except ValueError:
            raise ValueError(f"'{week}' is a week that {year} does not have.") from None
        return cls(monday, monday + 6 * _DAY, week)

    def __contains__(self, day: date) -> bool:
        """Return whether a day falls in the period."""
        return self.first <= day <= self.last


@dataclass(frozen=True, slots=True)
class Calendar:
    """The days on which people work and suppliers deliver (Monday is weekday 0)."""

    weekdays: frozenset[int]
    holidays: frozenset[date] = frozenset()

    def is_working(self, day: date) -> bool:
        """Return whether people work on a day."""
        return day.weekday() in self.weekdays and day not in self.holidays

    def before(self, day: date, count: int) -> date:
        """Return the `count`-th working day strictly before a day; 0 of them: the day itself."""
        return self._step(day, count, -_DAY)

    def after(self, day: date, count: int) -> date:
        """Return the `count`-th working day strictly after a day; 0 of them: the day itself."""
        return self._step(day, count, _DAY)

    def _step(self, day: date, count: int, step: timedelta) -> date:
        while count > 0:
            day += step
            count -= self.is_working(day)
        return day

    def on_or_after(self, day: date) -> date:
        """Return the first working day on or after a day."""
        return day if self.is_working(day) else self.after(day, 1)

    def on_or_before(self, day: date) -> date:
        """Return the last working day on or before a day."""
        return day if self.is_working(day) else self.before(day, 1)

    def first_from(self, day: date, at_the_latest: date) -> date:
        """Return the first working day from a day on, at the latest another day."""
        return min(self.on_or_after(day), at_the_latest)

    def arrival(self, ordered: date, lead_days: int) -> date:
        """Return the day on which what is ordered on a day arrives.

        It is the `lead_days`-th working day after the day on which the order counts as placed: the
        same, or, where that is closed, the next working day.
        """
        return self.after(self.on_or_after(ordered), lead_days)

    def order_by(self, needed_by: date, lead_days: int) -> date:
        """Return the last working day from which an order arrives by a day.

        What is ordered on a day arrives on the `lead_days`-th working day after it.
        """
        return self.before(self.on_or_before(needed_by), lead_days)
