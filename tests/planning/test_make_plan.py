"""Whole plans: the promised, the period's edges, the order of service, what is traced.

`planning/plan.py` holds what these plans are made of.
"""

import pytest

from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.planning.warned import Warned
from tests.builders import day, facts_from, figures, lots_of, number, plan_of, session_of, stock_of

ONE_GRAM = "practical,item,amount,per\nP,salt,10 g,session"
SALT = "item,kind,unit,formula\nsalt,reagent,g,NaCl"


def _plan(*sessions: str, today: str = "2027-01-25", **tables: str) -> Plan:
    given = {
        "items": SALT,
        "practical_lines": ONE_GRAM,
        "timetable": "\n".join(
            ["session,practical,date,students", *(f"{name},P,2027-{name},1" for name in sessions)]
        ),
        "stock": "lot,item,amount\nL,salt,25 g",
        **tables,
    }
    return plan_of(today=today, **given)


def test_sessions_before_the_week_take_first_and_show_only_as_promised() -> None:
    plan = _plan("01-28", "01-31", "02-01")
    row = stock_of(plan, "salt")
    assert figures(row.promised, row.needed, row.usable, row.short) == (20, 10, 5, 5)
    assert lots_of(plan, "salt") == {"L": 5}
    assert [one.work.session.session for one in plan.sessions] == ["02-01"]


def test_a_session_before_today_takes_nothing() -> None:
    row = stock_of(_plan("01-28", "02-01", today="2027-01-29"), "salt")
    assert figures(row.promised, row.needed, row.usable, row.short) == (0, 10, 25, 0)


def test_a_session_of_today_before_the_week_is_promised() -> None:
    assert stock_of(_plan("01-28", "02-01", today="2027-01-28"), "salt").promised == 10


def test_sessions_after_the_week_take_nothing() -> None:
    row = stock_of(_plan("02-01", "02-08", "02-15"), "salt")
    assert figures(row.promised, row.needed) == (0, 10)


def test_the_days_of_a_period_are_both_included() -> None:
    inventory = facts_from(
        {
            "items": SALT,
            "practicals": "practical,title\nP,P",
            "practical_lines": ONE_GRAM,
            "timetable": "session,practical,date,students\na,P,2027-02-02,1\nb,P,2027-02-03,1",
        }
    )
    plan = inventory.plan(Period(day("02-02"), day("02-03")), day("02-01"))
    assert len(plan.sessions) == 2
    assert plan.period.week is None


def test_what_is_short_for_the_promised_is_not_short_here() -> None:
    plan = _plan("01-28", "02-01", stock="lot,item,amount\nL,salt,4 g")
    assert figures(stock_of(plan, "salt").promised, stock_of(plan, "salt").short) == (10, 10)
    assert [lack.amount for lack in session_of(plan, "02-01").lacks] == [10]


def test_usable_is_in_date_on_the_earliest_day_of_need_without_deliveries() -> None:
    """Monday's things are in hand on Friday the 29th."""
    stock = """
        lot,  item, amount, expiry
        gone, salt, 1 g,    2027-01-28
        last, salt, 2 g,    2027-01-29
        good, salt, 4 g,    2027-02-01"""
    row = stock_of(_plan("02-01", stock=stock), "salt")
    assert row.usable == 6
    assert figures(lots_of(_plan("02-01", stock=stock), "salt"), row.short) == ({"good": 4}, 6)


def test_without_a_need_usable_is_as_of_the_first_day() -> None:
    stock = "lot,item,amount,expiry\na,salt,1 g,2027-01-31\nb,salt,2 g,2027-02-01"
    assert stock_of(_plan(stock=stock), "salt").usable == 2


def test_on_one_day_batches_are_served_before_sessions() -> None:
    """Brine for Tuesday is made on Monday, and takes its 5.844 g before Monday's session."""
    plan = _plan(
        "02-01",
        solutions="solution,shelf_life,step\nbrine,30,100 mL",
        solution_parts="solution,item,amount\nbrine,salt,1 mol/L",
        practicals="practical,title\nP,P\nQ,Q",
        practical_lines=ONE_GRAM + "\nQ,brine,60 mL,session",
        timetable="session,practical,date,students\nS,P,2027-02-01,1\nT,Q,2027-02-02,1",
        stock="lot,item,amount\nL,salt,10 g",
    )
    assert session_of(plan, "T").lacks == ()
    assert [lack.amount for lack in session_of(plan, "S").lacks] == [number("5.844")]
    assert (stock_of(plan, "salt").needed, stock_of(plan, "salt").short) == (
        number("15.844"),
        number("5.844"),
    )


def test_what_is_made_on_site_is_short_and_never_ordered() -> None:
    plan = _plan(
        "02-01",
        items="item,kind,unit,supply,daily_capacity\nsalt,reagent,g,made on site,3 g",
        stock="lot,item,amount\nL,salt,2 g",
        suppliers="supplier,lead_days\nShop,0",
        packs="pack,item,supplier,size,price\nA,salt,Shop,10 g,1",
    )
    assert figures(stock_of(plan, "salt").short, plan.orders) == (5, ())


