"""Weeks planned one after another, each from the stores as the one before leaves them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property

from prepstore.catalogue import Catalogue
from prepstore.cell_types import Ordering, fold
from prepstore.planning.calendar import Period
from prepstore.planning.days import Days
from prepstore.planning.draws import Served
from prepstore.planning.make_plan import plan_period
from prepstore.planning.plan import Plan
from prepstore.stores import Stores
from prepstore.timetable import Timetable

_WEEK = timedelta(weeks=1)


@dataclass(frozen=True)
class Term:
    """The plans of weeks, in order; `opening` are the stores as of today."""

    opening: Stores
    plans: tuple[Plan, ...]

    @property
    def weeks(self) -> tuple[Period, ...]:
        """Return the weeks, from Monday to Sunday."""
        return tuple(plan.period for plan in self.plans)

    @property
    def days(self) -> Days:
        """Return today and the working days."""
        return self.plans[0].days

    @cached_property
    def closing(self) -> Stores:
        """Return the stores as the last week leaves them."""
        return self.plans[-1].stores.after(self.plans[-1])

    @property
    def last_day(self) -> date:
        """Return the last day of the last week."""
        return self.plans[-1].period.last

    @property
    def opens_on(self) -> date:
        """Return the day from which on balances are drawn up: today, or the first of the weeks."""
        return max(self.days.today, self.plans[0].period.first)

    def served(self) -> Iterator[Served]:
        """Yield what every demand of all weeks got, week by week."""
        for plan in self.plans:
            for row in plan.stock.values():
                yield from row.served

    def week_of(self, day: date) -> int | None:
        """Return the place of the week of a day; None where it is in none of them."""
        place = (day - self.plans[0].period.first) // _WEEK
        return place if 0 <= place < len(self.plans) else None


def weeks_from(first: Period, count: int, today: date) -> tuple[Period, ...]:
    """Return so many weeks from one on; where today is before them, from today's week on."""
    begins = min(first.first, today - timedelta(days=today.weekday()))
    last = first.first + (count - 1) * _WEEK
    number = (last - begins) // _WEEK + 1
    return tuple(_week_of(begins + place * _WEEK) for place in range(number))


def _week_of(monday: date) -> Period:
    year, week, _ = monday.isocalendar()
    return Period(monday, monday + _WEEK - timedelta(days=1), f"{year}-W{week:02}")


def term_of(
    catalogue: Catalogue,
    timetable: Timetable,
    stores: Stores,
    weeks: Sequence[Period],
    today: date,
) -> Iterator[Plan]:
    """Yield the plan of each week, made today, as if the weeks before were carried out.

    What they propose to order has not come. What a week's sessions take is gone for the next, its
    batches are there with what is left of them, deliveries on order have come.
    """
    # Orders are chosen for the whole term, so that a week's own need not be the best.
    settings = replace(catalogue.settings, ordering=Ordering.BY_ITEM)
    catalogue = replace(catalogue, settings=settings)
    for week in weeks:
        plan = plan_period(catalogue, timetable, stores, week, today)
        yield plan
        stores = stores.after(plan)
        booked = {
            fold(session.session): session.date
            for session in timetable.sessions
            if today <= session.date <= week.last
        }
        timetable = Timetable(timetable.sessions, {**timetable.booked_out, **booked})
