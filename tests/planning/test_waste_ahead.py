"""What all sessions to come leave behind, and what is left over of their batches.

By hand: a flask of 100 mL of wash is made for 60 mL, 72 mL with spare, so that 28 mL are left.
"""

from dataclasses import replace
from datetime import date, timedelta

from prepstore.planning.calendar import Calendar, Period
from prepstore.planning.collections import CallFor, collections_to_call
from prepstore.planning.waste import StreamPlan, WastePlan
from prepstore.planning.waste_ahead import waste_ahead
from prepstore.settings import Settings
from prepstore.shelf.shelf import Department
from tests.builders import day, facts_from
from tests.planning.shared_cases import law
from tests.planning.small_inventories import Case

TODAY = day("02-01")

TABLES = {
    "items": "item,kind,unit,density\nacetone,solvent,mL,0.8\nwater,solvent,mL,1",
    "practicals": "practical,title\nP,A",
    "practical_lines": "practical,item,amount,per,spare,to\nP,acetone,60 mL,session,0 %,solvent",
    "timetable": "session,practical,date,students\nA,P,2027-02-02,1\nB,P,2027-02-05,1\n"
    "C,P,2027-02-10,1\nGone,P,2027-01-29,1\nNone,P,2027-02-03,0",
    "waste_streams": "stream,measure,container,fill_limit,empty_containers,part_full\n"
    "solvent,volume,100 mL,100 %,0,20 mL\naqueous,volume,100 mL,100 %,0,0 L",
}
WASH = {
    "solution_parts": "solution,item,amount\nwash,water,to volume",
    "practical_lines": "practical,item,amount,per,spare,to\nP,wash,60 mL,session,20 %,drain",
}


def _wash(shelf_life: str = "0", to: str = "aqueous", **tables: str) -> Department:
    solutions = f"solution,shelf_life,to\nwash,{shelf_life},{to}"
    return facts_from({**TABLES, **WASH, "solutions": solutions, **tables})


def _ahead(made: Department, today: date = TODAY) -> WastePlan:
    return waste_ahead(made.catalogue, made.timetable, made.stores, today)


def _stream(made: Department, name: str = "aqueous", today: date = TODAY) -> StreamPlan:
    return next(one for one in _ahead(made, today).streams if one.name == name)


def _by_day(made: Department) -> dict[str, tuple[object, object]]:
    return {
        on.isoformat()[5:]: (ended.expected, ended.allow_for)
        for on, ended in _stream(made).by_day.items()
    }


def test_sessions_that_are_over_booked_out_or_without_students_bring_nothing() -> None:
    made = facts_from(TABLES)
    assert list(_stream(made, "solvent").by_day) == [day("02-02"), day("02-05"), day("02-10")]
    later = _stream(made, "solvent", day("02-02"))
    assert min(later.by_day) == day("02-02")
    booked = replace(made, timetable=replace(made.timetable, booked_out={"a": day("02-02")}))
    assert list(_stream(booked, "solvent").by_day) == [day("02-05"), day("02-10")]


def test_what_is_left_of_a_batch_counts_on_its_last_day() -> None:
    assert _by_day(_wash()) == dict.fromkeys(("02-02", "02-05", "02-10"), (40, 28))


def test_a_batch_for_several_sessions_is_left_over_once_on_its_last_day() -> None:
    """Made on Monday for Tuesday and Friday, 144 mL of 250 mL; and on the 9th for the 10th."""
    assert _by_day(_wash(shelf_life="7")) == {"02-08": (130, 106), "02-16": (40, 28)}


def test_it_counts_after_the_last_session_too_and_not_where_it_keeps_or_has_no_stream() -> None:
    """216 of 250 mL, made on Monday 1 February, keep for 30 days."""
    assert _by_day(_wash(shelf_life="30")) == {"03-03": (70, 34)}
    for made in (_wash(shelf_life=""), _wash(to=""), _wash(to="drain")):
        assert _by_day(made) == {}


def test_of_what_stock_gives_nothing_is_left_over() -> None:
    stock = "lot,item,amount,expiry\nL,wash,216 mL,2027-03-01"
    assert _by_day(_wash(stock=stock)) == {}


def test_the_last_container_is_full_when_what_is_left_over_fills_it() -> None:
    """40 mL and three times 28 mL: 124 mL on Wednesday the 10th; without the leftovers never."""
    part_full = TABLES["waste_streams"].replace("0,0 L", "0,40 mL")
    made = _wash(waste_streams=part_full)
    assert _stream(made).full_on == (day("02-10"),)
    (call,) = collections_to_call(_ahead(made), Settings(), Calendar(frozenset(range(5))), TODAY)
    assert (call.stream, call.why, call.by) == ("aqueous", CallFor.CONTAINERS, day("02-10"))


@law
def test_it_is_the_waste_of_a_plan_of_all_days_to_come(case: Case) -> None:
    made, last = case.department, case.today + timedelta(days=400)
    plan = made.plan(Period(case.today, last), case.today)
    ahead = _ahead(made, case.today)
    assert [one.by_day for one in ahead.streams] == [one.by_day for one in plan.waste.streams]
    assert [one.full_on for one in ahead.streams] == [one.full_on for one in plan.waste.streams]