def test_every_figure_keeps_the_lines_sessions_and_lots_it_came_from() -> None:
    plan = _plan("02-01", "02-02", "02-03")
    served = stock_of(plan, "salt").served
    assert [one.demand.wanted_by for one in served] == ["02-01", "02-02", "02-03"]
    assert [[draw.amount for draw in one.draws] for one in served] == [[10], [10], [5]]
    assert [one.unserved for one in served] == [0, 0, 5]
    assert stock_of(plan, "salt").unserved == (served[2],)
    (line,) = plan.works[0].scale.lines
    assert figures(line.line.amount.text, line.count, line.each, line.spare) == ("10 g", 1, 10, 0)


def test_stock_has_every_item_and_solution_but_apparatus() -> None:
    plan = _plan(
        items="item,kind,unit\nSalt,reagent,g\nfunnel,apparatus,each",
        practical_lines="practical,item,amount,per",
        solutions="solution\nBrine",
    )
    assert set(plan.stock) == {"salt", "brine"}
    assert {plan.label(name) for name in plan.stock} == {"Salt", "Brine"}


@pytest.mark.parametrize(("lead", "needed_by"), [("0", "02-01"), ("1", "01-29"), ("3", "01-27")])
def test_the_prep_lead_says_when_all_must_be_in_hand(lead: str, needed_by: str) -> None:
    plan = _plan("02-01", settings=f"setting,value\nprep_lead,{lead}", stock="")
    assert session_of(plan, "02-01").lacks[0].needed_by == day(needed_by)


def test_names_are_one_whatever_their_case_and_accents() -> None:
    """e + combining acute and é are one name."""
    plan = plan_of(
        items="item,kind,unit\nRosé,reagent,g",
        practical_lines="practical,item,amount,per\np,ROSE\u0301,1 g,session",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        stock="lot,item,amount\nL,rosé,3 g",
    )
    assert lots_of(plan, "rosé") == {"L": 1}


@pytest.mark.parametrize(("retired", "restock"), [("2027-01-26", 100), ("2027-01-25", 0)])
def test_what_is_retired_on_the_day_of_the_plan_is_not_restocked(
    retired: str, restock: int
) -> None:
    items = f"item,kind,unit,minimum,retired\nsalt,reagent,g,100 g,{retired}"
    plan = _plan(items=items, stock="lot,item,amount\nL,salt,0 g", practical_lines="")
    assert figures(stock_of(plan, "salt").restock) == (restock,)


def test_a_plan_with_other_warnings_keeps_what_was_worked_out_of_it() -> None:
    plan = _plan()
    warned = plan.with_warnings([Warned("looked-at", "salt", {})])
    assert [one.code for one in warned.warnings] == ["looked-at"]
    assert "looked-at" not in [one.code for one in plan.warnings]
    assert warned.with_warnings([]).warnings == ()
    assert warned.meetings is plan.meetings
    assert warned.stock is plan.stock


def test_of_what_is_made_on_one_day_parts_stand_before_what_is_made_from_them() -> None:
    """`a mixture` comes first by name, and last to make."""
    plan = plan_of(
        items="item,kind,unit\nsalt,reagent,g",
        solutions="solution,shelf_life\na mixture,0\nbrine,0\nzero brine,0",
        solution_parts="""
            solution,   item,       amount
            a mixture,  zero brine, 100 mL/L
            a mixture,  brine,      100 mL/L
            zero brine, brine,      100 mL/L
            brine,      salt,       10 g/L""",
        practical_lines="practical,item,amount,per\nP,a mixture,50 mL,session",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        stock="lot,item,amount\nL,salt,1 kg",
    )
    assert {batch.make_on for batch in plan.batches} == {day("02-01")}
    made = list(dict.fromkeys(batch.name for batch in plan.batches))
    assert made == ["brine", "zero brine", "a mixture"]


BOUGHT_PART = {
    "items": "item,kind,unit\nsalt,reagent,g",
    "solutions": "solution\nbought buffer\nmade",
    "solution_parts": "solution,item,amount\nmade,bought buffer,100 mL/L",
    "practical_lines": "practical,item,amount,per\nP,made,60 mL,session\n"
    "P,bought buffer,5 mL,session",
    "timetable": "session,practical,date,students\nS,P,2027-02-02,1",
    "suppliers": "supplier,lead_days\nN,1",
    "packs": "pack,item,supplier,size,price\nA,bought buffer,N,8 mL,4",
}
"""By hand: 100 mL of what is made take 10 mL; with the 5 mL of the line two packs of 8 mL."""


def test_a_bought_solution_is_served_after_what_is_made_from_it() -> None:
    plan = plan_of(today="2027-01-25", **BOUGHT_PART)
    assert figures(plan.stock["bought buffer"].needed, stock_of(plan, "made").needed) == (15, 60)
    assert [(row.offer.pack.pack, row.packs) for row in plan.orders] == [("A", 2)]
    (batch,) = plan.batches
    (demand,) = batch.demands
    assert plan.served[demand].unserved == 10


def test_a_part_that_is_bought_is_taken_from_stock_first() -> None:
    plan = plan_of(today="2027-01-25", **BOUGHT_PART, stock="lot,item,amount\nL,bought buffer,1 L")
    assert plan.orders == ()
    assert [
        draw.lot and draw.lot.lot for draw in plan.served[plan.batches[0].demands[0]].draws
    ] == ["L"]
