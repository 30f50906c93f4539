from decimal import Decimal

import pytest

from prepstore.chemistry.conversions import route_in_unit
from prepstore.chemistry.routes import Of, Step
from prepstore.chemistry.solutions import routes_for
from prepstore.report.route_words import steps_in_words
from prepstore.tables.units import read_amount
from tests.builders import material, number, part

ACID = {"unit": "mL", "formula": "HCl", "density": "1.18", "strength": "37 % w/w"}
WATER = material("water", unit="mL")


@pytest.mark.parametrize(
    ("cells", "written", "words"),
    [
        ({}, "5 g", ""),
        ({"density": "0.79"}, "5 mL", "x 0.79 g/mL"),
        ({**ACID, "density": "0.79"}, "5 g", "divided by 0.79 g/mL"),
        ({"measures": "scoop = 2 g"}, "3 scoops", "x 2 g a scoop"),
        ({"formula": "HCl", "density": "1.1", "strength": "2 mol/L"}, "20 mmol",
         "divided by 2 mol/L x 1000 mL/L x 1.1 g/mL"),
        (ACID, "20 mmol", "x 36.458 g/mol, divided by 37 % w/w, divided by 1.18 g/mL"),
    ],
)  # fmt: skip
def test_the_steps_of_a_script_s_amount(cells: dict[str, str], written: str, words: str) -> None:
    route = route_in_unit(material("it", **cells), read_amount(written))
    assert steps_in_words(route.steps) == words


@pytest.mark.parametrize(
    ("of", "amount", "words"),
    [
        (material("s", unit="mL", strength="96 % v/v"), "70 % v/v",
         "500 mL x 70 % v/v, divided by 96 % v/v"),
        (material("s", **ACID), "125 mL/L", "125 mL/L x 0.5 L"),
        (material("s", unit="mL"), "4 parts", "500 mL x 4 parts, divided by 4 parts"),
        (material("s"), "20 ppm", "0.02 g/L x 0.5 L, divided by 100 % w/w"),
        (material("s"), "5 % w/w", "5 % w/w x 500 mL x 1.05 g/mL, divided by 100 % w/w"),
    ],
    ids=str,
)  # fmt: skip
def test_the_steps_of_a_part(of: object, amount: str, words: str) -> None:
    (route,) = routes_for((part(of, amount),), number(500), number("1.05"))  # type: ignore[arg-type]
    assert steps_in_words(route.steps) == words


def test_a_part_as_another_formula_names_both_and_the_count() -> None:
    soda = material("soda", formula="Na2CO3")
    (route,) = routes_for((part(soda, "1 g/L", "2 Na"),), number(500), None)
    assert steps_in_words(route.steps) == (
        "1 g/L x 0.5 L x 105.988 g/mol of Na2CO3, divided by 2, divided by "
        "22.99 g/mol of Na, divided by 100 % w/w"
    )


def test_what_fills_to_the_mark() -> None:
    parts = (part(material("s", **ACID), "100 mL/L"), part(WATER, "to volume"))
    *_, filling = routes_for(parts, number(500), None)
    assert steps_in_words(filling.steps) == "500 mL less 50 mL of liquid parts"


def test_the_factor_of_a_replacement_is_a_step() -> None:
    assert steps_in_words([Step(Of.FACTOR, Decimal("1.25"))]) == "x 1.25"
