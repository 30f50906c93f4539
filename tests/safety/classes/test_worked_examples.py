"""Official worked examples: of the United Nations' sub-committee for the GHS, and of ECHA.

UN: Guidance on the application of GHS criteria, section 1 (unece.org): examples 3.1(a), (c), (d)
(ST/SG/AC.10/C.4/2008/23, Annex 2, examples 1, 3, 4) and 4.1(a) (ST/SG/AC.10/C.4/2012/25), read in
public copies (scribd.com/document/460617822, 460822058, 460832608, 460832877). The GHS counts what
is up to 5000 mg/kg (its category 5), which Regulation (EC) No 1272/2008 does not have: example (a)
therefore ends otherwise here, and (d) has another sum of the same category. ECHA: Helpdesk seminar
"Mixture classification - exercises", 2012 (paperzz.com/doc/7927667).
"""

from decimal import Decimal
from fractions import Fraction

import pytest

from prepstore.cell_types import InhalationForm
from prepstore.safety.classes.acute import ORAL, SCALES, Part, category_of
from tests.safety.classes.made import mixed, own, part, row

NONE_UNKNOWN = Fraction(0)


def _part(percent: str, category: int, ate: str, form: InhalationForm | None = None) -> Part:
    return Part("one", Fraction(percent), category, Decimal(ate), form)


def test_un_3_1_a_is_category_4_only_where_what_is_above_2000_mg_per_kg_is_counted() -> None:
    """16 % of 1600, 4 % of 200 and 80 % of 3450 mg/kg: 1880 mg/kg by the GHS, 3333 by CLP."""
    parts = [_part("16", 4, "1600"), _part("4", 3, "200"), _part("80", 4, "3450")]
    result = category_of(parts, SCALES[ORAL.name], NONE_UNKNOWN)
    assert result is None
    counted_by_the_ghs = Fraction(16, 1600) + Fraction(4, 200) + Fraction(80, 3450)
    assert round(100 / counted_by_the_ghs) == 1880


def test_un_3_1_c_what_is_above_the_last_category_is_not_counted() -> None:
    parts = [_part("4", 4, "1737"), _part("5", 4, "5400")]
    assert category_of(parts, SCALES[ORAL.name], NONE_UNKNOWN) is None
    just_enough = [_part("86.85", 4, "1737"), _part("5", 4, "5400")]
    result = category_of(just_enough, SCALES[ORAL.name], NONE_UNKNOWN)
    assert result is not None
    assert "2000 mg/kg" in result.rule


def test_un_3_1_d_by_mouth_gives_category_4() -> None:
    parts = [_part("26", 4, "2737"), _part("23", 4, "4500"), _part("40", 4, "400")]
    result = category_of(parts, SCALES[ORAL.name], NONE_UNKNOWN)
    assert result is not None
    assert result.category == 4


def test_un_3_1_d_as_vapour_with_11_percent_unknown_gives_category_3() -> None:
    """(100 - 11) / (26/11 + 23/19 + 40/4) = 6.6 mg/L, and 11 % is stated as unknown."""
    parts = [_part("26", 4, "11"), _part("23", 4, "19"), _part("40", 3, "4")]
    result = category_of(parts, SCALES[InhalationForm.VAPOUR], Fraction(11))
    assert result is not None
    assert result.category == 3
    assert "= 6.557 mg/L" in result.rule
    assert "11 % of the mixture is of unknown acute toxicity" in result.rule


def test_un_4_1_a_is_aquatic_chronic_4() -> None:
    """0.01 % + 1.0 % + 25.0 % = 26.01 %; the sums for Chronic 1 to 3 are 0.1, 2 and 20 %."""
    result = mixed(
        own(
            "1",
            "0.01",
            row("Aquatic Acute 1", "H400", "M 10"),
            row("Aquatic Chronic 1", "H410", "M 10"),
        ),
        own("2", "1.0", row("Aquatic Chronic 2", "H411")),
        own("3", "25.0", row("Aquatic Chronic 4", "H413")),
    )
    assert result.classes == ("Aquatic Chronic 4",)
    assert result.h_codes == ("H413",)
    assert "= 26.01 %" in result.because[0].rule


@pytest.mark.parametrize(
    ("percent", "with_another", "expected"),
    [("0.8", "9.2", ()), ("1.8", "8.2", ("Skin Irrit. 2",))],
)
def test_echa_an_irritant_is_counted_from_1_percent(
    percent: str, with_another: str, expected: tuple[str, ...]
) -> None:
    """0.8 % is below the cut-off and never counted; 1.8 % is, beside enough of another."""
    irritant = row("Skin Irrit. 2", "H315")
    assert mixed(own("thickener", percent, irritant)).classes == ()
    both = mixed(own("thickener", percent, irritant), own("other", with_another, irritant))
    assert both.classes == expected


@pytest.mark.parametrize(
    ("percent", "expected"), [("25", "STOT SE 1"), ("5", "STOT SE 2"), ("2", None)]
)
def test_methanol_goes_by_its_own_limits_and_not_by_the_generic_ones(
    percent: str, expected: str | None
) -> None:
    """Annex VI, 603-001-00-X: SE 1 from 10 %, SE 2 from 3 %; by Table 3.8.3 2 % would be SE 2."""
    classes = mixed(part("67-56-1", percent)).classes
    assert next((one for one in classes if one.startswith("STOT SE")), None) == expected
