from decimal import Decimal
from fractions import Fraction

from prepstore.safety.classes.sums import Term, in_words, is_relevant, term, total
from tests.safety.classes.made import held, own, row

IRRITANT = row("Skin Irrit. 2", "H315")


def test_each_counts_by_its_own_limit() -> None:
    terms = [Term("a", Fraction(2), Decimal(5)), Term("b", Fraction(3), Decimal(10))]
    assert total(terms) == Fraction(7, 10)
    assert in_words(terms) == "a 2 % / 5 % + b 3 % / 10 % = 0.7, and 1 or more gives it"


def test_a_limit_of_nothing_is_reached_by_anything() -> None:
    assert Term("a", Fraction(1, 1000), Decimal(0)).ratio == 1


def test_a_specific_limit_stands_in_place_of_the_generic_one() -> None:
    one = held(own("a", "4", IRRITANT))[0]
    assert term(one, Decimal(2), Decimal(10)).ratio == 2
    assert term(one, None, Decimal(10)).ratio == Fraction(4, 10)


def test_the_cut_off_is_1_percent_or_a_lower_specific_limit() -> None:
    below, at = (held(own("a", percent, IRRITANT))[0] for percent in ("0.9999", "1"))
    assert not is_relevant(below, None)
    assert is_relevant(at, None)
    assert is_relevant(below, Decimal("0.5"))
    assert not is_relevant(below, Decimal(5))
    half = held(own("a", "0.5", IRRITANT))[0]
    assert is_relevant(half, Decimal("0.5"))
