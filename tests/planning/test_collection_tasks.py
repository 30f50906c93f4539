"""Collections on the day on which something is to be done for them."""

from dataclasses import replace

from prepstore.cell_types import fold
from prepstore.containers import Called
from prepstore.planning.calendar import Period
from prepstore.planning.collection_tasks import CollectionToCome, to_call, to_come
from prepstore.planning.collections import Expected
from prepstore.planning.plan import Plan
from prepstore.planning.tasks import TaskKind, tasks_of
from tests.builders import WEEK, day, facts_from

TABLES = {
    "items": "item,kind,unit\nacetone,solvent,mL\nwater,solvent,mL",
    "practicals": "practical,title\nP,A",
    "practical_lines": "practical,item,amount,per,spare,to\nP,acetone,60 mL,session,0 %,bin\n"
    "P,water,10 mL,session,0 %,tank",
    "timetable": "session,practical,date,students\nA,P,2027-02-02,1\nB,P,2027-02-04,1",
    "waste_streams": "stream,measure,container,fill_limit,empty_containers,part_full\n"
    "bin,volume,100 mL,100 %,0,20 mL\ntank,volume,5 L,100 %,2,1 L",
    "settings": "setting,value\ncollection_lead,3\nordering,by item",
}
"""The bin is full on Thursday 4 February; three working days before is the Monday."""


def called_plan(
    expected: str | None, *streams: str, today: str = "2027-02-01", week: str = WEEK
) -> Plan:
    """Return the plan of the week in which a collection of streams was called on 29 January."""
    made = facts_from(TABLES)
    held = dict(made.stores.containers)
    for stream in streams:
        called = Called(day("01-29"), day(expected) if expected else None)
        held[fold(stream)] = replace(held[fold(stream)], called=called)
    made = replace(made, stores=replace(made.stores, containers=held))
    return made.plan(Period.of_week(week), day(today))


def _comes(plan: Plan) -> list[tuple[object, ...]]:
    return [(on, of.streams, of.full, of.is_too_late, of.is_overdue) for of, on in to_come(plan)]


def test_what_was_called_is_not_called_again_and_comes_on_its_day() -> None:
    assert [day for _, day in to_call(called_plan(None))] == [day("02-01")]
    plan = called_plan("02-03", "bin")
    assert list(to_call(plan)) == []
    assert _comes(plan) == [(day("02-03"), ("bin",), 0, False, False)]
    (task,) = [one for one in tasks_of(plan) if one.kind is TaskKind.COLLECTION]
    assert task.day == day("02-03")
    assert isinstance(task.of, CollectionToCome)
    assert task.of.expected == Expected(day("01-29"), day("02-03"), is_said=True)


def test_streams_of_one_call_come_together() -> None:
    plan = called_plan("02-04", "tank", "bin")
    assert _comes(plan) == [(day("02-04"), ("bin", "tank"), 1, False, False)]


def test_one_that_comes_too_late_says_so() -> None:
    plan = called_plan("02-05", "bin")
    assert list(to_call(plan)) == []
    assert _comes(plan) == [(day("02-05"), ("bin",), 1, True, False)]
    assert [of.must_come_by for of, _ in to_come(plan)] == [day("02-04")]


def test_one_that_did_not_come_stands_today() -> None:
    plan = called_plan("02-02", "tank", today="2027-02-03")
    assert _comes(plan) == [(day("02-03"), ("tank",), 0, False, True)]
    on_the_day = called_plan("02-03", "tank", today="2027-02-03")
    assert _comes(on_the_day) == [(day("02-03"), ("tank",), 0, False, False)]


def test_where_no_day_was_said_it_comes_after_the_lead() -> None:
    """Three working days after Friday 29 January is Wednesday 3 February."""
    ((of, on),) = to_come(called_plan(None, "bin"))
    assert on == day("02-03")
    assert not of.expected.is_said


def test_one_that_comes_after_the_period_is_no_task_in_it() -> None:
    assert _comes(called_plan("02-08", "tank")) == []
    assert _comes(called_plan("02-07", "tank")) == [(day("02-07"), ("tank",), 0, False, False)]
