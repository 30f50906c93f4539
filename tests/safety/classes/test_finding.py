from fractions import Fraction

import pytest

from prepstore.safety.classes.finding import Finding, Findings, joined, number_text, percent_text


@pytest.mark.parametrize(
    ("number", "text"),
    [("0", "0"), ("2.50", "2.5"), ("100", "100"), ("999.96", "1000"), ("0.00012345", "0.0001234"),
     ("12345.6", "12346")],
)  # fmt: skip
def test_a_number_is_read_in_four_figures(number: str, text: str) -> None:
    assert number_text(Fraction(number)) == text


def test_a_percentage_has_its_sign() -> None:
    assert percent_text(Fraction(1, 8)) == "0.125 %"


def test_what_several_rules_found_stands_in_their_order() -> None:
    one, other = Finding("a", (), "x"), Finding("b", (), "y")
    assert joined([Findings((one,)), Findings((other,))]).found == (one, other)
