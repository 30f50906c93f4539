"""Rules 1, 2 and 4: sets, the need of a line, counted things rounded up."""

from dataclasses import replace

import pytest

from prepstore.catalogue import ReplacementCircleError
from prepstore.planning.plan import Plan
from tests.builders import facts_from, needs_of, number, plan_of, problems_of, session_of, stream_of

ITEMS = """
    item,    kind,       unit, formula, strength, density, measures
    salt,    reagent,    g,    NaCl,    ,         ,        scoop = 2 g
    ethanol, solvent,    mL,   C2H6O,   ,         0.8,
    hexane,  solvent,    mL,   C6H14,   ,         0.66,
    paper,   consumable, each, ,        ,         ,
    funnel,  apparatus,  each, ,        ,         ,"""
STREAMS = "stream,measure\nsolvent,volume\nother,volume"


def _plan(lines: str, session: str = "", **tables: str) -> Plan:
    """Plan five students in pairs and one demonstrator's set, unless another session is given."""
    return plan_of(
        items=ITEMS,
        solutions="solution\nbrine",
        practical_lines=lines,
        timetable=f"""
            session, practical, date, students, group_size, demonstrator_sets, leave_out
            S, P, {session or "2027-02-01, 5, 2, 1,"}""",
        waste_streams=STREAMS,
        **tables,
    )


def test_groups_are_rounded_up_and_a_demonstrator_set_is_one_more_group() -> None:
    scale = session_of(_plan("practical,item,amount,per\nP,salt,1 g,group")).work.scale
    assert (scale.groups, scale.sets) == (3, 4)


@pytest.mark.parametrize(("per", "count"), [("student", 7), ("group", 4), ("session", 1)])
def test_a_line_counts_students_sets_or_one(per: str, count: int) -> None:
    """5 students + a group of 2 for the demonstrator; 3 groups + 1."""
    plan = _plan(f"practical,item,amount,per,spare\nP,salt,1 g,{per},0 %")
    assert needs_of(plan) == {"salt": count}


def test_the_sessions_group_size_goes_before_that_of_the_practical() -> None:
    practicals = "practical,title,group_size\nP,A practical,5"
    lines = "practical,item,amount,per\nP,salt,1 g,group"
    assert session_of(_plan(lines, "2027-02-01,5,,0,", practicals=practicals)).work.scale.sets == 1
    assert session_of(_plan(lines, "2027-02-01,5,2,0,", practicals=practicals)).work.scale.sets == 3


@pytest.mark.parametrize(
    ("name", "unit", "spare"),
    [
        ("salt", "g", "1.1"),
        ("ethanol", "mL", "1.2"),
        ("brine", "mL", "1.2"),
        ("paper", "each", "1.1"),
        ("funnel", "each", "1"),
    ],
)
def test_the_spare_goes_by_the_kind_of_item(name: str, unit: str, spare: str) -> None:
    plan = _plan(f"practical,item,amount,per\nP,{name},100 {unit},group")
    assert needs_of(plan) == {name: 400 * number(spare)}


def test_a_lines_own_spare_goes_before_the_setting_and_the_setting_before_the_default() -> None:
    lines = "practical,item,amount,per,spare\nP,salt,100 g,group,50 %\nP,ethanol,100 mL,group,"
    plan = _plan(lines, settings="setting,value\nspare solvent,0 %\nspare reagent,1 %")
    assert needs_of(plan) == {"salt": 600, "ethanol": 400}


def test_a_line_per_session_has_no_spare_unless_it_says_so() -> None:
    plan = _plan("practical,item,amount,per,spare\nP,salt,100 g,session,\nP,ethanol,1 mL,session,1")
    assert needs_of(plan) == {"salt": 100, "ethanol": 2}


def test_counted_things_are_rounded_up_once_after_their_lines_are_added() -> None:
    """4 sets of 1 and of 2 with 10 %: 4.4 + 8.8 = 13.2, so 14; each on its own would be 5 + 9."""
    plan = _plan("practical,item,amount,per\nP,paper,1 each,group\nP,Paper,2 each,group")
    assert needs_of(plan) == {"paper": 14}
    lines = "practical,item,amount,per\nP,paper,1 each,group\nP,paper,1 each,group"
    assert needs_of(_plan(lines)) == {"paper": 9}  # 8.8; rounded apart it would be 10


def test_a_counted_thing_that_comes_to_a_whole_is_not_rounded_further() -> None:
    """10 x 1.1 is 11.000000000000002 in binary, which would be 12."""
    plan = _plan("practical,item,amount,per\nP,paper,10 each,student", "2027-02-01, 1, 1, 0,")
    assert needs_of(plan) == {"paper": 11}


def test_measured_things_are_not_rounded() -> None:
    plan = _plan("practical,item,amount,per\nP,salt,0.123456789 g,group")
    assert needs_of(plan) == {"salt": number("0.5432098716")}


