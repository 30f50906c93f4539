"""Rule 3: amounts into an item's unit."""

import pytest

from prepstore.amounts import Kind
from prepstore.chemistry.conversions import (
    Material,
    NoRouteError,
    holding_mass,
    holding_moles,
    in_unit,
    measured_as,
    turned,
)
from prepstore.chemistry.routes import Route
from prepstore.tables.units import read_amount
from tests.builders import g, material, ml, number, plan_of, problems_of

# M(NaOH) = 22.990 + 15.999 + 1.008 = 39.997; M(HCl) = 1.008 + 35.45 = 36.458.
SODA = material("sodium hydroxide", formula="NaOH", strength="97 % w/w", measures="pellet = 0.2 g")
ACID = material("acid", unit="mL", formula="HCl", strength="37 % w/w", density="1.18")
ETHANOL = material("ethanol", unit="mL", strength="96 % v/v", density="0.8")
WATER = material("water", unit="mL")
GLOVE = material("glove", unit="each", measures="pair = 2 each")


@pytest.mark.parametrize(
    ("written", "comes_to"),
    [("25 mL", 25), ("3 x 15 mL", 45), ("20 mL + 2 x 10 mL", 40), ("0.5 L", 500), ("8 g", 10)],
)
def test_an_amount_comes_to_the_unit_of_its_item(written: str, comes_to: int) -> None:
    assert in_unit(ETHANOL, read_amount(written)) == comes_to


def test_mass_and_volume_turn_into_one_another_by_density() -> None:
    assert in_unit(ACID, g("118")) == 100
    solid = material(density="2.5")
    assert in_unit(solid, ml(4)) == 10


@pytest.mark.parametrize(("word", "count"), [("pellet", 5), ("pellets", 5), ("PELLET", 5)])
def test_a_loose_measure_is_the_size_that_the_item_gives_it(word: str, count: int) -> None:
    assert in_unit(SODA, read_amount(f"{count} {word}")) == 1


def test_a_measure_multiplies_in_portions_and_sums() -> None:
    assert in_unit(GLOVE, read_amount("3 x 2 pair + 1 each")) == 13


def test_an_amount_in_grams_is_the_material_as_supplied() -> None:
    assert in_unit(SODA, g(10)) == 10


def test_moles_of_a_solid_weigh_more_where_it_is_less_than_pure() -> None:
    assert in_unit(SODA, read_amount("0.97 mol")) == number("39.997")


def test_moles_of_an_acid_go_by_mass_fraction_and_density() -> None:
    """1 mol is 36.458 g of HCl, 36.458 / 0.37 g of acid, that / 1.18 mL."""
    by_hand = number("36.458") / number("0.37") / number("1.18")
    assert in_unit(ACID, read_amount("1 mol")) == pytest.approx(by_hand, rel=number("1e-25"))


def test_moles_of_a_solution_kept_by_molarity_need_no_formula() -> None:
    assert in_unit(material(unit="mL", strength="2 mol/L"), read_amount("5 mmol")) == number("2.5")


def test_moles_of_what_has_grams_per_litre_go_by_its_formula() -> None:
    ammonia = material(unit="mL", formula="NaOH", strength="399.97 g/L")
    assert in_unit(ammonia, read_amount("1 mol")) == 100


@pytest.mark.parametrize("pure", ["100 % w/w", "100 % v/v"])
def test_pure_by_mass_and_pure_by_volume_count_as_each_other(pure: str) -> None:
    of = material(unit="mL", formula="NaOH", strength=pure, density="0.5")
    assert in_unit(of, read_amount("1 mol")) == number("39.997") * 2


