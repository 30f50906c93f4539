from datetime import date

import pytest
import typer

from prepstore.cli.period_options import period_of
from prepstore.planning.calendar import Period

DAY = date(2027, 3, 8)


def test_a_week_is_the_period() -> None:
    week = Period.of_week("2027-W10")
    assert period_of(week, None, None) is week


def test_two_days_are_the_period() -> None:
    assert period_of(None, DAY, DAY) == Period(DAY, DAY)


@pytest.mark.parametrize(
    ("week", "first", "last"),
    [
        (None, None, None),
        (None, DAY, None),
        (None, None, DAY),
        (Period.of_week("2027-W10"), DAY, DAY),
        (None, DAY, date(2027, 3, 7)),
    ],
)
def test_anything_else_is_wrong_usage(
    week: Period | None, first: date | None, last: date | None
) -> None:
    with pytest.raises(typer.BadParameter):
        period_of(week, first, last)
