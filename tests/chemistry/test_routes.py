"""A figure and the steps to it: redone here with nothing but the steps."""

from decimal import Decimal

import pytest

from prepstore.amounts import Kind
from prepstore.chemistry.conversions import Material, route_in_unit
from prepstore.chemistry.routes import Of, Route, Step, together
from prepstore.chemistry.solutions import Ingredient, routes_for
from prepstore.tables.units import read_amount
from tests.builders import material, number, part


def redone(steps: tuple[Step, ...], start: Decimal | None = None) -> Decimal:
    """Return what a calculator shows after the steps."""
    shown = start
    for step in steps:
        if step.of is Of.LIQUID_PARTS:
            assert shown is not None
            shown -= step.number
        elif shown is None:
            shown = step.number
        else:
            shown = shown / step.number if step.divides else shown * step.number
    assert shown is not None
    return shown


SOLID = {"formula": "NaCl", "density": "2.16", "strength": "98 % w/w", "measures": "scoop = 2 g"}
LIQUID = {"unit": "mL", "formula": "HCl", "density": "1.18", "strength": "37 % w/w"}
IN_MOL = {"formula": "HCl", "density": "1.1", "strength": "2 mol/L"}


@pytest.mark.parametrize(
    ("cells", "written", "start", "of"),
    [
        (SOLID, "5 g", "5", []),
        (SOLID, "5 mL", "5", [Of.DENSITY]),
        (SOLID, "3 scoop", "3", [Of.MEASURE]),
        (SOLID, "20 mmol", "0.02", [Of.MOLAR_MASS, Of.STRENGTH]),
        (LIQUID, "5 g", "5", [Of.DENSITY]),
        (LIQUID, "20 mmol", "0.02", [Of.MOLAR_MASS, Of.STRENGTH, Of.DENSITY]),
        ({**LIQUID, "strength": "2 mol/L"}, "20 mmol", "0.02", [Of.STRENGTH, Of.ML_PER_L]),
        (IN_MOL, "20 mmol", "0.02", [Of.STRENGTH, Of.ML_PER_L, Of.DENSITY]),
        (
            {**LIQUID, "strength": "50 g/L"},
            "20 mmol",
            "0.02",
            [Of.MOLAR_MASS, Of.STRENGTH, Of.ML_PER_L],
        ),
    ],
)
def test_the_steps_lead_from_what_is_written_to_the_number(
    cells: dict[str, str], written: str, start: str, of: list[Of]
) -> None:
    route = route_in_unit(material("it", **cells), read_amount(written))
    assert [step.of for step in route.steps] == of
    assert redone(route.steps, number(start)) == pytest.approx(route.number)


def test_mol_of_what_is_kept_in_g_at_a_strength_in_mol_per_litre() -> None:
    """0.02 mol / 2 mol/L = 10 mL, which weigh 11 g at 1.1 g/mL."""
    assert route_in_unit(material("it", **IN_MOL), read_amount("20 mmol")).number == 11


WATER = material("water", unit="mL", density="1")
SALT = material("salt", **SOLID)
ACID = material("acid", **LIQUID)
SPIRIT = material("spirit", unit="mL", strength="96 % v/v")
BLUE = material("blue", formula="CuSO4·5H2O")


@pytest.mark.parametrize(
    "ingredient",
    [
        part(SALT, "0.1 mol/L"),
        part(ACID, "2 mol/L"),
        part(SALT, "20 ppm"),
        part(SALT, "5 % w/v"),
        part(SALT, "5 % w/w"),
        part(SPIRIT, "70 % v/v"),
        part(ACID, "125 mL/L"),
        part(SALT, "4 parts"),
        part(BLUE, "2 g/L", "Cu"),
        part(material("soda", formula="Na2CO3"), "0.1 mol/L", "2 Na"),
        part(material("soda", formula="Na2CO3"), "1 g/L", "2 Na"),
    ],
    ids=lambda ingredient: f"{ingredient.amount} of {ingredient.material.name}",
)
def test_the_steps_of_a_part_lead_from_its_concentration_to_its_amount(
    ingredient: Ingredient,
) -> None:
    ingredients = (ingredient, part(WATER, "1 parts"))
    route, _ = routes_for(ingredients, number(500), number("1.05"))
    assert route.steps[0].of in (Of.WANTED, Of.VOLUME)
    assert redone(route.steps) == pytest.approx(route.number)


def test_what_fills_to_the_mark_is_the_volume_less_the_liquid_parts() -> None:
    ingredients = (part(ACID, "100 mL/L"), part(SALT, "1 g/L"), part(WATER, "to volume"))
    *_, filling = routes_for(ingredients, number(500), None)
    assert [step.of for step in filling.steps] == [Of.VOLUME, Of.LIQUID_PARTS]
    assert redone(filling.steps) == filling.number == 450


def test_portions_are_added_and_a_step_of_several_stands_once() -> None:
    liquid = Material("it", Kind.VOLUME, density=Decimal("0.5"))
    route = route_in_unit(liquid, read_amount("1 g + 2 g + 3 mL"))
    assert route.number == 9
    assert [step.of for step in route.steps] == [Of.DENSITY]


def test_nothing_added_up_is_nothing() -> None:
    assert together(()) == Route(Decimal(0))


def test_one_in_a_formula_unit_is_no_step() -> None:
    (route,) = routes_for((part(BLUE, "0.1 mol/L", "Cu"),), number(500), None)
    assert Of.PER_FORMULA_UNIT not in [step.of for step in route.steps]
