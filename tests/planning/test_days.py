"""Rules 6 and 8: days of need, make-days and arrivals. 1 February 2027 is a Monday."""

import pytest

from prepstore.planning.days import Days
from tests.builders import MON_TO_FRI, day


def _days(today: str, lead: int = 1) -> Days:
    return Days(day(today), MON_TO_FRI, lead)


@pytest.mark.parametrize(
    ("today", "use", "need"),
    [
        ("01-25", "02-02", "02-01"),
        ("02-01", "02-02", "02-01"),
        ("02-02", "02-02", "02-02"),  # the day before is past
        ("02-01", "02-01", "02-01"),
        ("01-30", "02-01", "02-01"),  # on Saturday: Friday is past, Monday is the next
        ("01-30", "01-31", "01-31"),  # at the latest the day of use, a Sunday
    ],
)
def test_a_day_of_need_before_today_is_the_first_working_day_from_today_on(
    today: str, use: str, need: str
) -> None:
    assert _days(today).day_of_need(day(use)) == day(need)


@pytest.mark.parametrize(
    ("need", "use", "shelf_life", "fresh"),
    [
        ("02-01", "02-02", 1, "02-01"),
        ("02-01", "02-02", 0, "02-02"),
        ("01-28", "02-03", 3, "02-01"),  # Sunday the 31st on: Monday
        ("01-28", "02-03", 30, "01-28"),
        ("02-05", "02-07", 1, "02-07"),  # Saturday on is Monday: at the latest the day of use
    ],
)
def test_what_would_not_keep_until_its_use_is_needed_later(
    need: str, use: str, shelf_life: int, fresh: str
) -> None:
    assert _days("01-25").fresh_enough(day(need), day(use), shelf_life) == day(fresh)


@pytest.mark.parametrize(
    ("use", "shelf_life", "can_be"),
    [("02-07", 1, False), ("02-07", 2, True), ("02-08", 0, True), ("02-06", 0, False)],
)
def test_what_no_working_day_brings_in_date(use: str, shelf_life: int, can_be: bool) -> None:  # noqa: FBT001
    assert _days("01-25").can_be_fresh(day(use), shelf_life) is can_be


@pytest.mark.parametrize(
    ("today", "use", "shelf_life", "made"),
    [
        ("01-25", "02-02", None, "02-01"),
        ("01-25", "02-02", 0, "02-02"),
        ("01-25", "02-01", 2, "02-01"),  # Friday + 2 is Sunday: from Saturday on, Monday
        ("02-02", "02-02", None, "02-02"),
        ("01-30", "02-01", 30, "02-01"),  # on Saturday: Monday, not Saturday itself
        ("01-30", "01-31", 30, "01-31"),  # at the latest the day of the first session
    ],
)
def test_a_make_day_before_today_is_the_first_working_day_from_today_on(
    today: str, use: str, shelf_life: int | None, made: str
) -> None:
    assert _days(today).make_day(day(use), shelf_life, is_for_batch=False) == day(made)


def test_what_goes_into_a_batch_is_made_one_working_day_before_whatever_the_prep_lead() -> None:
    assert _days("01-25", lead=3).make_day(day("02-03"), None, is_for_batch=True) == day("02-02")


@pytest.mark.parametrize(
    ("today", "lead", "arrives"),
    [
        ("01-29", 1, "02-01"),
        ("01-30", 1, "02-02"),  # placed on Saturday, it counts as placed on Monday
        ("01-30", 0, "02-01"),
        ("01-29", 0, "01-29"),
    ],
)
def test_an_order_placed_on_a_closed_day_counts_from_the_next_working_day(
    today: str, lead: int, arrives: str
) -> None:
    assert _days(today).arrival(lead) == day(arrives)
