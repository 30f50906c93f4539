"""Rule 7: how much of each part a solution takes."""

import pytest

from prepstore.chemistry.conversions import Material, NoRouteError
from prepstore.chemistry.solutions import amounts_for
from tests.builders import figures, material, number, part, problems_of

# M(NaOH) = 22.990 + 15.999 + 1.008 = 39.997; M(HCl) = 1.008 + 35.45 = 36.458.
SODA = material("sodium hydroxide", formula="NaOH", strength="97 % w/w", measures="pellet = 0.2 g")
ACID = material("acid", unit="mL", formula="HCl", strength="37 % w/w", density="1.18")
ETHANOL = material("ethanol", unit="mL", strength="96 % v/v", density="0.8")
WATER = material("water", unit="mL")
GLOVE = material("glove", unit="each", measures="pair = 2 each")


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


@pytest.mark.parametrize("pure", ["100 % w/w", "100 % v/v"])
def test_of_what_is_pure_a_fifth_by_volume_is_a_fifth_of_the_volume(pure: str) -> None:
    of = material(unit="mL", strength=pure)
    assert figures(*amounts_for((part(of, "20 % v/v"),), number(500), None)) == (100,)


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


@pytest.mark.parametrize(
    ("as_", "code"),
    [
        ("Na", "species-miscounted"),
        ("2 Na", None),
        ("3 Na", "species-miscounted"),
        ("Cu", "species-lacking"),
        ("Na2CO3", None),
        ("Na2O", None),
    ],
)
def test_one_element_is_in_the_formula_as_often_as_it_says(as_: str, code: str | None) -> None:
    found = problems_of(
        items="item,kind,unit,formula\nwater,solvent,mL,\nsoda,reagent,g,Na2CO3·10H2O",
        solutions="solution\nalkali",
        solution_parts=f"""
            solution, item,  amount,    as
            alkali,   soda,  10 g/L,    {as_}
            alkali,   water, to volume,""",
    )
    assert found == ([code] if code else [])
