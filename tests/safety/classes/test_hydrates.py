from fractions import Fraction

import pytest

from prepstore.safety.classes.hydrates import (
    anhydrous_formula,
    anhydrous_share,
    entry_cas,
    has_an_entry_of_its_own,
)


@pytest.mark.parametrize(
    ("formula", "dry", "wet"),
    [
        ("CuSO4·5H2O", "159.602", "249.677"),
        ("C2H2O4.2H2O", "90.034", "126.064"),
        ("Na2CO3*10 H2O", "105.988", "286.138"),
        ("MnSO4·H2O", "150.996", "169.011"),
    ],
)
def test_the_anhydrous_part_of_a_hydrate_is_a_share_of_its_mass(
    formula: str, dry: str, wet: str
) -> None:
    """Molar masses of the IUPAC abridged weights, as tests/published/molar_masses.csv has them."""
    expected = Fraction(dry) / Fraction(wet)
    assert abs(anhydrous_share(formula) / expected - 1) < Fraction(1, 10000)


@pytest.mark.parametrize("formula", ["NaCl", "", "what", "H2O", "C2H2O4·2HCl"])
def test_what_is_no_hydrate_counts_in_full(formula: str) -> None:
    assert anhydrous_share(formula) == 1


def test_a_formula_loses_its_water_of_crystallisation_alone() -> None:
    assert anhydrous_formula("(NH4)2Fe(SO4)2·6H2O") == "(NH4)2Fe(SO4)2"
    assert anhydrous_formula("Ca(H2O)6Cl2") == "Ca(H2O)6Cl2"


def test_a_hydrate_goes_by_the_number_of_its_anhydrous_form_or_by_its_own_entry() -> None:
    assert entry_cas("10035-04-8") == "10043-52-4"
    assert entry_cas("67-56-1") == "67-56-1"
    assert has_an_entry_of_its_own("7758-99-8")
    assert not has_an_entry_of_its_own("10035-04-8")
    assert not has_an_entry_of_its_own("67-56-1")
