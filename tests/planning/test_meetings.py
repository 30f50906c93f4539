"""What meets, by hand: nitric acid is in groups 2, propanone in 19, hydrochloric acid in 1."""

from prepstore.planning.meetings import Meeting
from prepstore.safety.meeting.remedies import Where
from tests.planning.a_waste_room import TABLES, a_waste_room


def _hits(name: str, *substances: str, **tables: str) -> list[Meeting]:
    return [
        one
        for one in a_waste_room(**tables).meetings.hits
        if one.name == name and one.hit.substances == substances
    ]


def test_nitric_acid_and_propanone_in_one_container_are_a_hit_of_both_sessions() -> None:
    """EPA-600/2-80-076: groups 2 and 19, heat and fire."""
    (hit,) = _hits("acid waste", "nitric", "propanone")
    assert (hit.where, hit.hit.groups, hit.hit.codes) == (Where.STREAM, (2, 19), ("H", "F"))
    assert hit.sessions == ("S1", "S3")
    assert not hit.is_in_one_thing


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
