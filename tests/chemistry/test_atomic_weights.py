"""Atomic weights against two libraries from the package registry.

Sources: periodictable (pypi.org/project/periodictable) and molmass (pypi.org/project/molmass).
periodictable follows the same IUPAC table unabridged, so rounding accounts for all of the
difference; molmass averages over isotopes, which is up to 1.5e-4 off for sulfur.
"""

from decimal import Decimal

import molmass
import periodictable
import pytest

from prepstore.chemistry.atomic_weights import ATOMIC_WEIGHT
from tests.every_case import every_case

WITHOUT_A_STANDARD = {"Tc", "Pm", "Po", "At", "Rn", "Fr", "Ra", "Ac"}
ELEMENTS = sorted(ATOMIC_WEIGHT.keys() - {"D"})


def test_every_element_up_to_uranium_with_a_standard_atomic_weight_is_there() -> None:
    up_to_uranium = {periodictable.elements[number].symbol for number in range(1, 93)}
    assert set(ELEMENTS) == up_to_uranium - WITHOUT_A_STANDARD


@every_case("symbol", ELEMENTS)
def test_an_atomic_weight_is_that_of_periodictable_to_five_figures(symbol: str) -> None:
    theirs = periodictable.elements.symbol(symbol).mass
    assert float(ATOMIC_WEIGHT[symbol]) == pytest.approx(theirs, rel=5e-5)


@every_case("symbol", ELEMENTS)
def test_an_atomic_weight_is_that_of_molmass_within_the_spread_of_sources(symbol: str) -> None:
    theirs = molmass.ELEMENTS[symbol].mass
    assert float(ATOMIC_WEIGHT[symbol]) == pytest.approx(theirs, rel=2e-4)


def test_deuterium_is_the_isotope() -> None:
    ours = float(ATOMIC_WEIGHT["D"])
    assert ours == pytest.approx(periodictable.D.mass, rel=1e-8)
    assert ours == pytest.approx(molmass.Formula("D").mass, rel=1e-8)


@pytest.mark.parametrize(
    ("symbol", "conventional"),
    [("H", "1.008"), ("Li", "6.94"), ("B", "10.81"), ("C", "12.011"), ("N", "14.007"),
     ("O", "15.999"), ("Mg", "24.305"), ("Si", "28.085"), ("S", "32.06"), ("Cl", "35.45"),
     ("Ar", "39.95"), ("Br", "79.904"), ("Tl", "204.38"), ("Pb", "207.2")],
)  # fmt: skip
def test_an_interval_is_given_by_its_conventional_value(symbol: str, conventional: str) -> None:
    """Prohaska et al., Pure Appl. Chem. 2022, 94, 573."""
    assert ATOMIC_WEIGHT[symbol] == Decimal(conventional)


def test_the_table_cannot_be_changed_by_accident() -> None:
    with pytest.raises(TypeError):
        ATOMIC_WEIGHT["H"] = Decimal(1)  # type: ignore[index]
