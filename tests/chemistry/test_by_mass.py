"""Shares by mass, worked out by hand."""

from decimal import Decimal

import pytest

from prepstore.cell_types import fold
from prepstore.chemistry.by_mass import ByMass, by_mass, mass_of_substance
from prepstore.chemistry.conversions import NoRouteError
from prepstore.chemistry.makeup import Makeups
from tests.builders import facts_from

TABLES = {
    "items": """
        item,           kind,       unit, density, formula, strength
        salt,           reagent,    g,    ,        NaCl,
        pellets,        reagent,    g,    ,        NaOH,    97 % w/w
        acid,           reagent,    mL,   1.18,    HCl,     37 % w/w
        standard,       reagent,    mL,   1.04,    HCl,     2 mol/L
        brine,          reagent,    mL,   1.2,     NaCl,    300 g/L
        spirit,         solvent,    mL,   0.81,    C2H6O,   96 % v/v
        oil,            solvent,    mL,   ,        ,
        unknown,        solvent,    mL,   0.9,     ,
        water,          solvent,    mL,   1,       ,
        tap,            solvent,    mL,   ,        H2O,
        paper,          consumable, each, ,        ,""",
    "solutions": """
        solution, density
        thin,
        dense,    1.05
        twice,
        oily,
        watery,
        empty,""",
    "solution_parts": """
        solution, item,    amount
        thin,     acid,    100 mL/L
        thin,     water,   to volume
        dense,    salt,    105 g/L
        dense,    water,   to volume
        twice,    dense,   500 mL/L
        twice,    pellets, 1 mol/L
        twice,    water,   to volume
        oily,     oil,     200 mL/L
        oily,     unknown, to volume
        watery,   salt,    50 g/L
        watery,   tap,     to volume""",
}
FACTS = facts_from(TABLES).catalogue
MAKEUPS = Makeups(FACTS.parts, FACTS.materials)


def shares(name: str) -> ByMass:
    return by_mass(fold(name), MAKEUPS, FACTS.materials)


def test_without_a_density_the_whole_is_all_parts_as_supplied() -> None:
    """By hand: 100 mL of acid are 118 g with 43.66 g of HCl; 900 g of water; 1018 g in all."""
    assert {name: round(share, 6) for name, share in shares("thin").percent.items()} == {
        "water": Decimal("88.408644"),
        "acid": Decimal("4.288802"),
    }


def test_with_a_density_the_whole_is_the_volume_of_that_density() -> None:
    """By hand: 105 g of salt in a litre of 1050 g; water goes up to the mark, 1000 g of it."""
    percent = shares("dense").percent
    assert percent["salt"] == 10
    assert round(percent["water"], 6) == Decimal("95.238095")


def test_a_solution_of_a_solution_is_broken_down() -> None:
    """By hand: 500 mL hold 52.5 g of salt and 500 g of water; 40.0 g of NaOH in 41.2 g of pellets;
    500 g of water more: 1093.7 g in all.
    """
    percent = shares("twice").percent
    assert list(percent) == ["water", "salt", "pellets"]
    pellets = Decimal("39.997") / Decimal("0.97")
    whole = Decimal("1052.5") + pellets
    assert percent["pellets"] == pytest.approx(
        Decimal("39.997") / whole * 100, abs=Decimal("0.002")
    )
    assert percent["salt"] == pytest.approx(Decimal("52.5") / whole * 100, abs=Decimal("0.002"))


def test_water_has_a_density_where_the_tables_give_none() -> None:
    """By hand: 50 g in 1048.2 g (0.9982 g/mL at 20 °C, IAPWS-95)."""
    assert round(shares("watery").percent["salt"], 4) == Decimal("4.7701")


def test_a_liquid_without_a_density_is_named_and_counts_as_much_as_water() -> None:
    """By hand: 200 mL of oil count as 200 g beside 720 g: 21.74 %."""
    oily = shares("oily")
    assert (round(oily.percent["oil"], 2), oily.not_known) == (Decimal("21.74"), ("oil",))
    assert shares("empty") == ByMass({})


@pytest.mark.parametrize(
    ("item", "amount", "grams"),
    [
        ("salt", "10", "10"),
        ("pellets", "10", "9.7"),
        ("acid", "10", "4.366"),
        ("brine", "10", "3"),
        ("unknown", "10", "9"),
        ("spirit", "10", "8.1"),
    ],
)
def test_the_substance_itself_is_what_the_strength_says(item: str, amount: str, grams: str) -> None:
    """By hand; what a strength by volume, or none, leaves open counts whole."""
    assert mass_of_substance(FACTS.materials[item], Decimal(amount)) == Decimal(grams)


def test_a_strength_in_moles_goes_by_the_molar_mass() -> None:
    """By hand: 10 mL of 2 mol/L are 0.02 mol; HCl has 36.46 g/mol (IUPAC atomic weights)."""
    found = mass_of_substance(FACTS.materials["standard"], Decimal(10))
    assert found == pytest.approx(Decimal("0.7292"), abs=Decimal("0.0001"))


def test_what_is_counted_has_no_mass() -> None:
    for name in ("paper", "oil"):
        with pytest.raises(NoRouteError):
            mass_of_substance(FACTS.materials[name], Decimal(1))
