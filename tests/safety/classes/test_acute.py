"""Acute toxicity estimates of mixtures: Annex I, 3.1.3.6, with the cap of 3.1.3.3(c)."""

from fractions import Fraction

import pytest

from prepstore.safety.classes.acute import unknown_percent
from tests.safety.classes.made import held, mixed, open_questions, own, reasons, row


@pytest.mark.parametrize(
    ("code", "category", "expected"),
    [
        ("H300", "1", "1"), ("H300", "2", "2"), ("H301", "3", "3"), ("H302", "4", "4"),
        ("H310", "1", "1"), ("H310", "2", "2"), ("H311", "3", "3"), ("H312", "4", "4"),
        ("H330", "1", "1"), ("H330", "2", "2"), ("H331", "3", "3"), ("H332", "4", "4"),
    ],
)  # fmt: skip
@pytest.mark.parametrize("form", ["gas", "vapour", "mist"])
def test_a_pure_substance_keeps_its_category(
    code: str, category: str, expected: str, form: str
) -> None:
    """The point estimate of category 2 is the limit of category 1: without a cap it would be 1."""
    form = form if code.startswith("H33") else ""
    result = mixed(own("one", "100", row(f"Acute Tox. {category}", code, form=form)))
    assert result.classes == (f"Acute Tox. {expected}",)
    assert result.h_codes == (code,)


@pytest.mark.parametrize(
    ("percent", "ate", "expected"),
    [("25", "500", 4), ("24.9999", "500", None), ("100", "300", 3), ("100", "50", 2),
     ("50", "25", 2), ("49.9999", "25", 3)],
)  # fmt: skip
def test_the_estimate_by_mouth_is_compared_with_the_limits(
    percent: str, ate: str, expected: int | None
) -> None:
    """ATE of the mixture = 100 x ATE / percent; limits 5, 50, 300, 2000 mg/kg, each included."""
    result = mixed(own("one", percent, row("Acute Tox. 2", "H300", ate=ate)))
    assert result.classes == ((f"Acute Tox. {expected}",) if expected else ())


def test_the_rule_says_where_the_cap_was_used() -> None:
    capped = mixed(own("one", "100", row("Acute Tox. 2", "H300")))
    assert "3.1.3.3(c)" in reasons(capped, "Acute Tox. 2")
    uncapped = mixed(own("one", "60", row("Acute Tox. 2", "H300")))
    assert "3.1.3.3(c)" not in reasons(uncapped, "Acute Tox. 2")


def test_substances_add_up_by_their_estimates() -> None:
    """15 % and 10 % of 500 mg/kg: 2000 mg/kg, category 4; one alone is none."""
    harmful = row("Acute Tox. 4", "H302")
    assert mixed(own("a", "15", harmful)).classes == ()
    assert mixed(own("a", "15", harmful), own("b", "10", harmful)).classes == ("Acute Tox. 4",)


@pytest.mark.parametrize(
    ("category", "percent", "expected"),
    [("1", "0.1", ("Acute Tox. 4",)), ("1", "0.0999", ()), ("3", "0.0999", ())],
)
def test_categories_1_to_3_count_from_a_tenth_of_a_percent(
    category: str, percent: str, expected: tuple[str, ...]
) -> None:
    """0.1 % of 0.5 mg/kg alone is 500 mg/kg."""
    code = "H300" if category == "1" else "H301"
    result = mixed(own("one", percent, row(f"Acute Tox. {category}", code)))
    assert result.classes == expected


def test_category_4_counts_from_1_percent() -> None:
    harmful, other = row("Acute Tox. 4", "H302"), row("Acute Tox. 4", "H302", ate="2000")
    most = own("most", "98", other)
    assert mixed(most, own("some", "0.9999", harmful)).classes == ()
    assert mixed(most, own("some", "1", harmful)).classes == ("Acute Tox. 4",)


def test_more_than_10_percent_unknown_is_left_out_of_the_whole_and_said() -> None:
    """24 % of 500 mg/kg is 2083 mg/kg; with 11 % unknown (100 - 11) / 0.048 = 1854 mg/kg."""
    harmful = own("harmful", "24", row("Acute Tox. 4", "H302"))
    assert mixed(harmful).classes == ()
    assert mixed(harmful, own("unknown", "10")).classes == ()
    result = mixed(harmful, own("unknown", "11"))
    assert result.classes == ("Acute Tox. 4",)
    assert "11 % of the mixture is of unknown" in reasons(result, "Acute Tox. 4")
    assert result.unknown_acute_percent.startswith("11 % of the mixture consists of")


def test_the_unknown_counts_from_1_percent_each() -> None:
    parts = held(own("a", "0.9999"), own("b", "1"), own("c", "2"))
    assert unknown_percent(parts) == Fraction(3)


@pytest.mark.parametrize(
    ("percent", "expected", "is_open"),
    [
        ("29.9999", (), False),
        ("30", (), True),
        ("54.9999", (), True),
        ("55", ("Acute Tox. 4",), False),
    ],
)
def test_a_form_that_is_not_given_is_read_as_vapour_and_as_mist(
    percent: str, expected: tuple[str, ...], *, is_open: bool
) -> None:
    """Category 4: from 55 % as vapour (11 / 20), from 30 % as mist (1.5 / 5)."""
    result = mixed(own("one", percent, row("Acute Tox. 4", "H332")))
    assert (("inhalation form", "one") in open_questions(result)) is is_open
    assert result.classes == expected


def test_the_milder_category_that_both_readings_reach_stands() -> None:
    """40 % of category 3: 7.5 mg/L as vapour is category 3, 1.25 mg/L as mist category 4."""
    result = mixed(own("one", "40", row("Acute Tox. 3", "H331")))
    assert result.classes == ("Acute Tox. 4",)
    assert result.h_codes == ("H332",)
    assert open_questions(result) == {("inhalation form", "one")}


def test_a_form_that_is_given_leaves_nothing_open() -> None:
    vapour = mixed(own("one", "40", row("Acute Tox. 3", "H331", form="vapour")))
    mist = mixed(own("one", "40", row("Acute Tox. 3", "H331", form="mist")))
    gas = mixed(own("one", "40", row("Acute Tox. 3", "H331", form="gas")))
    assert vapour.classes == gas.classes == ("Acute Tox. 3",)
    assert mist.classes == ("Acute Tox. 4",)
    assert not vapour.undecided + mist.undecided + gas.undecided


def test_forms_are_added_up_apart() -> None:
    """Each alone 21 mg/L or 5.4 mg/L: neither is classified, and they have no common unit."""
    vapour = own("a", "52", row("Acute Tox. 4", "H332", form="vapour"))
    mist = own("b", "28", row("Acute Tox. 4", "H332", form="mist"))
    assert mixed(vapour, mist).classes == ()


def test_routes_stand_side_by_side_with_their_own_statements() -> None:
    result = mixed(own("one", "100", row("Acute Tox. 3", "H301"), row("Acute Tox. 4", "H312")))
    assert result.classes == ("Acute Tox. 3", "Acute Tox. 4")
    assert result.h_codes == ("H301", "H312")
