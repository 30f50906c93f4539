"""Rules 5 to 7: what is made up, when, in what volume, and what it asks for in turn."""

from collections.abc import Mapping
from dataclasses import replace

import pytest

from prepstore.planning.batches import Batch, BatchRules, batches_for
from prepstore.planning.days import Days
from prepstore.planning.draws import Served
from prepstore.problems import ProblemsError
from prepstore.settings import Settings
from tests.builders import (
    MON_TO_FRI,
    TODAY,
    batches_of,
    day,
    demand,
    figures,
    lots_of,
    material,
    number,
    part,
    plan_of,
    session_of,
    solution,
    stock_of,
    work,
)  # fmt: skip


def _rules(**cells: str) -> BatchRules:
    largest, step = cells.pop("largest", None), cells.pop("step", None)
    water = part(material("water", unit="mL"), "to volume")
    return BatchRules(
        solution(**cells),
        (water,),
        step_ml=number(step) if step else None,
        largest_ml=number(largest) if largest else None,
        flasks_ml=Settings().flasks,
    )


@pytest.mark.parametrize(
    ("wanted", "largest", "volume", "makings"),
    [("60", "75", 75, 1), ("30", "40", 40, 1), ("30", "60", 50, 1), ("1100", "1500", 1500, 1),
     ("1600", "1500", 2000, 2), ("900", "5000", 1000, 1), ("1001", "5000", 2000, 1)],
)  # fmt: skip
def test_the_largest_vessel_is_a_flask_as_well(
    wanted: str, largest: str, volume: int, makings: int
) -> None:
    (batch,) = _batches({"02-01": wanted}, _rules(largest=largest))
    assert figures(batch.volume_ml, batch.makings) == (volume, makings)


def test_the_department_names_its_own_flasks() -> None:
    rules = replace(_rules(), flasks_ml=(number(200), number(300)))
    volumes = [_batches({"02-01": ml}, rules)[0].volume_ml for ml in ("150", "250", "301", "700")]
    assert volumes == [200, 300, 600, 900]


def _days(today: str = TODAY, lead: int = 1) -> Days:
    return Days(day(today), MON_TO_FRI, lead)


def _batches(
    wanted: Mapping[str, object], rules: BatchRules, days: Days | None = None
) -> list[Batch]:
    served = [
        Served(demand(ml, work(date, f"2027-{date}")), (), number(ml))
        for date, ml in wanted.items()
    ]
    return batches_for(served, rules, days or _days())


@pytest.mark.parametrize(
    ("wanted", "volume"),
    [("1", 50), ("50", 50), ("50.0000000001", 50), ("50.1", 100), ("101", 250), ("251", 500),
     ("500", 500), ("501", 1000), ("1000", 1000), ("1000.5", 2000), ("2001", 3000)],
)  # fmt: skip
def test_without_a_step_it_is_the_next_flask_then_whole_litres(wanted: str, volume: int) -> None:
    assert _batches({"02-01": wanted}, _rules())[0].volume_ml == volume


@pytest.mark.parametrize(("wanted", "volume"), [("640", 700), ("700", 700), ("700.1", 770)])
def test_with_a_step_it_is_the_next_multiple(wanted: str, volume: int) -> None:
    assert _batches({"02-01": wanted}, _rules(step="70"))[0].volume_ml == volume


def test_a_batch_is_made_the_prep_lead_before_its_first_session() -> None:
    (monday,) = _batches({"02-01": 10}, _rules(shelf_life="30"))
    assert (monday.make_on, monday.use_by) == (day("01-29"), day("02-28"))
    (keeps,) = _batches({"02-01": 10}, _rules(), _days(lead=3))
    assert (keeps.make_on, keeps.use_by) == (day("01-27"), None)


def test_what_is_made_on_the_day_is_made_for_each_session_apart() -> None:
    first, second = _batches({"02-01": 10, "02-02": 10}, _rules(shelf_life="0"))
    assert (first.make_on, first.use_by) == (day("02-01"), day("02-01"))
    assert second.make_on == day("02-02")


