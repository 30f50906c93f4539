"""Rule 11: where amounts end, in which measure, and how many containers they fill."""

import pytest

from prepstore.amounts import Kind
from prepstore.planning.plan import Plan
from prepstore.planning.waste import streams_in_scripts, waste_ends
from tests.builders import day, figures, number, plan_of, problems_of, stream_of

ITEMS = """
    item,    kind,       unit, density
    dcm,     solvent,    mL,   1.25
    acetone, solvent,    mL,
    salt,    reagent,    g,    2
    sand,    reagent,    g,
    paper,   consumable, each,
    tissue,  consumable, g,
    funnel,  apparatus,  each,"""


def _plan(*lines: str, streams: str = "", dates: tuple[str, ...] = ("02-01",)) -> Plan:
    """Plan one group a day with 20 % on solvents, 10 % on reagents; a line is item, amount, to."""
    timetable = [f"{date},P,2027-{date},1" for date in dates]
    header = "stream,measure,container,fill_limit,part_full"
    return plan_of(
        items=ITEMS,
        solutions="solution\nbrine",
        practical_lines="\n".join(
            ["practical,per,item,amount,to", *(f"P,group,{line}" for line in lines)]
        ),
        timetable="\n".join(["session,practical,date,students", *timetable]),
        waste_streams=f"{header}\n{streams or 'liquid,volume,,,'}\nsolid,mass,,,",
    )


def _total(plan: Plan, stream: str) -> tuple[object, object]:
    total = stream_of(plan, stream).total
    return total.expected, total.allow_for


def test_expected_is_without_spare_and_allow_for_is_with_it() -> None:
    assert _total(_plan("dcm, 100 mL, liquid"), "liquid") == (100, 120)


def test_a_line_is_shared_out_and_the_rest_goes_where_it_says() -> None:
    plan = _plan("dcm, 100 mL, liquid 90 %; air 7.5 %; kept 2.5 %")
    assert _total(plan, "liquid") == (90, 108)
    ends = {end: ended.allow_for for (end, _), ended in plan.waste.other_ends.items()}
    assert ends == {"air": 9, "kept": 3}


def test_a_stream_by_volume_takes_mass_through_density_and_the_other_way_round() -> None:
    plan = _plan("salt, 10 g, liquid", "dcm, 100 mL, solid")
    assert _total(plan, "liquid") == (5, number("5.5"))
    assert _total(plan, "solid") == (125, 150)


@pytest.mark.parametrize(
    ("line", "stream"),
    [
        ("sand, 10 g, liquid", "liquid"),
        ("paper, 2 each, liquid", "liquid"),
        ("paper, 2 each, solid", "solid"),
        ("acetone, 1 mL, solid", "solid"),
        ("brine, 1 mL, solid", "solid"),
    ],
)
def test_what_cannot_be_turned_counts_nothing_and_is_named(line: str, stream: str) -> None:
    plan = _plan(line)
    assert _total(plan, stream) == (0, 0)
    assert stream_of(plan, stream).uncounted == (line.split(",", maxsplit=1)[0],)


def test_a_reagent_solvent_or_solution_without_an_end_is_not_assigned_by_unit() -> None:
    plan = _plan("dcm, 10 mL,", "brine, 10 mL,", "salt, 10 g,", "tissue, 5 g,", "funnel, 1 each,")
    rows = {s.kind: s.total.allow_for for s in plan.waste.streams if s.stream is None}
    assert rows == {Kind.VOLUME: 24, Kind.MASS: 11}
    assert all(s.name == "not assigned" for s in plan.waste.streams if s.stream is None)


def test_apparatus_has_no_end() -> None:
    found = problems_of(
        items=ITEMS,
        practical_lines="practical,per,item,amount,to\nP,group,funnel,1 each,solid",
        waste_streams="stream,measure\nsolid,mass",
    )
    assert found == ["apparatus-to"]


