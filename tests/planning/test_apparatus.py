"""Rule 12: what is out at the same time, shared instruments, and rooms used twice."""

from datetime import datetime

import pytest

from prepstore.planning.apparatus import ApparatusPlan, clashes
from prepstore.planning.plan import Plan
from tests.builders import figures, needs_of, number, plan_of, work


def _plan(
    *sessions: str, item: str = ",", lines: str = "4 each,group,", stock: str = "L,funnel,6 each"
) -> ApparatusPlan:
    """Plan one group a session; a session is date, start, end; an item turnaround, minutes."""
    return _whole(*sessions, item=item, lines=lines, stock=stock).apparatus[0]


def _whole(*sessions: str, item: str, lines: str, stock: str) -> Plan:
    rows = [f"S{number},P,{cells},1" for number, cells in enumerate(sessions)]
    needs = [f"P,funnel,{line}" for line in lines.split(";")]
    return plan_of(
        items=f"item,kind,unit,turnaround,minutes_per_use\nfunnel,apparatus,each,{item}",
        practical_lines="\n".join(["practical,item,amount,per,within", *needs]),
        timetable="\n".join(["session,practical,date,start,end,students", *rows]),
        stock=f"lot,item,amount,expiry,state\n{stock},,",
    )


def test_the_peak_is_of_what_is_out_at_once_and_not_the_sum() -> None:
    planned = _plan("2027-02-01,09:00,11:00", "2027-02-01,14:00,16:00", "2027-02-02,09:00,11:00")
    assert figures(planned.peak, planned.short) == (4, 0)
    assert planned.at == datetime(2027, 2, 1, 9)  # noqa: DTZ001 - the department's own clock


def test_sessions_that_overlap_add_up_from_the_later_start() -> None:
    planned = _plan("2027-02-01,09:00,11:00", "2027-02-01,10:30,12:00")
    assert figures(planned.peak, planned.held, planned.short) == (8, 6, 2)
    assert planned.at == datetime(2027, 2, 1, 10, 30)  # noqa: DTZ001


def test_what_comes_back_at_the_moment_another_begins_is_not_out_twice() -> None:
    assert _plan("2027-02-01,09:00,11:00", "2027-02-01,11:00,12:00").peak == 4


def test_washing_and_drying_keep_it_out() -> None:
    sessions = ("2027-02-01,09:00,11:00", "2027-02-01,11:30,12:00")
    assert _plan(*sessions, item="30,").peak == 4
    assert _plan(*sessions, item="31,").peak == 8


def test_turnaround_runs_past_midnight() -> None:
    assert _plan("2027-02-01,20:00,23:00", "2027-02-02,00:30,02:00", item="120,").peak == 8


@pytest.mark.parametrize("times", [",", "13:00,", ",13:00"])
def test_a_session_without_times_holds_it_all_day(times: str) -> None:
    planned = _plan(f"2027-02-01,{times}", "2027-02-01,09:00,10:00")
    assert (planned.peak, planned.at) == (8, datetime(2027, 2, 1, 9))  # noqa: DTZ001


def test_what_is_held_is_what_is_usable_on_the_first_day() -> None:
    assert _plan("2027-02-01,,", stock="L,funnel,6 each").held == 6
    assert _plan("2027-02-01,,", stock="L,funnel,6 each,2027-01-31,").held == 0


@pytest.mark.parametrize(
    ("within", "wanted"),
    [("60", 2), ("64", 1), ("63.9", 2), ("", 1)],
)
def test_a_shared_instrument_serves_its_uses_within_the_minutes_given(
    within: str, wanted: int
) -> None:
    """4 uses of 16 minutes are 64; the session itself lasts 120."""
    planned = _plan("2027-02-01,09:00,11:00", item=",16", lines=f"4 each,group,{within}")
    assert planned.peak == wanted


def test_lines_of_one_instrument_are_added_before_rounding() -> None:
    """0.4 + 0.5 of an instrument is one, and not two."""
    lines = "3 each,group,120;3 each,group,96"
    assert _plan("2027-02-01,09:00,11:00", item=",16", lines=lines).peak == 1


def test_without_within_and_without_times_it_is_not_computed_and_named() -> None:
    planned = _plan("2027-02-01,,", item=",16", lines="4 each,group,")
    assert planned.peak == 0
    assert [one.session.session for one in planned.not_computed] == ["S0"]
    both = _plan("2027-02-01,,", item=",16", lines="4 each,group,;4 each,group,32")
    assert (both.peak, len(both.not_computed)) == (2, 1)