@pytest.mark.parametrize(
    ("of", "amount", "missing"),
    [
        (WATER, "1 g", "density"),
        (WATER, "1 mol", "strength"),
        (material(), "1 mol", "formula"),
        (material(unit="mL", formula="HCl", strength="37 % w/w"), "1 mol", "density"),
        (material(unit="mL", formula="C2H6O", strength="96 % v/v", density="0.8"), "1 mol", "w/w"),
        (GLOVE, "1 g", "kept in each"),
        (WATER, "2 each", "kept in mL"),
        (GLOVE, "1 mol", "counted"),
        (SODA, "1 scoop", "measure"),
    ],
    ids=lambda value: value if isinstance(value, str) else value.name,
)
def test_an_amount_without_a_route_is_refused_with_what_is_missing(
    of: Material, amount: str, missing: str
) -> None:
    with pytest.raises(NoRouteError, match=missing):
        in_unit(of, read_amount(amount))


def test_no_route_is_an_error_at_load() -> None:
    found = problems_of(
        items="item,kind,unit\nwater,solvent,mL",
        practical_lines="practical,item,amount,per\nP,water,1 g,group",
    )
    assert found == ["no-route"]


def test_waste_is_measured_as_mass_or_volume_through_density() -> None:
    assert measured_as(ACID, number(100), Kind.MASS) == 118
    assert measured_as(material(density="2"), number(100), Kind.VOLUME) == 50
    assert measured_as(WATER, number(3), Kind.VOLUME) == 3
    for counted_or_unknown in (GLOVE, WATER):
        with pytest.raises(NoRouteError):
            measured_as(counted_or_unknown, number(1), Kind.MASS)


def test_holding_a_mass_or_an_amount_divides_by_strength() -> None:
    assert holding_mass(SODA, Route(number("9.7"))).number == 10
    moles = holding_moles(SODA, Route(number("9.7")))
    assert moles.number == pytest.approx(number("399.97"))
    assert turned(ACID, Route(number("59")), Kind.MASS).number == 50


@pytest.mark.parametrize(
    ("measures", "setting", "needed"),
    [("", "", "0.1"), ("", "drop,0.04 mL", "0.08"), ("drop = 0.03 mL", "drop,0.04 mL", "0.06")],
)
def test_two_drops_are_by_the_measure_of_the_item_else_by_the_setting(
    measures: str, setting: str, needed: str
) -> None:
    plan = plan_of(
        items=f"item,kind,unit,measures\nacid,reagent,mL,{measures}",
        practical_lines="practical,item,amount,per,spare\nP,acid,2 drops,session,0 %",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        settings=f"setting,value\n{setting}" if setting else "",
    )
    assert plan.stock["acid"].needed == number(needed)


def test_what_is_kept_in_g_has_no_drop_unless_it_says_so() -> None:
    found = problems_of(
        items="item,kind,unit\nsalt,reagent,g",
        practical_lines="practical,item,amount,per\nP,salt,2 drops,session",
    )
    assert found == ["no-route"]


def test_a_solution_has_measures_of_its_own_and_a_drop() -> None:
    plan = plan_of(
        items="item,kind,unit\nwater,solvent,mL",
        solutions="solution,measures\nbrine,pipette = 2 mL",
        solution_parts="solution,item,amount\nbrine,water,to volume",
        practical_lines="practical,item,amount,per,spare\nP,brine,3 pipette + 4 drop,session,0 %",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
    )
    assert plan.stock["brine"].needed == number("6.2")


@pytest.mark.parametrize(
    ("written", "needed"),
    [("100 g", 120), ("0.5 mol", number("19.9985")), ("100 g + 0.5 mol", number("139.9985"))],
)
def test_the_factor_of_a_replacement_leaves_what_is_written_in_mol(
    written: str, needed: object
) -> None:
    """Factor 1.2; M(NaOH) = 39.997 g/mol of which 0.5 mol is 19.9985 g."""
    plan = plan_of(
        items="item,kind,unit,formula\nlye,reagent,g,NaOH\nsoda,reagent,g,NaOH",
        replacements="item,replaced_by,factor\nlye,soda,1.2",
        practical_lines=f"practical,item,amount,per,spare\nP,lye,{written},session,0 %",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
    )
    assert plan.stock["soda"].needed == needed