def test_two_sessions_of_one_day_have_a_batch_each_of_what_is_made_on_the_day() -> None:
    served = [
        Served(demand(10, work(name, "2027-02-01", start=start)), (), number(10))
        for name, start in (("pm", "14:00"), ("am", "09:00"))
    ]
    batches = batches_for(served, _rules(shelf_life="0"), _days())
    assert [[one.session.session for one in batch.sessions] for batch in batches] == [
        ["am"],
        ["pm"],
    ]


@pytest.mark.parametrize(
    ("session", "shelf_life", "made"),
    [
        ("02-01", "1", "02-01"),  # Friday + 1 is Saturday; on or after Sunday is Monday itself
        ("02-01", "2", "02-01"),
        ("02-01", "3", "01-29"),
        ("02-07", "1", "02-07"),  # a Sunday: at the latest the session's day, working or not
        ("02-07", "2", "02-05"),
    ],
)
def test_what_would_not_keep_until_its_session_is_made_later(
    session: str, shelf_life: str, made: str
) -> None:
    assert _batches({session: 10}, _rules(shelf_life=shelf_life))[0].make_on == day(made)


def test_a_make_day_before_today_is_today() -> None:
    (late,) = _batches({"02-01": 10}, _rules(shelf_life="30"), _days(today="2027-02-01"))
    assert (late.make_on, late.use_by) == (day("02-01"), day("03-03"))


def test_sessions_join_while_the_batch_keeps_the_last_day_included() -> None:
    """Made on Friday the 29th, it keeps 5 days: until Wednesday the 3rd."""
    wanted = {"02-01": 10, "02-03": 20, "02-04": 40}
    first, second = _batches(wanted, _rules(shelf_life="5", step="10"))
    assert figures(first.volume_ml, first.use_by) == (30, day("02-03"))
    assert figures(second.volume_ml, second.make_on) == (40, day("02-03"))
    assert [one.session.session for one in first.sessions] == ["02-01", "02-03"]


def test_sessions_join_while_the_rounded_up_volume_fits_the_vessel() -> None:
    """60 + 45 mL are 105, which is 150 in steps of 50, in a vessel of 140."""
    first, second = _batches({"02-01": 60, "02-02": 45}, _rules(step="50", largest="140"))
    assert figures(first.volume_ml, second.volume_ml) == (100, 50)
    (both,) = _batches({"02-01": 60, "02-02": 40}, _rules(step="50", largest="140"))
    assert figures(both.volume_ml, both.makings) == (100, 1)


def test_one_need_above_the_vessel_is_a_batch_of_its_own_that_no_other_joins() -> None:
    wanted = {"02-01": 10, "02-02": 250, "02-03": 5}
    first, large, last = _batches(wanted, _rules(step="10", largest="100"))
    assert figures(first.volume_ml, last.volume_ml) == (10, 10)
    assert figures(large.volume_ml, large.makings) == (250, 3)


# Through whole plans: stock first, and solutions made from solutions.

CHAIN = {
    "items": """
        item,  kind,    unit, formula, supply
        salt,  reagent, g,    NaCl,    bought
        water, solvent, mL,   ,        made on site""",
    "solutions": """
        solution, shelf_life, step
        strong,   30,         100 mL
        weak,     30,         100 mL""",
    "solution_parts": """
        solution, item,   amount
        strong,   salt,   1 mol/L
        strong,   water,  to volume
        weak,     strong, 0.1 mol/L
        weak,     water,  to volume""",
    "practical_lines": "practical,item,amount,per\nP,weak,250 mL,session",
    "timetable": "session,practical,date,students\nS,P,2027-02-03,1",
}


def test_a_solution_is_made_from_a_solution_one_working_day_before() -> None:
    """300 mL of 0.1 mol/L take 30 mL of 1 mol/L, of which 100 mL are made: 5.844 g of salt."""
    plan = plan_of(**CHAIN)
    (weak,), (strong,) = batches_of(plan, "weak"), batches_of(plan, "strong")
    assert figures(weak.make_on, weak.volume_ml) == (day("02-02"), 300)
    assert {one.name: one.amount for one in weak.parts} == {"strong": 30, "water": 270}
    assert figures(strong.make_on, strong.wanted_ml, strong.volume_ml) == (day("02-01"), 30, 100)
    assert {one.name: one.amount for one in strong.parts} == {"salt": number("5.844"), "water": 100}
    assert [work.session.session for work in strong.sessions] == ["S"]
    assert stock_of(plan, "strong").needed == 30
    assert stock_of(plan, "salt").unserved[0].demand.day_of_need == day("02-01")


