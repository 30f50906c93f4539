"""Supplemental statements: EUH208 (Annex II, 2.8) and those with a specific limit."""

import pytest

from tests.safety.classes.made import mixed, own, part, row


@pytest.mark.parametrize(
    ("name", "limits", "elicits", "just_below"),
    [
        ("Skin Sens. 1", (), "0.1", "0.0999"),
        ("Skin Sens. 1B", (), "0.1", "0.0999"),
        ("Skin Sens. 1A", (), "0.01", "0.0099"),
        ("Skin Sens. 1", ("0.2",), "0.02", "0.0199"),
        ("Skin Sens. 1A", ("0.001",), "0.0001", "0.00009"),
    ],
)
def test_a_sensitiser_below_its_limit_is_named_from_that_of_elicitation(
    name: str, limits: tuple[str, ...], elicits: str, just_below: str
) -> None:
    """Table 3.4.6, and a tenth of a specific limit."""
    sensitiser = row(name, "H317", *limits)
    named = mixed(own("one", elicits, sensitiser))
    assert (named.classes, named.euh, named.sensitisers) == ((), ("EUH208",), ("one",))
    unnamed = mixed(own("one", just_below, sensitiser))
    assert (unnamed.euh, unnamed.sensitisers) == ((), ())


def test_a_mixture_that_is_classified_as_sensitising_has_no_euh208_but_names_all() -> None:
    result = mixed(
        own("a", "1", row("Skin Sens. 1", "H317")), own("b", "0.5", row("Resp. Sens. 1", "H334"))
    )
    assert result.classes == ("Skin Sens. 1",)
    assert result.euh == ()
    assert result.sensitisers == ("a", "b")


@pytest.mark.parametrize(("percent", "expected"), [("4.9999", ()), ("5", ("EUH031",))])
def test_hypochlorite_warns_of_acid_from_5_percent(percent: str, expected: tuple[str, ...]) -> None:
    """Annex VI, 017-011-00-1."""
    assert mixed(part("7681-52-9", percent)).euh == expected


def test_a_statement_without_a_limit_is_not_carried_over_but_named() -> None:
    result = mixed(part("67-64-1", "50", "acetone"))
    assert result.euh == ()
    assert ("EUH066", "acetone") in result.not_calculated
    hypochlorite = mixed(part("7681-52-9", "4", "bleach"))
    assert ("EUH031", "bleach") not in hypochlorite.not_calculated


def test_a_rule_stands_beside_each_statement() -> None:
    result = mixed(part("7681-52-9", "6", "bleach"), own("one", "0.1", row("Skin Sens. 1", "H317")))
    rules = {one.hazard_class: one.rule for one in result.because}
    assert "bleach 6 %" in rules["EUH031"]
    assert "contains one" in rules["EUH208"]
