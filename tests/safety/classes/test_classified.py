"""Whole mixtures: just below, at and above each limit, and both sides of the days of changes."""

from datetime import date
from decimal import Decimal

from prepstore.safety.classes.given import Ingredient, Mixture
from tests.every_case import every_case
from tests.safety.classes.made import (
    TODAY,
    mixed,
    open_questions,
    own,
    part,
    reasons,
    row,
    table,
)


@every_case(
    "case", table("limit_cases.csv"), ids=lambda one: f"{one['substance']} {one['percent']}"
)
def test_a_solution_in_water_has_the_classes_of_its_share(case: dict[str, str]) -> None:
    result = mixed(part(case["cas"], case["percent"]), on=date.fromisoformat(case["on"]))
    expected = case["classes"].split("; ") if case["classes"] else []
    assert list(result.classes) == expected


def test_what_a_label_shows_follows_from_the_classes() -> None:
    result = mixed(part("7647-01-0", "26", "hydrochloric acid"))
    assert result.h_codes == ("H314", "H335")
    assert result.signal_word == "Danger"
    assert result.pictograms == ("GHS05", "GHS07")


def test_every_class_has_its_rule_and_the_figures_it_was_used_on() -> None:
    result = mixed(part("7697-37-2", "14", "nitric acid"))
    assert {one.hazard_class for one in result.because} == set(result.classes)
    assert "nitric acid 14 % / 5 %" in reasons(result, "Skin Corr. 1B")
    assert "Table 3.2.3" in reasons(result, "Skin Corr. 1B")
    assert "3.1.3.6.1" in reasons(result, "Acute Tox. 4")
    assert "18.93 mg/L" in reasons(result, "Acute Tox. 4")


def test_water_alone_is_not_classified_and_nothing_is_open() -> None:
    result = mixed(part("7732-18-5", "100", "water"))
    assert (result.classes, result.undecided, result.signal_word) == ((), (), None)


def test_what_no_entry_names_is_said_but_never_water() -> None:
    result = mixed(Ingredient("glucose", Decimal(5), "50-99-7"), Ingredient("ice", Decimal(1)))
    assert open_questions(result) == {("no entry in force", "glucose")}
    assert "5 % of the mixture" in result.unknown_acute_percent


def test_of_own_rows_those_of_the_latest_day_hold_and_stand_in_place_of_the_entry() -> None:
    rows = (
        row("Skin Irrit. 2", "H315", "1", since="2026-01-01"),
        row("Eye Irrit. 2", "H319", "1", since="2026-06-01"),
        row("Carc. 1A", "H350", "1", since="2027-01-01"),
    )
    lye = own("lye", "6", *rows, cas="1310-73-2")
    assert mixed(lye, on=date(2026, 5, 31)).classes == ("Skin Irrit. 2",)
    assert mixed(lye, on=date(2026, 6, 1)).classes == ("Eye Irrit. 2",)
    assert mixed(lye, on=date(2027, 1, 1)).classes == ("Carc. 1A",)


def test_own_rows_that_are_all_still_to_come_leave_nothing_in_force() -> None:
    lye = own("lye", "6", row("Eye Irrit. 2", "H319", since="2027-06-01"), cas="1310-73-2")
    result = mixed(lye)
    assert result.classes == ()
    assert open_questions(result) == {("no entry in force", "lye")}


def test_a_hydrate_goes_by_its_anhydrous_entry_by_mass_of_the_anhydrous_part() -> None:
    """CaCl2 is 75.5 % of CaCl2·2H2O (110.98 / 147.01); its Eye Irrit. 2 begins at 10 %."""
    below = Ingredient("chloride", Decimal("13.2"), "10035-04-8", "CaCl2·2H2O")
    above = Ingredient("chloride", Decimal("13.3"), "10035-04-8", "CaCl2·2H2O")
    assert mixed(below).classes == ()
    assert mixed(above).classes == ("Eye Irrit. 2",)


def test_physical_classes_that_no_rule_carries_over_are_named() -> None:
    result = mixed(part("7439-93-2", "1", "lithium"))
    assert ("Water-react. 1", "lithium") in result.not_calculated
    assert ("EUH014", "lithium") in result.not_calculated


def test_new_classes_hold_from_the_day_that_mixtures_follow_them() -> None:
    disruptor = own("disruptor", "0.1", row("ED HH 1", "EUH380"))
    assert mixed(disruptor, on=date(2026, 4, 30)).classes == ()
    result = mixed(disruptor, on=date(2026, 5, 1))
    assert (result.classes, result.euh, result.h_codes) == (("ED HH 1",), ("EUH380",), ())
    assert result.signal_word == "Danger"


def test_sodium_hydroxide_of_a_tenth_mole_a_litre_is_left_open_by_its_ph() -> None:
    """0.4 % is below every limit; its pH of 13 (-log of the OH- of a strong base) is above 11.5."""
    weak = part("1310-73-2", "0.4", "sodium hydroxide", acid_or_base=True)
    unknown = mixed(weak)
    assert unknown.classes == ()
    assert open_questions(unknown) == {("extreme pH", "sodium hydroxide")}
    known = mixed(weak, mixture=Mixture(ph=Decimal(13)))
    assert (known.classes, open_questions(known)) == ((), {("extreme pH", "sodium hydroxide")})


def test_it_is_told_which_day_the_rules_are_of() -> None:
    result = mixed(Ingredient("glucose", Decimal(5)), on=TODAY)
    assert TODAY.isoformat() in result.undecided[0].why
