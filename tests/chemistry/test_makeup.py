"""What solutions are made of: rule 7 of the contract, solution after solution."""

from decimal import Decimal

import pytest

from prepstore.chemistry.makeup import Held, Makeups
from tests.builders import facts_from, number

ITEMS = """
    item,    kind,    unit, density, formula, strength
    salt,    reagent, g,    2,       NaCl,
    acid,    reagent, mL,   1.18,    HCl,     37 % w/w
    water,   solvent, mL,   1,       ,
    hexane,  solvent, mL,   ,        ,
    paper,   consumable, each, ,     ,"""
PARTS = """
    solution,  item,   amount
    brine,     salt,   10 % w/v
    brine,     water,  to volume
    thin,      brine,  250 mL/L
    thin,      water,  to volume
    eluent,    hexane, 3 parts
    eluent,    water,  1 parts
    bare,      salt,   58.44 g/L
    half,      bare,   500 mL/L
    half,      water,  250 mL/L
    over,      hexane, 800 mL/L
    over,      water,  300 mL/L"""
SOLUTIONS = "solution\nbrine\nthin\neluent\nbare\nhalf\nover\nbought"


def _makeup(name: str) -> tuple[dict[str, Decimal], dict[str, Decimal]]:
    goods = facts_from({"items": ITEMS, "solutions": SOLUTIONS, "solution_parts": PARTS}).catalogue
    made = Makeups(goods.parts, goods.materials).of(name)
    parts = {f"{held.name}{'*' * held.is_dissolved}": part for held, part in made.parts.items()}
    return parts, dict(made.unknown)


@pytest.mark.parametrize(
    ("name", "parts", "unknown"),
    [
        ("salt", {"salt": "1"}, {}),
        ("acid", {"acid": "1"}, {}),
        ("paper", {"paper": "1"}, {}),
        ("brine", {"salt*": "0.1", "water": "1"}, {}),
        ("thin", {"salt*": "0.025", "water": "1"}, {}),
        ("eluent", {"hexane": "0.75", "water": "0.25"}, {}),
        ("bare", {"salt*": "0.05844"}, {"bare": "1"}),
        ("half", {"salt*": "0.02922", "water": "0.25"}, {"bare": "0.5", "half": "0.25"}),
        ("over", {"hexane": "0.8", "water": "0.3"}, {}),
        ("bought", {}, {"bought": "1"}),
    ],
)
def test_a_unit_is_broken_down_into_items_and_what_nothing_accounts_for(
    name: str, parts: dict[str, str], unknown: dict[str, str]
) -> None:
    """What is marked * is dissolved."""
    found, not_accounted_for = _makeup(name)
    assert found == {part: number(amount) for part, amount in parts.items()}
    assert not_accounted_for == {part: number(amount) for part, amount in unknown.items()}


def test_a_hair_left_by_divisions_is_not_unknown() -> None:
    parts = """
        solution, item,   amount
        thirds,   hexane, 1 parts
        thirds,   water,  1 parts
        thirds,   acid,   1 parts"""
    goods = facts_from(
        {"items": ITEMS, "solutions": "solution\nthirds", "solution_parts": parts}
    ).catalogue
    made = Makeups(goods.parts, goods.materials).of("thirds")
    assert made.unknown == {}
    assert set(made.parts) == {
        Held(name, is_dissolved=False) for name in ("hexane", "water", "acid")
    }
