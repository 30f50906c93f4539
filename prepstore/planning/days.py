"""When things must be in hand or be made: today, the calendar and how long they keep."""

from dataclasses import dataclass
from datetime import date, timedelta

from prepstore.planning.calendar import Calendar

LOOK_BACK = timedelta(weeks=8)
"""Sessions that were over before are not asked after any more; common practice, no source."""


@dataclass(frozen=True, slots=True)
class Days:
    """What decides the days of a plan: today, the calendar, the department's prep lead."""

    today: date
    calendar: Calendar
    prep_lead: int

    def day_of_need(self, day_of_use: date) -> date:
        """Return the day by which what a session uses must be in hand: from today on."""
        return self._from_today(self.calendar.before(day_of_use, self.prep_lead), day_of_use)

    def fresh_enough(self, day_of_need: date, day_of_use: date, shelf_life: int) -> date:
        """Return the day of need of something that keeps so many days from when it arrives.

        It is a later one where what arrives on the day of need would not keep until it is used.
        """
        return self._keeping_until(day_of_need, day_of_use, shelf_life)

    def can_be_fresh(self, day_of_use: date, shelf_life: int) -> bool:
        """Return whether what arrives on some working day still keeps until the day of use."""
        earliest = day_of_use - timedelta(days=shelf_life)
        return self.calendar.on_or_after(earliest) <= day_of_use

    def make_day(self, day_of_use: date, shelf_life: int | None, *, is_for_batch: bool) -> date:
        """Return the day on which a batch is made that is first used on a day.

        Args:
            day_of_use: Of its first session, or the make-day of the batch that it goes into.
            shelf_life: Days it keeps; None where it keeps.
            is_for_batch: Whether it goes into another batch first.
        """
        day = day_of_use
        if shelf_life != 0:
            day = self.calendar.before(day, 1 if is_for_batch else self.prep_lead)
        if shelf_life:
            day = self._keeping_until(day, day_of_use, shelf_life)
        return self._from_today(day, day_of_use)

    def arrival(self, lead_days: int) -> date:
        """Return the day on which what is ordered today arrives."""
        return self.calendar.arrival(self.today, lead_days)

    def _keeping_until(self, day: date, day_of_use: date, shelf_life: int) -> date:
        """Return a day, or a later one from which on something keeps until it is used."""
        earliest = day_of_use - timedelta(days=shelf_life)
        return day if day >= earliest else self.calendar.first_from(earliest, day_of_use)

    def _from_today(self, day: date, day_of_use: date) -> date:
        return day if day >= self.today else self.calendar.first_from(self.today, day_of_use)