def test_shares_that_do_not_add_up_are_an_error() -> None:
    found = problems_of(
        items=ITEMS,
        practical_lines="practical,per,item,amount,to\nP,group,dcm,1 mL,solid 90 %; air 9 %",
        waste_streams="stream,measure\nsolid,mass",
    )
    assert found == ["shares-do-not-add-up"]


@pytest.mark.parametrize(
    ("part_full", "containers", "full_on"),
    [
        ("", 1, []),  # 120 of 160
        ("40 mL", 1, ["02-01"]),  # just full
        ("40.001 mL", 2, ["02-01"]),
        ("160 mL", 2, ["01-25"]),  # full already, today
        ("200 mL", 2, ["01-25", "02-01"]),  # full, and with 120 more the second too
        ("201 mL", 3, ["01-25", "02-01"]),
    ],
)
def test_containers_are_filled_to_their_limit_the_open_one_included(
    part_full: str, containers: int, full_on: list[str]
) -> None:
    """Of 200 mL filled to 80 %: 160 mL each."""
    plan = _plan("dcm, 100 mL, liquid", streams=f"liquid,volume,200 mL,80 %,{part_full}")
    stream = stream_of(plan, "liquid")
    assert stream.containers == containers
    assert stream.full_on == tuple(day(date) for date in full_on)


def test_the_fill_limit_is_90_per_cent_where_none_is_given() -> None:
    plan = _plan("dcm, 75 mL, liquid", streams="liquid,volume,100 mL,,")
    assert figures(stream_of(plan, "liquid").filling, stream_of(plan, "liquid").containers) == (
        90,
        1,
    )


def test_a_stream_without_a_container_has_none() -> None:
    stream = stream_of(_plan("dcm, 100 mL, liquid"), "liquid")
    assert (stream.containers, stream.full_on) == (0, ())


def test_each_day_is_added_up_and_each_filling_has_its_day() -> None:
    """120 mL a day into 90 mL each: 1.33, 2.67, 4 containers."""
    plan = _plan(
        "dcm, 100 mL, liquid",
        streams="liquid,volume,100 mL,90 %,",
        dates=("02-02", "02-03", "02-01"),
    )
    stream = stream_of(plan, "liquid")
    assert {d: e.allow_for for d, e in stream.by_day.items()} == {
        day("02-01"): 120, day("02-02"): 120, day("02-03"): 120,
    }  # fmt: skip
    assert stream.containers == 4
    assert stream.full_on == tuple(day(date) for date in ("02-01", "02-02", "02-03", "02-03"))


def test_what_is_done_leaves_no_waste_in_the_plan() -> None:
    plan = plan_of(
        today="2027-02-02",
        items=ITEMS,
        practical_lines="practical,per,item,amount,to\nP,group,dcm,10 mL,liquid",
        timetable="session,practical,date,students\nS,P,2027-02-01,1\nT,P,2027-02-02,1",
        waste_streams="stream,measure\nliquid,volume",
    )
    assert _total(plan, "liquid") == (10, 12)


def test_levels_begin_with_what_is_in_the_container_and_rise_by_day() -> None:
    plan = _plan(
        "dcm, 100 mL, liquid", streams="liquid,volume,1 L,80 %,200 mL", dates=("02-01", "02-03")
    )
    days = [day("02-01"), day("02-02"), day("02-03")]
    levels = stream_of(plan, "liquid").levels(days)
    assert levels == tuple(number(level) for level in ("0.25", "0.4", "0.4", "0.55"))


def test_the_last_level_is_what_containers_are_counted_from() -> None:
    plan = _plan("dcm, 1 L, liquid", streams="liquid,volume,1 L,80 %,200 mL")
    (rising,) = plan.waste.rising()
    assert figures(rising.levels[-1], rising.top) == (number("1.75"), 2)
    assert rising.stream.containers == rising.top


