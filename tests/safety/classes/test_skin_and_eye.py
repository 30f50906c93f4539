"""Tables 3.2.3 and 3.3.3 of Annex I, with generic and specific limits, and the extreme pH."""

from decimal import Decimal

import pytest

from prepstore.safety.classes.given import HazardRow, Mixture
from tests.safety.classes.made import mixed, open_questions, own, part, reasons, row

A, B, C = (row(f"Skin Corr. 1{letter}", "H314") for letter in "ABC")
IRRITANT = row("Skin Irrit. 2", "H315")
DAMAGING, EYE_IRRITANT = row("Eye Dam. 1", "H318"), row("Eye Irrit. 2", "H319")


@pytest.mark.parametrize(
    ("a", "b", "c", "expected"),
    [
        ("5", "1", "1", "Skin Corr. 1A"),
        ("4", "1", "1", "Skin Corr. 1B"),
        ("2", "2", "1", "Skin Corr. 1C"),
        ("2", "2", "0.9", "Skin Irrit. 2"),
    ],
)
def test_the_subcategory_is_the_first_whose_sum_reaches_5_percent(
    a: str, b: str, c: str, expected: str
) -> None:
    classes = mixed(own("a", a, A), own("b", b, B), own("c", c, C)).classes
    assert expected in classes


def test_one_corrosive_without_subcategory_leaves_the_mixture_without() -> None:
    """Note below Table 3.2.3."""
    plain = own("plain", "1", row("Skin Corr. 1", "H314"))
    assert mixed(own("a", "6", A), plain).classes == ("Skin Corr. 1",)


def test_a_corrosive_counts_ten_times_as_an_irritant() -> None:
    assert mixed(own("b", "1", B)).classes == ("Eye Irrit. 2", "Skin Irrit. 2")
    both = mixed(own("i", "9.9", IRRITANT))
    assert both.classes == ()
    assert "Skin Irrit. 2" in mixed(own("i", "5", IRRITANT), own("j", "5", IRRITANT)).classes


def test_specific_limits_add_up_each_by_its_own() -> None:
    """NaOH 1 % of 2 % and KOH 1 % of 2 % are together Skin Corr. 1B; 0.9 % each are not."""
    assert mixed(part("1310-73-2", "1"), part("1310-58-3", "1")).classes == ("Skin Corr. 1B",)
    less = mixed(part("1310-73-2", "0.9"), part("1310-58-3", "0.9"))
    assert less.classes == ("Eye Irrit. 2", "Skin Irrit. 2")


def test_what_is_below_its_cut_off_is_not_added() -> None:
    """0.4 % each of NaOH and KOH: below 0.5 %, their lowest specific limit."""
    assert mixed(part("1310-73-2", "0.4"), part("1310-58-3", "0.4")).classes == ()


@pytest.mark.parametrize(
    ("rows", "percent", "expected"),
    [
        ((DAMAGING,), "2.9999", "Eye Irrit. 2"),
        ((DAMAGING,), "3", "Eye Dam. 1"),
        ((EYE_IRRITANT,), "10", "Eye Irrit. 2"),
        ((EYE_IRRITANT,), "9.9999", None),
        ((row("Eye Irrit. 2", "H319", "25"),), "24.9999", None),
        ((row("Eye Dam. 1", "H318", "8"),), "7.9999", "Eye Irrit. 2"),
    ],
)
def test_eyes_go_by_their_own_limits(
    rows: tuple[HazardRow, ...], percent: str, expected: str | None
) -> None:
    classes = mixed(own("one", percent, *rows)).classes
    assert classes == ((expected,) if expected else ())


def test_a_substance_with_a_band_for_irritation_damages_eyes_only_above_it() -> None:
    """Hydrochloric acid 24 % is Eye Irrit. 2 by its band, not Eye Dam. 1 by the generic 3 %."""
    assert "Eye Irrit. 2" in mixed(part("7647-01-0", "24")).classes
    open_band = (row("Skin Corr. 1B", "H314", "10"), row("Eye Irrit. 2", "H319", "3"))
    assert "Eye Irrit. 2" in mixed(own("one", "9", *open_band)).classes


def test_skin_corrosion_and_eye_damage_of_one_substance_count_once() -> None:
    both = mixed(own("one", "2", B, DAMAGING))
    assert both.classes == ("Eye Irrit. 2", "Skin Irrit. 2")
    apart = mixed(own("one", "2", B), own("two", "1", DAMAGING))
    assert "Eye Dam. 1" in apart.classes


def test_eye_damage_does_not_stand_beside_skin_corrosion() -> None:
    result = mixed(own("one", "6", B, DAMAGING))
    assert result.classes == ("Skin Corr. 1B",)
    assert "Serious eye damage is included" in reasons(result, "Skin Corr. 1B")


ACID = part("64-19-7", "12", "ethanoic acid", acid_or_base=True)
STRONG = part("7664-93-9", "20", "sulfuric acid", acid_or_base=True)
PH_OF = ("extreme pH", "ethanoic acid")


@pytest.mark.parametrize(
    ("ph", "is_open"),
    [(None, True), ("2", True), ("2.01", False), ("7", False), ("11.49", False), ("11.5", True)],
)
def test_the_extreme_ph_is_open_where_it_is_not_known_or_reached(
    ph: str | None, *, is_open: bool
) -> None:
    result = mixed(ACID, mixture=Mixture(ph=Decimal(ph) if ph else None))
    assert (PH_OF in open_questions(result)) is is_open
    assert result.classes == ("Eye Irrit. 2", "Skin Irrit. 2")


def test_without_a_ph_nothing_is_open_where_the_limits_give_skin_corrosion() -> None:
    assert not open_questions(mixed(STRONG))
    known = mixed(STRONG, mixture=Mixture(ph=Decimal("0.5")))
    assert open_questions(known) == {("extreme pH", "sulfuric acid")}


def test_an_extreme_ph_is_said_of_the_mixture_where_no_acid_or_base_is_known() -> None:
    result = mixed(part("67-64-1", "1", "acetone"), mixture=Mixture(ph=Decimal(1)))
    assert ("extreme pH", "") in open_questions(result)
