"""What must agree between tables; the single mistakes are in tests/bad_input/cases.py."""

from decimal import Decimal

import pytest

from prepstore.tables.crosscheck import checked
from tests.tables.written_rows import written

ITEMS = (
    "item,kind,unit,formula,strength,density,measures\n"
    "salt,reagent,g,NaCl,,,scoop = 2 g\n"
    "acid,reagent,mL,HCl,37 % w/w,1.18,drop = 0.05 mL\n"
    "brine,reagent,mL,NaCl,,,\n"
    "spirit,solvent,mL,C2H6O,96 % v/v,0.81,\n"
    "bare,reagent,g,,,,\n"
    "water,solvent,mL,H2O,,1,\n"
    "soda,reagent,g,Na2CO3,,,\n"
    "hydrated soda,reagent,g,Na2CO3·10H2O,,,\n"
    "beaker,apparatus,each,,,,\n"
)
PRACTICAL = "practical,title\nP,x\n"


def _codes(**tables: str) -> list[str]:
    return [problem.code for problem in checked(written(**tables)).problems]


def _line(item: str, amount: str) -> list[str]:
    lines = f"practical,item,amount,per\nP,{item},{amount},group\n"
    return _codes(items=ITEMS, practicals=PRACTICAL, practical_lines=lines)


@pytest.mark.parametrize(
    ("item", "amount"),
    [
        ("salt", "5 g"),
        ("salt", "2 scoop"),
        ("salt", "2 Scoops"),
        ("salt", "1 mmol"),
        ("SALT", "1 g + 1 scoop + 1 mmol"),
        ("acid", "5 mL"),
        ("acid", "5 g"),
        ("acid", "3 drops"),
        ("acid", "10 mmol"),
        ("water", "1 kg"),
        ("spirit", "5 g"),
        ("beaker", "2 each"),
        ("salt", "0 g"),
        ("beaker", "2.5 each"),
    ],
)
def test_an_amount_with_a_route_to_the_items_unit_is_right(item: str, amount: str) -> None:
    assert _line(item, amount) == []


@pytest.mark.parametrize(
    ("item", "amount"),
    [
        ("salt", "5 mL"),
        ("salt", "2 drop"),
        ("salt", "1 each"),
        ("acid", "2 scoop"),
        ("acid", "1 each"),
        ("brine", "1 g"),
        ("brine", "1 mmol"),
        ("spirit", "1 mol"),
        ("bare", "1 mol"),
        ("water", "1 mol"),
        ("beaker", "1 g"),
        ("beaker", "1 mol"),
        ("beaker", "1 L"),
        ("salt", "1 g + 1 mL"),
    ],
)
def test_an_amount_without_a_route_is_told(item: str, amount: str) -> None:
    assert _line(item, amount) == ["no-route"]


@pytest.mark.parametrize(
    ("parts", "codes"),
    [
        ("acid,2 mol/L,\nwater,to volume,", []),
        ("acid,2 mol/L,", []),
        ("salt,5 % w/v,\nwater,to volume,", []),
        ("salt,20 ppm,", []),
        ("acid,125 mL/L,\nwater,to volume,", []),
        ("spirit,70 % v/v,\nwater,to volume,", []),
        ("spirit,3 parts,\nwater,1 parts,", []),
        ("soda,1 mol/L,2 Na", []),
        ("hydrated soda,50 g/L,Na2CO3", []),
        ("salt,5 % w/w,", ["no-route"]),
        ("bare,1 mol/L,", ["no-route"]),
        ("bare,1 g/L,", []),
        ("bare,1 g/L,Cu", ["no-route"]),
        ("brine,1 mol/L,", ["no-route"]),
        ("brine,1 g/L,", ["no-route"]),
        ("spirit,1 g/L,", ["no-route"]),
        ("acid,5 % v/v,", ["no-route"]),
        ("spirit,99 % v/v,\nwater,to volume,", ["no-route"]),
        ("acid,600 mL/L,\nbrine,600 mL/L,\nwater,to volume,", ["no-route"]),
        ("salt,100 mL/L,", ["no-route"]),
        ("beaker,1 mol/L,", ["no-route"]),
        ("water,to volume,\nspirit,to volume,", ["to-volume-twice"]),
    ],
)
def test_the_parts_of_a_solution_are_worked_out(parts: str, codes: list[str]) -> None:
    rows = "".join(f"S,{part}\n" for part in parts.split("\n"))
    told = _codes(
        items=ITEMS,
        solutions="solution\nS\n",
        solution_parts=f"solution,item,amount,as\n{rows}",
    )
    assert told == codes


@pytest.mark.parametrize(
    ("parts", "is_right"),
    [
        ("S,salt,1 mol/L\nS,water,to volume\n", True),
        ("S,salt,1 mol/L\nS,soda,1 mol/L\n", False),
        ("S,acid,100 mL/L\nS,water,to volume\n", False),
        ("", False),
    ],
)
def test_mol_of_a_solution_needs_one_part_that_gives_it_a_strength(
    parts: str, is_right: bool  # noqa: FBT001 - a case
) -> None:  # fmt: skip
    told = _codes(
        items=ITEMS,
        solutions="solution\nS\n",
        solution_parts=f"solution,item,amount\n{parts}",
        practicals=PRACTICAL,
        practical_lines="practical,item,amount,per\nP,S,1 mmol,group\n",
    )
    assert told == ([] if is_right else ["no-route"])


