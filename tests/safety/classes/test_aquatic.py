"""Tables 4.1.1 and 4.1.2 of Annex I."""

import pytest

from tests.safety.classes.made import mixed, open_questions, own, part, reasons, row

ACUTE, CHRONIC = ("Aquatic Acute 1", "H400"), ("Aquatic Chronic 1", "H410")


@pytest.mark.parametrize(
    ("m_factor", "percent", "expected"),
    [("1", "25", True), ("1", "24.9999", False), ("10", "2.5", True), ("100", "0.2499", False)],
)
def test_acute_1_weighs_by_its_m_factor(m_factor: str, percent: str, *, expected: bool) -> None:
    result = mixed(own("one", percent, row(*ACUTE, f"M {m_factor}")))
    assert result.classes == (("Aquatic Acute 1",) if expected else ())
    assert not result.undecided


@pytest.mark.parametrize(
    ("percent", "expected"),
    [("2.5", "1"), ("2.4999", "2"), ("0.25", "2"), ("0.2499", "3"), ("0.025", "3")],
)
def test_chronic_1_comes_down_by_tenths(percent: str, expected: str) -> None:
    """M 10: 25 / 10, then 25 / 100, then 25 / 1000 %."""
    result = mixed(own("one", percent, row(*CHRONIC, "M 10")))
    assert result.classes == (f"Aquatic Chronic {expected}",)


@pytest.mark.parametrize(
    ("one", "two", "three", "expected"),
    [
        ("1", "14.9", "2", "Aquatic Chronic 3"),
        ("1", "15", "2", "Aquatic Chronic 2"),
        ("0.2", "0", "5", "Aquatic Chronic 3"),
        ("0.1", "1", "5", "Aquatic Chronic 3"),
    ],
)
def test_chronic_classes_add_up_with_their_weights(
    one: str, two: str, three: str, expected: str
) -> None:
    result = mixed(
        own("one", one, row(*CHRONIC, "M 1")),
        own("two", two, row("Aquatic Chronic 2", "H411")),
        own("three", three, row("Aquatic Chronic 3", "H412")),
    )
    assert result.classes == (expected,)


def test_all_chronic_classes_together_give_chronic_4_without_weights() -> None:
    parts = [own(f"{n}", "13", row("Aquatic Chronic 4", "H413")) for n in (1, 2)]
    assert mixed(*parts).classes == ("Aquatic Chronic 4",)
    assert mixed(parts[0]).classes == ()
    just_enough = own("one", "25", row("Aquatic Chronic 4", "H413"))
    assert mixed(just_enough).classes == ("Aquatic Chronic 4",)


@pytest.mark.parametrize(
    ("m_factor", "percent", "counted"),
    [("1", "0.1", True), ("1", "0.0999", False), ("10", "0.01", True), ("10", "0.0099", False)],
)
def test_what_is_below_a_tenth_over_m_is_not_counted(
    m_factor: str, percent: str, *, counted: bool
) -> None:
    """Beside enough of another to fall just short: any more is too much."""
    other = own("other", "24.91", row(*ACUTE, "M 1"))
    trace = own("trace", percent, row(*ACUTE, f"M {m_factor}"))
    assert ("Aquatic Acute 1" in mixed(other, trace).classes) is counted


def test_chronic_2_counts_from_1_percent() -> None:
    second = row("Aquatic Chronic 2", "H411")
    most = own("most", "24.5", second)
    assert "Aquatic Chronic 2" in mixed(most, own("some", "1", second)).classes
    assert "Aquatic Chronic 2" not in mixed(most, own("some", "0.9", second)).classes


def test_an_m_factor_that_is_not_given_is_open_until_the_class_is_the_most_severe() -> None:
    silver = part("7761-88-8", "1.7", "silver nitrate")
    result = mixed(silver)
    assert ("M-factor", "silver nitrate") in open_questions(result)
    assert "Aquatic Chronic 3" in result.classes
    assert "Acute 1 and Aquatic Chronic 1" in result.undecided[0].why
    enough = mixed(part("7761-88-8", "25", "silver nitrate"))
    assert ("M-factor", "silver nitrate") not in open_questions(enough)


def test_a_statement_that_another_takes_in_is_not_shown_twice() -> None:
    result = mixed(own("one", "30", row(*ACUTE, "M 1"), row(*CHRONIC, "M 1")))
    assert result.classes == ("Aquatic Acute 1", "Aquatic Chronic 1")
    assert result.h_codes == ("H410",)


def test_the_rule_shows_each_term() -> None:
    result = mixed(own("one", "3", row(*CHRONIC, "M 10")))
    assert "one 3 % x M 10 = 30" in reasons(result, "Aquatic Chronic 1")
