"""Rules 3 and 7: amounts into an item's unit, and how much of each part a solution takes."""

import pytest

from prepstore.amounts import Kind
from prepstore.chemistry.conversions import (
    Material,
    NoRouteError,
    amounts_for,
    holding_mass,
    holding_moles,
    in_unit,
    measured_as,
    turned,
)
from prepstore.chemistry.routes import Route
from prepstore.tables.units import read_amount
from tests.builders import figures, g, material, ml, number, part, problems_of

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
    assert figures(*amounts_for((part(of, "20 % v/v"),), number(500), None)) == (100,)


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
    ("of", "wanted", "takes"),
    [
        (SODA, "2 mol/L", number("39.997") / number("0.97")),
        (SODA, "9.7 g/L", 5),
        (SODA, "9.7 % w/v", 50),
        (SODA, "9700 ppm", 5),
        (material(unit="mL", strength="110 vol"), "11 vol", 50),
        (ETHANOL, "48 % v/v", 250),
        (WATER, "125 mL/L", number("62.5")),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_half_a_litre_takes_the_wanted_divided_by_the_strength(
    of: Material, wanted: str, takes: object
) -> None:
    ours = amounts_for((part(of, wanted),), number(500), None)[0]
    assert ours == pytest.approx(number(takes), rel=number("1e-25"))


def test_mass_by_mass_needs_the_density_of_the_solution() -> None:
    """9.7 % w/w of 1000 mL × 1.1 g/mL is 106.7 g, of 97 %: 110 g."""
    (ours,) = amounts_for((part(SODA, "9.7 % w/w"),), number(1000), number("1.1"))
    assert ours == pytest.approx(number(110))
    with pytest.raises(NoRouteError, match="density"):
        amounts_for((part(SODA, "9.7 % w/w"),), number(1000), None)


def test_parts_are_shares_of_the_volume() -> None:
    parts = (part(ETHANOL, "3 parts"), part(WATER, "1 parts"))
    assert figures(*amounts_for(parts, number(200), None)) == (150, 50)


def test_to_volume_is_what_liquids_leave_and_solids_take_no_room() -> None:
    parts = (part(SODA, "9.7 g/L"), part(ETHANOL, "100 mL/L"), part(WATER, "to volume"))
    assert figures(*amounts_for(parts, number(1000), None)) == (10, 100, 900)


def test_liquid_parts_above_the_volume_are_refused() -> None:
    parts = (part(ETHANOL, "600 mL/L"), part(ACID, "401 mL/L"), part(WATER, "to volume"))
    with pytest.raises(NoRouteError, match="more than the volume"):
        amounts_for(parts, number(1000), None)


def test_liquid_parts_that_fill_the_volume_leave_nothing_to_fill_up() -> None:
    parts = (part(ETHANOL, "600 mL/L"), part(ACID, "400 mL/L"), part(WATER, "to volume"))
    assert amounts_for(parts, number(1000), None)[2] == 0


def test_by_volume_a_strength_by_mass_will_not_do() -> None:
    with pytest.raises(NoRouteError, match="% v/v needs a strength in % v/v"):
        amounts_for((part(ACID, "10 % v/v"),), number(1000), None)


def test_of_a_hydrate_wanted_as_its_salt_more_is_weighed() -> None:
    """286.138 / 105.988 times, for Na2CO3·10H2O wanted as Na2CO3."""
    washing_soda = material(formula="Na2CO3·10H2O")
    (ours,) = amounts_for((part(washing_soda, "105.988 g/L", as_="Na2CO3"),), number(1000), None)
    assert ours == pytest.approx(number("286.138"))


def test_two_sodium_in_each_formula_need_half_the_salt() -> None:
    """By mass and by mol: 2 mol of Na are in 1 mol of Na2CO3, 105.988 g."""
    salt = material(formula="Na2CO3")
    for wanted in ("2 mol/L", "45.980 g/L"):
        (ours,) = amounts_for((part(salt, wanted, as_="2 Na"),), number(1000), None)
        assert ours == pytest.approx(number("105.988"))


@pytest.mark.parametrize("second", ["water", "salt"])
def test_a_second_part_to_volume_is_an_error(second: str) -> None:
    found = problems_of(
        items="item,kind,unit,density\nwater,solvent,mL,\nsalt,reagent,g,2\nether,solvent,mL,",
        solutions="solution\nbrine",
        solution_parts=f"solution,item,amount\nbrine,ether,to volume\nbrine,{second},to volume",
    )
    assert found[0] == "to-volume-twice"
