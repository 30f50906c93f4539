"""By when a waste collection must be called."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from prepstore.catalogue import Catalogue
from prepstore.cell_types import PositiveVolume
from prepstore.containers import Called, ContainerState, KeptContainer
from prepstore.planning.calendar import Calendar
from prepstore.planning.collections import (
    Call,
    CallFor,
    Expected,
    collections_to_call,
    full_by,
    must_look_ahead,
    streams_of,
)
from prepstore.planning.plan import Plan
from prepstore.planning.waste_ahead import waste_ahead
from prepstore.settings import Settings
from prepstore.shelf.shelf import Department
from prepstore.stores import Stores
from prepstore.timetable import Timetable
from tests.builders import day, facts_from, number, plan_of

TODAY = day("02-01")

TABLES = {
    "items": "item,kind,unit\nacetone,solvent,mL\nwater,solvent,mL",
    "practicals": "practical,title\nP,A",
    "practical_lines": "practical,item,amount,per,spare,to\nP,acetone,60 mL,session,0 %,solvent\n"
    "P,water,60 mL,session,0 %,tank",
    "timetable": "session,practical,date,students\nA,P,2027-02-02,1\nB,P,2027-02-05,1\n"
    "C,P,2027-02-10,1\nGone,P,2027-01-29,1\nNone,P,2027-02-03,0",
}
STREAMS = "stream,measure,container,fill_limit,empty_containers,part_full\n"


def _department(solvent: str = "100 mL,100 %,0,20 mL", tank: str = ",,,") -> Department:
    streams = f"{STREAMS}solvent,volume,{solvent}\ntank,volume,{tank}"
    return facts_from({**TABLES, "waste_streams": streams})


def _parts(made: Department) -> tuple[Catalogue, Timetable, Stores]:
    return made.catalogue, made.timetable, made.stores


def _calls(made: Department, **settings: Any) -> list[Call]:  # noqa: ANN401
    waste = waste_ahead(*_parts(made), TODAY)
    calendar = Calendar(frozenset(range(5)))
    return list(collections_to_call(waste, replace(Settings(), **settings), calendar, TODAY))


@pytest.mark.parametrize(
    ("solvent", "by"),
    [
        ("100 mL,100 %,0,20 mL", "02-05"),  # 80, 140: the only one is full on the 5th
        ("100 mL,100 %,1,20 mL", "02-10"),  # 200 on the 10th
        ("100 mL,100 %,2,20 mL", None),
        ("100 mL,100 %,,20 mL", None),  # nobody knows how many are left
        ("100 mL,100 %,0,", "02-02"),  # there is none at all
        ("100 mL,100 %,0,100 mL", "02-01"),  # it is full already
    ],
)
def test_a_stream_wants_one_when_its_last_container_is_full(solvent: str, by: str | None) -> None:
    calls = _calls(_department(solvent))
    expected = [] if by is None else [Call("solvent", CallFor.CONTAINERS, day(by), None)]
    assert calls == expected


@pytest.mark.parametrize(
    ("solvent", "most_held", "must"),
    [
        ("100 mL,100 %,0,20 mL", None, True),
        ("100 mL,100 %,,20 mL", None, False),
        ("100 mL,100 %,,20 mL", PositiveVolume(number(100000)), True),
        (",,,", None, False),
    ],
)
def test_who_says_neither_how_many_there_are_nor_how_much_may_be_held_is_not_called_by_what_comes(
    solvent: str, most_held: PositiveVolume | None, *, must: bool
) -> None:
    settings = replace(Settings(), waste_most_held=most_held)
    waste = waste_ahead(*_parts(_department(solvent)), TODAY)
    assert must_look_ahead(waste, settings) is must
    if not must:
        assert collections_to_call(waste, settings, Calendar(frozenset(range(5))), TODAY) == ()


def test_it_is_called_so_many_working_days_before() -> None:
    (call,) = _calls(_department(), collection_lead=5)
    assert (call.by, call.call_by) == (day("02-05"), date(2027, 1, 29))
    (call,) = _calls(_department(), collection_lead=0)
    assert call.call_by == day("02-05")


@pytest.mark.parametrize(
    ("most", "by"), [(139, "02-02"), (140, "02-05"), (259, "02-05"), (379, "02-10"), (380, None)]
)
def test_all_streams_by_volume_together_are_held_to_the_most(most: int, by: str | None) -> None:
    """20 mL are there, and each session brings 120 mL."""
    calls = _calls(_department("100 mL,100 %,9,20 mL"), waste_most_held=number(most))
    expected = [] if by is None else [Call("", CallFor.MOST_HELD, day(by), None)]
    assert calls == expected


def test_more_than_the_most_that_is_there_already_is_so_today() -> None:
    made = _department("100 mL,100 %,9,20 mL")
    assert _calls(made, waste_most_held=number(19))[0].by == TODAY
    sealed = KeptContainer(
        label="W1", stream="solvent", state=ContainerState.SEALED, filled=number(50)
    )
    held = replace(made.stores.containers["solvent"], sealed=(sealed,))
    stores = replace(made.stores, containers={**made.stores.containers, "solvent": held})
    assert _calls(replace(made, stores=stores), waste_most_held=number(69))[0].by == TODAY
    assert _calls(replace(made, stores=stores), waste_most_held=number(70))[0].by == day("02-02")


def test_the_container_that_was_opened_first_may_stay_so_many_days() -> None:
    made = _department("100 mL,100 %,9,20 mL")
    sealed = [
        KeptContainer(
            label="W",
            stream="solvent",
            state=ContainerState.SEALED,
            filled=number(0),
            opened_on=day(opened) if opened else None,
        )
        for opened in ("01-20", "01-11", None)
    ]
    held = replace(made.stores.containers["solvent"], sealed=tuple(sealed), opened_on=day("01-25"))
    stores = replace(made.stores, containers={**made.stores.containers, "solvent": held})
    calls = _calls(replace(made, stores=stores), waste_longest=90, collection_lead=1)
    assert calls == [Call("solvent", CallFor.LONGEST, day("04-11"), day("04-09"))]


def test_a_plan_has_those_that_must_be_called_by_its_last_day() -> None:
    settings = "setting,value\ncollection_lead,5\nordering,by item"
    streams = f"{STREAMS}solvent,volume,100 mL,100 %,0,20 mL\ntank,volume,,,,"
    tables = {**TABLES, "settings": settings, "waste_streams": streams}
    plan = plan_of(**tables)
    assert [(call.stream, call.call_by) for call in plan.collections] == [
        ("solvent", date(2027, 1, 26))
    ]
    later = {**tables, "timetable": "session,practical,date,students\nA,P,2027-02-02,1"}
    assert plan_of(**later).collections == ()


def _weekly(today: str = "2027-02-01", **tables: str) -> Plan:
    """Return the week of A and B; C, in the week after it, fills the second of two containers."""
    streams = f"{STREAMS}solvent,volume,100 mL,100 %,1,20 mL\ntank,volume,,,,"
    settings = "setting,value\ncollection_lead,3"
    given = {**TABLES, "settings": settings, "waste_streams": streams, **tables}
    return plan_of(today=today, **given)


def test_what_comes_after_the_period_calls_for_a_collection_in_it() -> None:
    """20 mL and 60 mL on the 2nd, 5th and 10th: 200 mL; called three working days before."""
    (call,) = _weekly().collections
    assert (call.by, call.call_by) == (day("02-10"), day("02-05"))
    no_lead = _weekly(settings="setting,value\nordering,by item")
    assert no_lead.collections == ()  # it is full after the period, and nobody knows the lead


def test_what_is_left_of_a_batch_in_the_period_calls_for_one_sooner() -> None:
    """20 mL and 60 mL of brine; the other 40 mL of the flask of 100 mL fill the container."""
    tables = {
        "items": f"{TABLES['items']}\nsalt,reagent,g",
        "solutions": "solution,shelf_life,to,step\nbrine,0,solvent,100 mL",
        "solution_parts": "solution,item,amount\nbrine,salt,1 g/L\nbrine,water,to volume",
        "practical_lines": "practical,item,amount,per,spare,to\nP,brine,60 mL,session,0 %,solvent",
        "waste_streams": f"{STREAMS}solvent,volume,120 mL,100 %,0,20 mL",
        "timetable": "session,practical,date,students\nA,P,2027-02-02,1\nB,P,2027-02-05,1",
    }
    (call,) = _weekly("2027-01-25", **tables).collections
    assert call.by == day("02-02")
    keeps = tables["solutions"].replace("brine,0", "brine,")
    (call,) = _weekly("2027-01-25", **{**tables, "solutions": keeps}).collections
    assert call.by == day("02-05")


@pytest.mark.parametrize(("by", "full"), [("02-01", 2), ("02-02", 2), ("02-05", 3), ("02-10", 4)])
def test_containers_are_full_that_are_so_now_or_by_the_day(by: str, full: int) -> None:
    """Two are sealed; 20 mL and 60 mL each are 100 mL on the 5th, and 200 mL on the 10th."""
    made = _department("80 mL,100 %,9,0 mL")
    sealed = tuple(
        KeptContainer(label=one, stream="", state=ContainerState.SEALED, filled=number(80))
        for one in "AB"
    )
    held = replace(made.stores.containers["solvent"], sealed=sealed)
    stores = replace(made.stores, containers={**made.stores.containers, "solvent": held})
    waste = waste_ahead(made.catalogue, made.timetable, stores, TODAY)
    for stream, count in (("solvent", full), ("", full), ("tank", 0)):
        call = Call(stream, CallFor.CONTAINERS, day(by), None)
        assert full_by(streams_of(call, waste), day(by)) == count


def _with_call(made: Department, expected: str | None, *streams: str) -> Department:
    """Return a department in which a collection of streams was called yesterday."""
    called = Called(day("01-29"), day(expected) if expected else None)
    held = {
        name: replace(one, called=called) if name in streams else one
        for name, one in made.stores.containers.items()
    }
    return replace(made, stores=replace(made.stores, containers=held))


@pytest.mark.parametrize(
    ("expected", "lead", "on"),
    [
        ("02-05", None, "02-05"),  # on the day on which the last one is full
        ("02-08", None, "02-08"),
        ("02-08", 1, "02-08"),  # what was said counts
        (None, 5, "02-05"),  # five working days after Friday 29 January
        (None, 6, "02-08"),
        (None, None, None),
    ],
)
def test_one_that_was_called_says_when_it_comes_and_whether_in_time(
    expected: str | None, lead: int | None, on: str | None
) -> None:
    made = _with_call(_department(), expected, "solvent")
    (call,) = _calls(made, collection_lead=lead)
    assert call.expected == Expected(
        day("01-29"), day(on) if on else None, is_said=expected is not None
    )
    assert call.comes_too_late is (on == "02-08")
    (other,) = _calls(_with_call(_department(), expected, "tank"), collection_lead=lead)
    assert other.expected is None
    assert not other.comes_too_late


def _full_ones(sealed: int, expected: str, *streams: str) -> Department:
    """Return one with so much in a sealed container; the solvent's open one is full on the 5th."""
    made = _department("100 mL,100 %,9,20 mL")
    one = KeptContainer(label="W", stream="", state=ContainerState.SEALED, filled=number(sealed))
    held = replace(made.stores.containers["solvent"], sealed=(one,))
    stores = replace(made.stores, containers={**made.stores.containers, "solvent": held})
    return _with_call(replace(made, stores=stores), expected, *streams)


