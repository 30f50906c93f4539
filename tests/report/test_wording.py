from datetime import date
from decimal import Decimal

import pytest

from prepstore.amounts import Kind
from prepstore.planning.calendar import Period
from prepstore.planning.states import Lack, Why
from prepstore.recorded import OfEntry
from prepstore.report.wording import (
    amount_in_words,
    lack_in_words,
    period_in_words,
    user_in_words,
)


@pytest.mark.parametrize(
    ("number", "kind", "words"),
    [
        ("0", Kind.VOLUME, "0 mL"),
        ("2500.0000001", Kind.VOLUME, "2.5 L"),
        ("999.99", Kind.VOLUME, "1 L"),
        ("999.94", Kind.VOLUME, "999.9 mL"),
        ("17.65392929", Kind.MASS, "17.65 g"),
        ("0.05", Kind.VOLUME, "50 µL"),
        ("12345", Kind.MASS, "12.35 kg"),
        ("1234567", Kind.MASS, "1235 kg"),
        ("47", Kind.COUNT, "47"),
        ("1200", Kind.COUNT, "1200"),
        ("12345", Kind.COUNT, "12345"),
        ("0.02", Kind.SUBSTANCE, "0.02 mol"),
    ],
)
def test_amounts_are_said_as_people_say_them(number: str, kind: Kind, words: str) -> None:
    assert amount_in_words(Decimal(number), kind) == words


def test_a_period_that_is_no_week_gives_its_days_and_year() -> None:
    period = Period(date(2027, 3, 8), date(2027, 3, 9))
    assert period_in_words(period) == "Mon 8 Mar to Tue 9 Mar 2027"


def test_a_lack_says_by_when_and_when_it_can_come() -> None:
    day = date(2027, 3, 8)
    late = Lack("x", Decimal(2), Decimal(1), day, Why.TOO_LATE, date(2027, 3, 10))
    assert lack_in_words(late) == "needed by Mon 8 Mar; if ordered today, it comes on Wed 10 Mar"
    unsold = Lack("x", Decimal(2), Decimal(0), day, Why.NOT_SOLD)
    assert lack_in_words(unsold) == "nobody sells it, needed by Mon 8 Mar"


def test_a_lack_of_spare_alone_says_so() -> None:
    lack = Lack("x", Decimal(1), Decimal(1), date(2027, 3, 8), Why.TO_ORDER)
    assert lack_in_words(lack) == "to be ordered, needed by Mon 8 Mar; only spare is short"


@pytest.mark.parametrize(
    ("known_as", "words"),
    [(None, "Kim"), ("Kim", "Kim"), ("counter", "Kim as counter")],
)
def test_who_recorded_something_is_said_with_the_name_at_the_server(
    known_as: str | None, words: str
) -> None:
    one = OfEntry(entry=1, on_day=date(2027, 3, 8), at_utc="", by="Kim", database_user=known_as)
    assert user_in_words(one) == words
