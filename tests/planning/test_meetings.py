"""What meets, by hand: nitric acid is in groups 2, propanone in 19, hydrochloric acid in 1."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.cell_types import fold
from prepstore.containers import Content
from prepstore.planning.calendar import Period
from prepstore.planning.composition import substance_of
from prepstore.planning.make_plan import plan_period
from prepstore.planning.meetings import Meeting
from prepstore.planning.plan import Plan
from prepstore.safety.meeting.meetings import hits_among
from prepstore.safety.meeting.remedies import Where
from tests.builders import day, number
from tests.planning.a_waste_room import TABLES, a_waste_room, holding_already, planned_with


def _among(plan: Plan, name: str, *substances: str) -> list[Meeting]:
    return [
        one for one in plan.meetings.hits if one.name == name and one.hit.substances == substances
    ]


def _hits(name: str, *substances: str, **tables: str) -> list[Meeting]:
    return _among(a_waste_room(**tables), name, *substances)


def test_nitric_acid_and_propanone_in_one_container_are_a_hit_of_both_sessions() -> None:
    """EPA-600/2-80-076: groups 2 and 19, heat and fire."""
    (hit,) = _hits("acid waste", "nitric", "propanone")
    assert (hit.where, hit.hit.groups, hit.hit.codes) == (Where.STREAM, (2, 19), ("H", "F"))
    assert hit.sessions == ("S1", "S3")
    assert not hit.is_in_one_thing


def test_all_sessions_of_one_size_are_named() -> None:
    timetable = TABLES["timetable"] + "\n        S4,      P,         2027-02-04, 2"
    (hit,) = _hits("acid waste", "nitric", "propanone", timetable=timetable)
    assert hit.sessions == ("S1", "S3", "S4")


def test_what_does_not_end_in_a_stream_meets_nothing_there() -> None:
    lines = TABLES["practical_lines"].replace("acid waste 50 %; air 50 %", "air")
    assert _hits("acid waste", "nitric", "propanone", practical_lines=lines) == []


def test_a_solution_is_told_as_what_it_is_made_of() -> None:
    (hit,) = _hits("acid waste", "acid", "bicarb")
    assert (hit.hit.groups, hit.sessions) == ((1, 10), ("S2",))
    (own,) = _hits("acid waste", "acid", "water")
    assert own.is_in_one_thing


def test_what_an_agent_holds_back_meets_what_is_in_its_stream() -> None:
    lines = TABLES["practical_lines"] + "\n        P, group, nitric, 1 mL, 0 %, solids,"
    (hit,) = _hits("solids", "nitric", "propanone", practical_lines=lines)
    assert hit.sessions == ("S1", "S3")


def test_places_are_compared_without_case_and_empty_lots_do_not_count() -> None:
    hits = [one for one in a_waste_room().meetings.hits if one.where is Where.PLACE]
    assert {(one.name, one.hit.substances, one.is_in_one_thing) for one in hits} == {
        ("bench", ("acid", "water"), True)
    }
    full = TABLES["stock"].replace("C,   chloroform, 0 L", "C,   propanone,  1 L")
    (hit,) = _hits("cupboard", "nitric", "propanone", stock=full)
    assert (hit.where, hit.sessions) == (Where.PLACE, ())


def test_a_halogenated_solvent_in_a_non_halogenated_container_is_named() -> None:
    (found,) = a_waste_room().meetings.halogenated
    assert (found.stream, found.substances) == ("non-halogenated", ("chloroform",))
    assert found.sessions == ("S3",)


def test_what_has_no_group_and_what_an_open_container_holds_is_not_checked() -> None:
    found = {
        (one.name, one.unchecked.substance)
        for one in a_waste_room().meetings.not_checked
        if one.where is Where.STREAM
    }
    assert found == {
        ("acid waste", "table salt"), ("non-halogenated", "unknown"), ("solids", "powder"),
    }  # fmt: skip


def test_nothing_of_something_is_sent_by_nobody() -> None:
    more = """
        P, group, nitric,    1 mL, 0 %, solids,
        Q, group, propanone, 0 mL, 0 %, acid waste,
        Q, group, powder,    2 g,  0 %, solids,     propanone"""
    lines = TABLES["practical_lines"] + more
    (poured,) = _hits("acid waste", "nitric", "propanone", practical_lines=lines)
    (held,) = _hits("solids", "nitric", "propanone", practical_lines=lines)
    assert poured.sessions == held.sessions == ("S1", "S3")


def test_two_solutions_of_the_same_substances_do_meet() -> None:
    both = {
        "solutions": "solution\nthin acid\nthick acid",
        "solution_parts": TABLES["solution_parts"]
        + "\n        thick acid, acid, 500 mL/L\n        thick acid, water, to volume",
        "practical_lines": TABLES["practical_lines"]
        + "\n        Q, group, thick acid, 10 mL, 0 %, acid waste,",
    }
    (hit,) = _hits("acid waste", "acid", "water", **both)
    assert not hit.is_in_one_thing


# What the open container holds already.

ONLY_DRYING = "\n".join(
    line for line in TABLES["practical_lines"].splitlines() if line.strip()[:2] not in ("P,", "Q,")
)
"""The lines of R alone: propanone to acid waste, chloroform to non-halogenated."""


def _drying(*things: str, unknown: int = 0, **tables: str) -> Plan:
    """Return a plan that sends propanone to acid waste, where some things are already."""
    given = {"practical_lines": ONLY_DRYING, **tables}
    return planned_with("acid waste", *things, unknown=unknown, of_each=20, **given)


def _unchecked(plan: Plan, stream: str = "acid waste") -> dict[str, str]:
    return {
        one.unchecked.substance: one.unchecked.because
        for one in plan.meetings.not_checked
        if (one.where, one.name) == (Where.STREAM, stream)
    }


def test_what_is_sent_meets_what_is_in_the_open_container() -> None:
    """EPA-600/2-80-076: groups 2 and 19, heat and fire. Only S3 sends propanone."""
    (hit,) = _among(_drying("nitric"), "acid waste", "nitric", "propanone")
    assert (hit.hit.groups, hit.hit.codes, hit.sessions) == ((2, 19), ("H", "F"), ("S3",))
    assert (hit.sent, hit.already_there, hit.from_before) == (
        ("propanone",), ("nitric",), ("nitric",),
    )  # fmt: skip
    assert hit.is_to_come
    assert not hit.is_in_one_thing
    assert _among(_drying(), "acid waste", "nitric", "propanone") == []


def test_what_is_there_and_sent_as_well_is_not_from_before() -> None:
    (hit,) = _among(planned_with("acid waste", "nitric"), "acid waste", "nitric", "propanone")
    assert (hit.sent, hit.already_there) == (("nitric", "propanone"), ("nitric",))
    assert hit.from_before == ()
    assert hit.sessions == ("S1", "S3")


def test_a_solution_in_the_open_container_is_told_as_what_it_is_made_of() -> None:
    """EPA-600/2-80-076: groups 1 and 19, heat."""
    plan = _drying("thin acid")
    (hit,) = _among(plan, "acid waste", "acid", "propanone")
    assert (hit.hit.groups, hit.hit.codes, hit.already_there) == ((1, 19), ("H",), ("acid",))
    (own,) = _among(plan, "acid waste", "acid", "water")
    assert own.is_in_one_thing
    (apart,) = _among(_drying("thin acid", "water"), "acid waste", "acid", "water")
    assert not apart.is_in_one_thing


def test_two_that_are_in_the_container_have_met_already() -> None:
    plan = _drying("nitric", "acid", "alkali")
    (hit,) = _among(plan, "acid waste", "alkali", "nitric")
    assert (hit.sent, hit.from_before, hit.sessions) == ((), ("alkali", "nitric"), ())
    assert not hit.is_to_come
    assert _among(plan, "acid waste", "nitric", "propanone")[0].is_to_come


def test_only_what_is_really_unknown_of_an_open_container_is_a_row_unknown() -> None:
    assert "unknown" not in _unchecked(_drying())
    assert "unknown" not in _unchecked(_drying("nitric"))
    assert _unchecked(_drying(unknown=1))["unknown"].startswith("what the open container")
    assert _unchecked(_drying("nitric", unknown=1))["unknown"].startswith("part of what")


def test_what_of_a_solution_no_part_accounts_for_is_unknown_in_the_container_too() -> None:
    parts = TABLES["solution_parts"].replace("thin acid, water, to volume", "")
    plan = _drying("thin acid", solution_parts=parts)
    assert _unchecked(plan)["unknown"].startswith("part of what")
    assert len(_among(plan, "acid waste", "acid", "propanone")) == 1


def test_what_has_no_group_in_the_open_container_is_not_checked() -> None:
    assert set(_unchecked(_drying("table salt", "glove"))) == {"table salt"}


def test_what_the_tables_do_not_have_any_more_is_named() -> None:
    made = holding_already("acid waste", "nitric")
    held = made.stores.containers["acid waste"]
    lost = Content("old mixture", Kind.VOLUME, number(5), number(5))
    held = replace(held, known=(*held.known, lost), filled=held.filled + 5)
    stores = replace(made.stores, containers={**made.stores.containers, "acid waste": held})
    week = Period.of_week("2027-W05")
    plan = plan_period(made.catalogue, made.timetable, stores, week, day("01-25"))
    assert _unchecked(plan)["old mixture"] == "it is not in the tables any more"
    assert "unknown" not in _unchecked(plan)


def test_only_what_is_sent_is_a_halogenated_solvent_in_the_wrong_container() -> None:
    lines = ONLY_DRYING.replace("chloroform", "propanone")
    plan = planned_with("non-halogenated", "chloroform", practical_lines=lines)
    assert plan.meetings.halogenated == ()


def test_the_week_after_sees_what_the_week_before_poured_in() -> None:
    """Nitric acid goes in in the first week, propanone in the second."""
    sessions = TABLES["timetable"].replace("S3,      R,         2027-02-03", "S3, R, 2027-02-10")
    made = holding_already("acid waste", timetable=sessions)
    first = made.plan(Period.of_week("2027-W05"), day("01-25"))
    assert _among(first, "acid waste", "nitric", "propanone") == []
    stores, week = first.stores.after(first), Period.of_week("2027-W06")
    second = plan_period(made.catalogue, made.timetable, stores, week, week.first)
    (hit,) = _among(second, "acid waste", "nitric", "propanone")
    assert (hit.sessions, hit.from_before) == (("S3",), ("nitric",))
    assert "unknown" not in _unchecked(second)


SUBSTANCES = {
    "acid": "mL", "nitric": "mL", "soda": "g", "bicarb": "g", "alkali": "g", "propanone": "mL",
    "chloroform": "mL", "vinegar": "mL",
}  # fmt: skip


@given(st.sets(st.sampled_from(list(SUBSTANCES))), st.sets(st.sampled_from(list(SUBSTANCES))))
def test_the_pairs_are_those_of_all_that_is_there_and_all_that_is_sent(
    there: set[str], sent: set[str]
) -> None:
    lines = [f"P,group,{name},10 {SUBSTANCES[name]},acid waste" for name in sorted(sent)]
    plan = planned_with(
        "acid waste",
        *sorted(there),
        practical_lines="\n".join(["practical,per,item,amount,to", *lines]),
        timetable="session,practical,date,students\nS1,P,2027-02-01,2",
    )
    items = plan.catalogue.items
    expected = hits_among(substance_of(items[fold(name)]) for name in there | sent)
    found = [one for one in plan.meetings.hits if one.name == "acid waste"]
    assert [one.hit for one in found] == list(expected)
    for one in found:
        pair = set(one.hit.substances)
        assert set(one.sent) == pair & sent
        assert set(one.already_there) == pair & there
        assert one.sessions == ("S1",) * bool(pair & sent)
        assert one.is_to_come == bool(pair & sent)


def test_what_is_left_of_a_batch_is_in_one_thing_too() -> None:
    """Thin acid is made on the day, and the rest of the flask is poured away."""
    plan = a_waste_room(
        solutions="solution,shelf_life,to\nthin acid,0,acid waste",
        practical_lines="practical,per,item,amount,to\nQ,group,thin acid,60 mL,drain",
        stock="",
    )
    (hit,) = _among(plan, "acid waste", "acid", "water")
    assert hit.is_in_one_thing
    assert (hit.sent, hit.sessions) == (("acid", "water"), ())