@pytest.mark.parametrize(
    ("sealed", "most", "expected", "on"),
    [
        (150, 200, "02-02", "02-02"),  # 170 and 120 mL on the 2nd are 290; 150 of them go
        (50, 140, "02-02", "02-02"),  # 190 less 50 are 140
        (50, 139, "02-02", None),  # that is more than 139, so another must be called
        (150, 200, "02-04", "02-04"),  # too late for the 2nd, and so called for nothing
        (50, 100, "02-04", None),
        (50, 100, "02-05", "02-05"),  # another 100 mL go then
    ],
)
def test_the_most_is_kept_where_what_was_called_takes_enough(
    sealed: int, most: int, expected: str, on: str | None
) -> None:
    made = _full_ones(sealed, expected, "solvent")
    (call,) = [one for one in _calls(made, waste_most_held=number(most)) if not one.stream]
    assert call.by == day("02-02")
    assert (call.expected.on if call.expected else None) == (day(on) if on else None)
    assert call.comes_too_late is (on in ("02-04", "02-05"))


def test_what_comes_too_late_counts_only_where_what_comes_in_time_is_not_enough() -> None:
    made = _full_ones(150, "02-02", "solvent")
    held = replace(made.stores.containers["tank"], called=Called(TODAY, day("02-08")))
    stores = replace(made.stores, containers={**made.stores.containers, "tank": held})
    (call,) = _calls(replace(made, stores=stores), waste_most_held=number(200))
    assert call.expected is not None
    assert call.expected.on == day("02-02")
