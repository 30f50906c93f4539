"""What a shortage rests on, in words."""

from prepstore.planning.not_counted import NotCounted, WhyNot
from prepstore.report.not_counted_words import beside_in_words, not_counted_in_words
from tests.builders import day, holding

KEPT = NotCounted(holding("L1", 500), WhyNot.QUARANTINE, None)
OLD = NotCounted(holding("L2", 2), WhyNot.EXPIRED, day("02-02"))


def test_a_lot_says_how_much_why_and_since_when() -> None:
    assert not_counted_in_words(KEPT) == "L1, 500 g: in quarantine"
    assert not_counted_in_words(OLD) == "L2, 2 g: out of date, last day Tue 2 Feb 2027"


def test_several_stand_in_one_line_and_none_is_blank() -> None:
    assert beside_in_words((KEPT, OLD)) == (
        "not counted: L1, 500 g: in quarantine; L2, 2 g: out of date, last day Tue 2 Feb 2027"
    )
    assert beside_in_words(()) == ""
