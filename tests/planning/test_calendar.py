"""Rule 8: ISO weeks and working days. 1 February 2027 is a Monday."""

import pytest

from prepstore.planning.calendar import Calendar, Period
from tests.builders import MON_TO_FRI, day, facts_from

WITH_HOLIDAY = Calendar(frozenset(range(5)), frozenset({day("01-29")}))


def test_a_week_is_monday_to_sunday_both_included() -> None:
    period = Period.of_week("2027-W05")
    assert (period.first, period.last) == (day("02-01"), day("02-07"))
    assert day("02-01") in period
    assert day("02-07") in period
    assert day("02-08") not in period


@pytest.mark.parametrize("wrong", ["2027-5", "2027-W5", "W05", "2027-W00", "2027-W53", "2027-W54 "])
def test_what_is_no_week_is_refused(wrong: str) -> None:
    with pytest.raises(ValueError, match="week"):
        Period.of_week(wrong)


@pytest.mark.parametrize(
    ("count", "before"), [(0, "02-01"), (1, "01-29"), (2, "01-28"), (5, "01-25"), (6, "01-22")]
)
def test_working_days_before_a_monday_skip_the_weekend(count: int, before: str) -> None:
    assert MON_TO_FRI.before(day("02-01"), count) == day(before)


def test_a_holiday_is_no_working_day() -> None:
    assert WITH_HOLIDAY.before(day("02-01"), 1) == day("01-28")
    assert WITH_HOLIDAY.after(day("01-28"), 1) == day("02-01")
    assert not WITH_HOLIDAY.is_working(day("01-29"))


def test_none_before_or_after_a_day_off_is_the_day_itself() -> None:
    assert MON_TO_FRI.before(day("01-30"), 0) == day("01-30")
    assert MON_TO_FRI.after(day("01-30"), 0) == day("01-30")


def test_the_first_working_day_on_or_after_a_day_may_be_that_day() -> None:
    assert MON_TO_FRI.on_or_after(day("02-02")) == day("02-02")
    assert MON_TO_FRI.on_or_after(day("01-30")) == day("02-01")


@pytest.mark.parametrize(
    ("needed_by", "lead", "order_by"),
    [
        ("01-29", 3, "01-26"),
        ("01-29", 0, "01-29"),
        ("01-31", 0, "01-29"),  # on a Sunday: it has to come on the Friday
        ("01-31", 1, "01-28"),
        ("02-01", 1, "01-29"),
    ],
)
def test_order_by_is_the_last_working_day_from_which_it_arrives(
    needed_by: str, lead: int, order_by: str
) -> None:
    assert MON_TO_FRI.order_by(day(needed_by), lead) == day(order_by)


@pytest.mark.parametrize("lead", range(5))
@pytest.mark.parametrize("needed_by", ["01-28", "01-29", "01-30", "01-31", "02-01", "02-02"])
def test_ordered_on_that_day_it_is_there_and_one_working_day_later_it_is_not(
    needed_by: str, lead: int
) -> None:
    last = WITH_HOLIDAY.order_by(day(needed_by), lead)
    assert WITH_HOLIDAY.is_working(last)
    assert WITH_HOLIDAY.after(last, lead) <= day(needed_by)
    assert WITH_HOLIDAY.after(WITH_HOLIDAY.after(last, 1), lead) > day(needed_by)


def test_working_days_and_holidays_come_from_the_settings() -> None:
    settings = facts_from(
        {"settings": "setting,value\nworking_days,Mon-Sat\nholidays,2027-01-29; 2027-01-30"}
    ).catalogue.settings
    assert settings.working_days == frozenset(range(6))
    assert settings.holidays == frozenset({day("01-29"), day("01-30")})


@pytest.mark.parametrize(
    ("from_", "latest", "first"), [("01-30", "02-05", "02-01"), ("01-30", "01-31", "01-31")]
)
def test_the_first_working_day_from_a_day_on_is_at_the_latest_another(
    from_: str, latest: str, first: str
) -> None:
    assert MON_TO_FRI.first_from(day(from_), day(latest)) == day(first)


def test_an_arrival_is_counted_from_the_working_day_on_which_an_order_counts_as_placed() -> None:
    assert WITH_HOLIDAY.arrival(day("01-29"), 2) == day("02-03")
    assert WITH_HOLIDAY.arrival(day("01-28"), 2) == day("02-02")
