"""Items and solutions as materials: strengths taken over, circles found."""

import pytest

from prepstore.amounts import PURE, Basis, Kind
from prepstore.chemistry.materials import SolutionCircleError, making_order
from prepstore.facts import SolutionPart
from tests.builders import fact_of, facts_from, material, number, problems_of

BRINE = {
    "items": """
        item,  kind,    unit, formula
        salt,  reagent, g,    NaCl
        water, solvent, mL,   """,
    "solutions": """
        solution
        brine""",
}


def test_what_is_kept_in_grams_is_pure_unless_it_says_otherwise() -> None:
    assert material().strength == PURE
    assert material(strength="98 % w/w").strength != PURE


def test_what_is_kept_in_millilitres_has_no_strength_of_its_own() -> None:
    assert material(unit="mL").strength is None


def test_a_solution_has_the_strength_and_formula_of_its_only_part_by_substance() -> None:
    parts = """
        solution, item,  amount
        brine,    salt,  0.5 mol/L
        brine,    water, to volume"""
    brine = facts_from({**BRINE, "solution_parts": parts}).goods.materials["brine"]
    assert brine.strength is not None
    assert (brine.strength.number, brine.strength.basis) == (number("0.5"), Basis.MOLAR)
    assert brine.formula == "NaCl"
    assert (brine.unit, brine.is_solution) == (Kind.VOLUME, True)


def test_the_strength_of_a_part_given_as_another_formula_is_of_that_formula() -> None:
    parts = """
        solution, item,  amount, as
        brine,    salt,  20 ppm, 1 Na
        brine,    water, to volume,"""
    assert facts_from({**BRINE, "solution_parts": parts}).goods.materials["brine"].formula == "Na"


@pytest.mark.parametrize("second", ["acid, 0.1 mol/L", "acid, 5 % v/v"])
def test_a_solution_of_two_parts_by_substance_has_no_strength(second: str) -> None:
    tables = {
        "items": """
            item,  kind,    unit, formula, strength
            salt,  reagent, g,    NaCl,
            acid,  reagent, mL,   HCl,     100 % v/v
            """.replace("100 % v/v", "12 mol/L" if "mol" in second else "96 % v/v"),
        "solutions": "solution\nbrine",
        "solution_parts": f"solution,item,amount\nbrine,salt,1 g/L\nbrine,{second}",
    }
    brine = facts_from(tables).goods.materials["brine"]
    assert (brine.strength, brine.formula) == (None, None)


@pytest.mark.parametrize("amount", ["2 parts", "125 mL/L"])
def test_a_solution_by_parts_or_as_supplied_has_no_strength(amount: str) -> None:
    parts = f"solution,item,amount\nbrine,water,{amount}"
    assert facts_from({**BRINE, "solution_parts": parts}).goods.materials["brine"].strength is None


def test_a_solution_without_parts_is_a_material_all_the_same() -> None:
    assert facts_from(BRINE).goods.materials["brine"].strength is None


def _parts(**made_of: str) -> dict[str, tuple[SolutionPart, ...]]:
    return {
        name: (fact_of(SolutionPart, solution=name, item=of, amount="1 parts"),)
        for name, of in made_of.items()
    }


def test_a_solution_comes_after_what_it_is_made_from() -> None:
    order = making_order(_parts(eluent="dilute", dilute="stock"))
    assert order.index("stock") < order.index("dilute") < order.index("eluent")


@pytest.mark.parametrize("circle", [{"a": "a"}, {"a": "b", "b": "c", "c": "a"}])
def test_a_solution_made_from_itself_is_refused_and_the_circle_named(
    circle: dict[str, str],
) -> None:
    with pytest.raises(SolutionCircleError) as found:
        making_order(_parts(**circle))
    assert set(found.value.names) == set(circle)


def test_a_circle_in_the_tables_is_a_mistake_in_the_data() -> None:
    found = problems_of(
        solutions="solution\nx\ny",
        solution_parts="solution,item,amount\nx,y,1 parts\ny,x,1 parts",
    )
    assert found == ["solution-circle"]