def test_an_amount_is_read_with_what_is_used_instead() -> None:
    tables = {
        "items": ITEMS,
        "practicals": PRACTICAL,
        "practical_lines": "practical,item,amount,per\nP,salt,2 scoop,group\n",
    }
    assert _codes(**tables) == []
    replacements = "item,replaced_by,factor,to\nsalt,acid,1,drain\n"
    assert _codes(**tables, replacements=replacements) == ["no-route"]


@pytest.mark.parametrize(
    ("row", "codes"),
    [
        ("soda,hydrated soda,2.7,drain", []),
        ("soda,hydrated soda,2.7,", ["replacement-incomplete"]),
        ("soda,hydrated soda,,drain", ["replacement-incomplete"]),
        ("soda,hydrated soda,,", ["replacement-incomplete"] * 2),
        ("salt,brine,,", []),
        ("salt,bare,,", []),
        ("bare,soda,,", []),
    ],
)
def test_another_substance_needs_a_factor_and_an_end(row: str, codes: list[str]) -> None:
    assert _codes(items=ITEMS, replacements=f"item,replaced_by,factor,to\n{row}\n") == codes


def test_names_are_found_in_whatever_case_and_spaces() -> None:
    told = _codes(
        items="item,kind,unit\n Caf\u00e9 ,reagent,g\n",
        stock="lot,item,amount\nL1,CAFE\u0301,1 g\n",
    )
    assert told == []


def test_what_is_right_comes_with_its_materials() -> None:
    result = checked(
        written(
            items=ITEMS,
            solutions="solution\nS\n",
            solution_parts="solution,item,amount\nS,salt,1 mol/L\n",
        )
    )
    assert result.problems == ()
    assert result.materials["acid"].density == Decimal("1.18")
    assert result.materials["s"].formula == "NaCl"


def test_what_made_a_circle_is_no_material_and_the_rest_is() -> None:
    result = checked(
        written(
            items=ITEMS,
            solutions="solution\nA\nB\nC\n",
            solution_parts="solution,item,amount\nA,B,1 parts\nB,A,1 parts\nC,salt,1 g/L\n",
        )
    )
    assert [problem.code for problem in result.problems] == ["solution-circle"]
    assert result.materials.keys() & {"a", "b", "c"} == {"c"}


def _told_of_retired(item: str = "", practical: str = "", **tables: str) -> list[str]:
    given = {
        "items": f"item,kind,unit,retired\nsalt,reagent,g,{item}\nsand,reagent,g,\n",
        "practicals": f"practical,title,retired\nP,x,{practical}\n",
        "practical_lines": "practical,item,amount,per\nP,salt,5 g,group\n",
        "timetable": "session,practical,date,students\nS,P,2027-02-03,4\n",
    }
    problems = checked(written(**{**given, **tables})).problems
    assert {(one.code, one.place.table) for one in problems} <= {("name-retired", "timetable")}
    return [one.what for one in problems]


def test_a_session_is_of_no_practical_that_is_retired_by_its_day() -> None:
    assert _told_of_retired(practical="2027-02-04") == []
    assert _told_of_retired(practical="2027-02-03") == ["'P' is retired from 2027-02-03 on."]


def test_a_session_uses_no_item_that_is_retired_by_its_day_unless_it_is_replaced() -> None:
    assert _told_of_retired(item="2027-02-04") == []
    assert _told_of_retired(item="2027-02-03") == ["'P' uses salt, which is retired by then."]
    replaced = "item,replaced_by\nsalt,sand\n"
    assert _told_of_retired(item="2027-02-03", replacements=replaced) == []


@pytest.mark.parametrize(
    ("name", "codes"),
    [
        ("spirit", []),
        ("Water", []),
        ("salt", ["holds-back-no-liquid"]),
        ("beaker", ["holds-back-unused"]),
        ("acid", ["holds-back-unused"]),
        ("bare", ["holds-back-no-liquid"]),
        ("nothing", ["name-unknown"]),
    ],
)
def test_what_is_held_back_is_a_liquid_of_the_practical(name: str, codes: list[str]) -> None:
    """A script's spirit is water here: the liquid may be called by either name."""
    lines = (
        "practical,item,amount,per,holds_back\n"
        f"P,bare,1 g,group,{name}\nP,salt,1 g,group,\nP,spirit,1 mL,group,\n"
    )
    replacements = "item,replaced_by,factor,to\nspirit,water,1,drain\n"
    found = _codes(
        items=ITEMS, practicals=PRACTICAL, practical_lines=lines, replacements=replacements
    )
    assert found == codes


def test_an_item_may_have_limits_of_several_days_and_forms() -> None:
    limits = (
        "item,class,h_code,ate,form,in_force\n"
        "acid,Acute Tox. 3,H331,3,vapour,2020-01-01\n"
        "acid,Acute Tox. 3,H331,0.5,mist,2020-01-01\n"
        "acid,Acute Tox. 3,H331,0.7,mist,2026-05-01\n"
    )
    result = checked(written(items=ITEMS, hazard_limits=limits))
    assert result.problems == ()
    estimates = [limit.ate for limit in result.catalogue.hazard_limits["acid"]]
    assert estimates == [Decimal(3), Decimal("0.5"), Decimal("0.7")]


def test_a_liquid_does_not_hold_back_itself() -> None:
    lines = "practical,item,amount,per,holds_back\nP,water,1 mL,group,water\n"
    found = _codes(items=ITEMS, practicals=PRACTICAL, practical_lines=lines)
    assert found == ["holds-back-no-liquid"]