def test_apparatus_is_neither_short_stock_nor_an_order() -> None:
    plan = _whole("2027-02-01,,", item=",", lines="9 each,group,", stock="L,funnel,6 each")
    assert plan.stock == {}
    assert plan.orders == ()
    assert plan.sessions[0].state == "covered"
    assert plan.apparatus[0].short == number(3)


def _clash(second: dict[str, str]) -> int:
    first = work("a", "2027-02-01", room="Lab 1", start="09:00", end="11:00")
    cells = {"room": "lab 1", "start": "10:00", "end": "12:00", "students": "1", **second}
    date = cells.pop("date", "2027-02-01")
    given = {name: text for name, text in cells.items() if text}
    return len(clashes([first, work("b", date, is_promised=False, **given)]))


@pytest.mark.parametrize(
    ("second", "found"),
    [
        ({}, 1),
        ({"start": "11:00"}, 0),
        ({"start": "10:59"}, 1),
        ({"start": "08:00", "end": "09:00"}, 0),
        ({"start": "08:00", "end": "09:01"}, 1),
        ({"room": "Lab 2"}, 0),
        ({"room": ""}, 0),
        ({"date": "2027-02-02"}, 0),
        ({"students": "0"}, 0),
        ({"start": "", "end": ""}, 0),
    ],
    ids=str,
)
def test_two_sessions_with_students_whose_times_overlap_in_one_room_clash(
    second: dict[str, str], found: int
) -> None:
    assert _clash(second) == found


@pytest.mark.parametrize(
    ("line", "bottles"),
    [
        ("group,,", 7),  # one a set: six groups and a demonstrator
        ("group,,3", 3),
        ("student,,2", 4),
        ("session,,", 1),
        ("session,,2", 4),
        ("group,yes,", 0),  # its stage is left out
    ],
)
def test_a_container_that_is_apparatus_counts_as_often_as_a_line_has_it(
    line: str, bottles: int
) -> None:
    plan = plan_of(
        items="item,kind,unit\nsalt,reagent,g\nBottle,apparatus,each\ncrate,consumable,each",
        practical_lines=f"""
            practical, item, amount, container, stage, per, optional, shared_by
            P,         salt, 1 g,    bottle,    s,     {line}""",
        timetable="""
            session, practical, date,       students, group_size, demonstrator_sets, leave_out
            S,       P,         2027-02-01, 12,       2,          1,"""
        + ("s" if "yes" in line else ""),
        stock="lot,item,amount\nB,Bottle,3 each",
    )
    assert plan.apparatus[0].peak == bottles
    assert needs_of(plan).get("Bottle", 0) == bottles
    assert plan.apparatus[0].short == max(0, bottles - 3)


def test_containers_add_to_other_lines_of_the_same_apparatus_before_rounding() -> None:
    plan = plan_of(
        items="item,kind,unit\nsalt,reagent,g\nbottle,apparatus,each",
        practical_lines="""
            practical, item,   amount,   container, per,     spare
            P,         salt,   1 g,      bottle,    group,   20 %
            P,         bottle, 2.5 each, ,          session, 0 %""",
        timetable="session,practical,date,students\nS,P,2027-02-01,4",
    )
    assert plan.apparatus[0].peak == 7  # 4 of the line, without its spare, and 2.5


def test_a_container_that_is_replaced_is_the_one_that_replaces_it() -> None:
    plan = plan_of(
        items="item,kind,unit\nsalt,reagent,g\nbottle,apparatus,each\njar,apparatus,each",
        practical_lines="practical,item,amount,per,container\nP,salt,1 g,group,bottle",
        timetable="session,practical,date,students\nS,P,2027-02-01,4",
        replacements="item,replaced_by\nbottle,jar",
    )
    assert {one.item.item: one.peak for one in plan.apparatus} == {"bottle": 0, "jar": 4}


@pytest.mark.parametrize("container", ["crate", "dropper bottle", "salt"])
def test_a_container_that_is_no_apparatus_counts_nothing(container: str) -> None:
    plan = plan_of(
        items="item,kind,unit\nsalt,reagent,g\nbottle,apparatus,each\ncrate,consumable,each",
        practical_lines=f"practical,item,amount,per,container\nP,salt,1 g,group,{container}",
        timetable="session,practical,date,students\nS,P,2027-02-01,4",
    )
    assert plan.apparatus[0].peak == 0
    assert needs_of(plan).keys() == {"salt"}
