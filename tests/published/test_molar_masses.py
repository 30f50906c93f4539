"""Molar masses against the printed tables of three libraries, and against two of them as installed.

Sources: molar_masses.csv; molmass (pypi.org/project/molmass); periodictable
(pypi.org/project/periodictable).
"""

from decimal import Decimal
from operator import itemgetter

import molmass
import periodictable
import pytest

from prepstore.chemistry.formulae import elements, molar_mass
from tests.every_case import every_case
from tests.published.rows import Row, in_figures, rows_of

ROWS = rows_of("molar_masses")

FIVE_FIGURES = 5e-5
"""Half a unit in the fifth figure, at most: what abridging an atomic weight may take away."""

SOURCES_DISAGREE = {
    # 98.0783 (molmass) against 98.0720 (periodictable): sulfur 32.0648 or 32.06. The table took
    # the first and so prints 98.08; IUPAC's conventional 32.06 gives 98.072, which is 98.07.
    "sulfuric acid": Decimal("98.07"),
    # 97.9952 against 97.9938: just above and below 97.995, so 98.00 or 97.99.
    "phosphoric acid": Decimal("97.99"),
}
"""Where the table's four figures follow one library, what the other comes to."""


@every_case("row", ROWS, ids=itemgetter("name"))
def test_a_molar_mass_is_the_published_one_to_four_figures(row: Row) -> None:
    published = SOURCES_DISAGREE.get(row["name"], Decimal(row["molar_mass_g_per_mol"]))
    assert in_figures(molar_mass(row["formula"]), 4) == published


@pytest.mark.parametrize("name", SOURCES_DISAGREE)
def test_where_the_table_is_not_followed_its_own_libraries_do_disagree(name: str) -> None:
    row = next(row for row in ROWS if row["name"] == name)
    one, other = (in_figures(Decimal(row[who]), 4) for who in ("molmass", "periodictable"))
    assert one == Decimal(row["molar_mass_g_per_mol"])
    assert other == SOURCES_DISAGREE[name]


@every_case("row", ROWS, ids=itemgetter("name"))
def test_a_molar_mass_is_that_of_periodictable_to_five_figures(row: Row) -> None:
    """It follows the same IUPAC table unabridged: rounding to five figures is all there is."""
    ours = float(molar_mass(row["formula"]))
    assert ours == pytest.approx(float(row["periodictable"]), rel=FIVE_FIGURES)
    installed = periodictable.formula(row["formula"].replace("·", "+")).mass
    assert ours == pytest.approx(installed, rel=FIVE_FIGURES)


@every_case("row", ROWS, ids=itemgetter("name"))
def test_a_molar_mass_is_that_of_molmass_but_for_sulfur_and_chlorine(row: Row) -> None:
    """molmass averages isotopes: S 32.0648, Cl 35.4529, H 1.00794, against 32.06, 35.45, 1.008.

    The difference allowed is what those three make, and rounding to five figures.
    """
    counts = elements(row["formula"])
    known = {"S": Decimal("0.0048"), "Cl": Decimal("0.0029"), "H": Decimal("-0.00006")}
    shift = sum((known[symbol] * counts.get(symbol, 0) for symbol in known), Decimal(0))
    ours = float(molar_mass(row["formula"]) + shift)
    assert ours == pytest.approx(float(row["molmass"]), rel=FIVE_FIGURES)
    assert ours == pytest.approx(molmass.Formula(_bracketed(row["formula"])).mass, rel=FIVE_FIGURES)


def _bracketed(formula: str) -> str:
    """Write an adduct as a bracket: molmass reads the dot of C2H2O4.2H2O as a decimal point."""
    salt, _, water = formula.partition("·")
    return salt + (f"(H2O){water.removesuffix('H2O') or 1}" if water else "")


@pytest.mark.parametrize(
    ("asked", "bottle"), [("Cu", "CuSO4·5H2O"), ("Na2CO3", "Na2CO3·10H2O"), ("Fe", "FeSO4·7H2O")]
)
def test_what_a_hydrate_holds_is_the_ratio_that_periodictable_gives(
    asked: str, bottle: str
) -> None:
    theirs = (
        periodictable.formula(asked).mass / periodictable.formula(bottle.replace("·", "+")).mass
    )
    assert float(molar_mass(asked) / molar_mass(bottle)) == pytest.approx(theirs, rel=FIVE_FIGURES)
