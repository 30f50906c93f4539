"""Formulas as people write them, and those that cannot be read."""

from decimal import Decimal

import pytest

from prepstore.chemistry.formulae import FormulaError, elements, molar_mass


def _counts(formula: str) -> dict[str, Decimal]:
    return dict(elements(formula))


@pytest.mark.parametrize(
    "written",
    ["CuSO4·5H2O", "CuSO4.5H2O", "CuSO4*5H2O", "CuSO4 • 5 H2O", "CuSO₄·5H₂O", "CuSO4·5(H2O)"],
)
def test_a_hydrate_is_read_however_its_dot_and_subscripts_are_written(written: str) -> None:
    assert _counts(written) == {"Cu": 1, "S": 1, "O": 9, "H": 10}


def test_a_dot_before_a_coefficient_is_not_a_decimal_point() -> None:
    """C2H2O4.2H2O is oxalic acid with two waters, not 4.2 oxygens."""
    assert _counts("C2H2O4.2H2O") == {"C": 2, "H": 6, "O": 6}


def test_half_a_water_is_half_a_water() -> None:
    assert _counts("CaSO4·0.5H2O") == {"Ca": 1, "S": 1, "O": Decimal("4.5"), "H": 1}


def test_brackets_nest_and_multiply() -> None:
    assert _counts("K4[Fe(CN)6]·3H2O") == {"K": 4, "Fe": 1, "C": 6, "N": 6, "H": 6, "O": 3}
    assert _counts("(NH4)2Fe(SO4)2·6H2O") == {"N": 2, "H": 20, "Fe": 1, "S": 2, "O": 14}


def test_two_letters_are_one_element_where_the_second_is_small() -> None:
    assert _counts("CO") == {"C": 1, "O": 1}
    assert _counts("Co") == {"Co": 1}


def test_groups_written_apart_add_up() -> None:
    assert _counts("CH3COOH") == _counts("C2H4O2")


def test_a_molar_mass_is_the_sum_of_atomic_weights() -> None:
    assert molar_mass("H2O") == 2 * Decimal("1.008") + Decimal("15.999")
    assert molar_mass("D2O") == 2 * Decimal("2.01410178") + Decimal("15.999")


@pytest.mark.parametrize(
    "wrong",
    ["", "nacl", "NaCl2.", "·5H2O", "Xx", "Tc", "Na(Cl", "NaCl)", "(Na]", "Na()", "H0", "Na-Cl",
     "5", "H2O··H2O", "Fe+3"],
)  # fmt: skip
def test_what_is_no_formula_is_refused(wrong: str) -> None:
    with pytest.raises(FormulaError):
        elements(wrong)


def test_an_element_without_a_standard_atomic_weight_is_named() -> None:
    with pytest.raises(FormulaError, match="Tc is not an element with a standard atomic weight"):
        molar_mass("TcO2")