def test_only_streams_by_volume_with_a_container_that_collect_rise() -> None:
    streams = "liquid,volume,1 L,,\ntank,volume,,,\nidle,volume,1 L,,"
    plan = _plan("dcm, 1 mL, liquid", "dcm, 1 mL, tank", "sand, 1 g, solid", streams=streams)
    assert [one.stream.name for one in plan.waste.rising()] == ["liquid"]
    assert stream_of(plan, "tank").levels(plan.waste.days) == ()
    assert plan.waste.days == (day("02-01"),)


def _ends(*lines: str, name: str = "brine") -> dict[str, tuple[str, ...]]:
    plan = _plan(*lines)
    return waste_ends(name, plan.works, plan.catalogue.streams)


def test_waste_of_something_ends_in_streams_and_the_drain_by_practical() -> None:
    assert _ends("brine, 1 mL, Liquid 60 %; drain 20 %; kept 10 %; air 10 %") == {
        "liquid": ("P",),
        "drain": ("P",),
    }


def test_waste_without_an_end_is_not_assigned_and_what_is_kept_is_no_waste() -> None:
    assert _ends("brine, 1 mL,") == {"not assigned": ("P",)}
    assert _ends("brine, 1 mL, kept", "dcm, 1 mL, liquid") == {}


def test_waste_of_sessions_before_the_period_fills_containers_first() -> None:
    """120 mL a session. With 30 mL in it and 200 mL a container: Thursday 150, Friday 270 (full on
    Friday), Monday 390, Tuesday 510 (the second full on Tuesday): three containers."""
    plan = _plan(
        "dcm, 100 mL, liquid",
        streams="liquid,volume,200 mL,100 %,30 mL",
        dates=("01-28", "01-29", "02-01", "02-02"),
    )
    liquid = stream_of(plan, "liquid")
    assert figures(liquid.before, liquid.total.allow_for, liquid.containers) == (240, 240, 3)
    assert liquid.full_on == (day("01-29"), day("02-02"))
    assert list(liquid.by_day) == [day("02-01"), day("02-02")]
    levels = [level * 20 for level in liquid.levels(tuple(liquid.by_day))]
    assert levels == [27, 39, 51]  # twentieths of a container


def test_sessions_that_are_over_leave_nothing_before() -> None:
    plan = _plan("dcm, 100 mL, liquid", dates=("01-22", "02-01"))
    assert stream_of(plan, "liquid").before == 0


def test_what_is_not_assigned_before_the_period_stands_beside_what_is_in_it() -> None:
    plan = _plan("dcm, 100 mL,", dates=("01-28", "02-01"))
    assert figures(
        stream_of(plan, "not assigned").before, stream_of(plan, "not assigned").total.allow_for
    ) == (120, 120)


def test_what_only_sessions_before_the_period_leave_unassigned_has_a_row() -> None:
    plan = _plan("dcm, 100 mL, ", dates=("01-28",))
    (row,) = [one for one in plan.waste.streams if one.stream is None]
    assert figures(row.before, row.total.allow_for, row.by_day) == (120, 0, {})


def test_scripts_say_to_which_streams_something_goes_the_last_replacement_s_word_first() -> None:
    plan = _plan("dcm, 100 mL, liquid", "dcm, 1 mL, drain", "brine, 5 mL, liquid")
    assert streams_in_scripts("dcm", plan.catalogue) == ("liquid",)
    assert streams_in_scripts("sand", plan.catalogue) == ()
    replaced = plan_of(
        items="item,kind,unit\nold,solvent,mL\nnew,solvent,mL",
        practical_lines="practical,item,amount,per,to\nP,old,1 mL,group,liquid",
        replacements="item,replaced_by,to\nold,new,other",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        waste_streams="stream,measure\nliquid,volume\nother,volume",
    )
    assert streams_in_scripts("new", replaced.catalogue) == ("other",)
    assert streams_in_scripts("old", replaced.catalogue) == ()