def test_an_optional_line_drops_where_its_stage_is_left_out() -> None:
    lines = """
        practical, stage,    item,    amount, per,     optional
        P,         spectrum, ethanol, 1 mL,   session, yes
        P,         Spectrum, salt,    1 g,    session,
        P,         wash,     hexane,  1 mL,   session, yes"""
    assert set(needs_of(_plan(lines))) == {"ethanol", "salt", "hexane"}
    left_out = _plan(lines, "2027-02-01, 5, 2, 1, SPECTRUM")
    assert set(needs_of(left_out)) == {"salt", "hexane"}


def test_leaving_out_a_stage_without_an_optional_line_is_an_error() -> None:
    found = problems_of(
        items="item,kind,unit\nsalt,reagent,g",
        practical_lines="practical,stage,item,amount,per\nP,wash,salt,1 g,group",
        timetable="session,practical,date,students,leave_out\nS,P,2027-02-01,1,wash",
    )
    assert found == ["stage-not-optional"]


def test_a_session_without_students_needs_nothing_and_is_covered() -> None:
    plan = _plan("practical,item,amount,per\nP,salt,1 g,session", "2027-02-01, 0, 2, 1,")
    one = session_of(plan)
    assert (one.work.scale.groups, one.work.scale.sets, one.state) == (0, 0, "covered")
    assert needs_of(plan) == {}
    assert plan.waste.streams[-1].total.allow_for == 0


def test_a_replacement_acts_on_every_script_with_its_factor_kind_and_end() -> None:
    """100 mL of hexane a group are 150 mL of ethanol, a solvent with 20 %: 4 x 150 x 1.2 = 720."""
    plan = _plan(
        "practical,item,amount,per,to\nP,hexane,100 mL,group,other",
        replacements="item,replaced_by,factor,to\nhexane,ethanol,1.5,solvent",
    )
    assert needs_of(plan) == {"ethanol": 720}
    assert stream_of(plan, "solvent").total.allow_for == 720
    assert stream_of(plan, "other").total.allow_for == 0


def test_replacements_are_followed_in_chains_factors_multiply_and_the_last_to_holds() -> None:
    """10 papers are 20 tissues, those 5 cloths; the second says no end, so that of the first."""
    plan = plan_of(
        items="item,kind,unit\npaper,consumable,each\ntissue,consumable,each\ncloth,consumable,each",
        practical_lines="practical,item,amount,per,to\nP,paper,10 each,session,kept",
        replacements="item,replaced_by,factor,to\npaper,tissue,2,air\ntissue,cloth,0.25,",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
    )
    assert needs_of(plan) == {"cloth": 5}
    assert {end: ended.allow_for for (end, _), ended in plan.waste.other_ends.items()} == {"air": 5}


def test_an_amount_is_read_with_the_replacing_items_measures_and_density() -> None:
    """2 scoops of salt are 2 scoops of sugar, of 5 g; 8 g of hexane are 10 mL of ethanol."""
    items = "item,kind,unit,measures\nsalt,reagent,g,scoop = 2 g\nsugar,reagent,g,scoop = 5 g"
    plan = plan_of(
        items=items,
        practical_lines="practical,item,amount,per\nP,salt,2 scoop,session",
        replacements="item,replaced_by\nsalt,sugar",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
    )
    assert needs_of(plan) == {"sugar": 10}
    by_density = _plan(
        "practical,item,amount,per\nP,hexane,8 g,session",
        replacements="item,replaced_by,factor,to\nhexane,ethanol,1,solvent",
    )
    assert needs_of(by_density) == {"ethanol": 10}


def test_a_circle_of_replacements_is_an_error() -> None:
    items = "item,kind,unit\na,reagent,g\nb,reagent,g"
    circle = "item,replaced_by\na,b\nb,A"
    assert problems_of(items=items, replacements=circle) == ["replacement-circle"]
    found = facts_from({"items": items, "replacements": "item,replaced_by\na,b"}).catalogue
    assert [link.replaced_by for link in found.replaced("A")] == ["b"]
    assert (found.used_for("A"), found.used_for("B")) == ("b", "B")
    circle_of_two = replace(
        found, replacements={**found.replacements, "b": found.replacements["a"]}
    )
    with pytest.raises(ReplacementCircleError):
        circle_of_two.replaced("a")


@pytest.mark.parametrize(
    ("replacement", "mistakes"),
    [
        ("hexane,ethanol,,", 2),
        ("hexane,ethanol,1.2,", 1),
        ("hexane,ethanol,,solvent", 1),
        ("hexane,ethanol,1.2,solvent", 0),
        ("hexane,paper,,", 0),  # one of them has no formula
    ],
)
def test_another_substance_needs_a_factor_and_an_end(replacement: str, mistakes: int) -> None:
    found = problems_of(
        items=ITEMS,
        waste_streams=STREAMS,
        replacements=f"item,replaced_by,factor,to\n{replacement}",
    )
    assert found == ["replacement-incomplete"] * mistakes


def test_a_replacement_does_not_act_on_the_parts_of_solutions() -> None:
    plan = _plan(
        "practical,item,amount,per\nP,brine,100 mL,session",
        solution_parts="solution,item,amount\nbrine,hexane,to volume",
        replacements="item,replaced_by,factor,to\nhexane,ethanol,1.5,solvent",
    )
    assert [part.name for part in plan.batches[0].parts] == ["hexane"]