def test_the_prep_lead_is_for_sessions_and_a_part_is_made_one_day_before_whatever_it_is() -> None:
    plan = plan_of(**CHAIN, settings="setting,value\nprep_lead,3")
    assert batches_of(plan, "weak")[0].make_on == day("01-29")
    assert batches_of(plan, "strong")[0].make_on == day("01-28")


def test_a_part_that_is_made_on_the_day_is_made_on_the_make_day() -> None:
    on_the_day = CHAIN["solutions"].replace("strong,   30,", "strong,   0,")
    (strong,) = batches_of(plan_of(**{**CHAIN, "solutions": on_the_day}), "strong")
    assert strong.make_on == day("02-02")


def test_a_part_in_stock_is_taken_and_only_the_rest_made() -> None:
    stock = "lot,item,amount,expiry\nL,strong,20 mL,2027-02-02"
    plan = plan_of(**CHAIN, stock=stock)
    assert lots_of(plan, "strong") == {"L": 20}
    assert batches_of(plan, "strong")[0].wanted_ml == 10


def test_a_session_takes_what_is_made_up_in_date_on_its_day_before_anything_is_made() -> None:
    stock = """
        lot,   item, amount, expiry
        stale, weak, 500 mL, 2027-02-02
        fresh, weak, 100 mL, 2027-02-03"""
    plan = plan_of(**CHAIN, stock=stock)
    assert lots_of(plan, "weak") == {"fresh": 100}
    assert batches_of(plan, "weak")[0].wanted_ml == 150


def test_a_solution_is_never_short() -> None:
    plan = plan_of(**CHAIN)
    assert stock_of(plan, "weak").short == 0
    assert stock_of(plan, "weak").needed == 250
    assert [lack.name for lack in session_of(plan).lacks] == ["salt"]


def test_a_lot_of_a_solution_with_a_shelf_life_must_have_an_expiry() -> None:
    with pytest.raises(ProblemsError, match="keeps 30 days"):
        plan_of(**CHAIN, stock="lot,item,amount\nL,weak,1 mL")


def test_a_batch_for_sessions_before_and_in_the_week_is_listed_whole_in_the_week() -> None:
    """Friday's and Monday's 250 mL come from one batch of 500 mL, and 50 mL of the strong one."""
    timetable = """
        session, practical, date,       students
        before,  P,         2027-01-29, 1
        S,       P,         2027-02-01, 1"""
    plan = plan_of(**{**CHAIN, "timetable": timetable})
    (weak,) = batches_of(plan, "weak")
    assert figures(weak.make_on, weak.volume_ml) == (day("01-28"), 500)
    assert [work.session.session for work in weak.sessions] == ["before", "S"]
    row = stock_of(plan, "strong")
    assert figures(row.promised, row.needed) == (0, 50)
    assert figures(stock_of(plan, "weak").promised, stock_of(plan, "weak").needed) == (250, 250)


def test_a_batch_for_sessions_before_the_week_alone_is_promised_and_not_listed() -> None:
    timetable = """
        session, practical, date,       students
        before,  P,         2027-01-29, 1
        S,       P,         2027-02-01, 0"""
    plan = plan_of(**{**CHAIN, "timetable": timetable})
    assert plan.batches == ()
    row = stock_of(plan, "salt")
    assert figures(row.promised, row.needed, row.short) == (number("5.844"), 0, 0)


def test_makings_of_a_batch_are_equal_and_come_to_all_of_it() -> None:
    (batch,) = _batches({"02-01": 700}, _rules(largest="500", step="100"))
    (water,) = batch.parts
    assert figures(batch.volume_ml, batch.makings, batch.making_ml) == (700, 2, 350)
    assert batch.per_making(water) * batch.makings == water.amount


def test_a_batch_of_one_making_takes_all_of_each_part_at_once() -> None:
    (batch,) = _batches({"02-01": 100}, _rules())
    assert figures(batch.making_ml, batch.per_making(batch.parts[0])) == (100, 100)
