from dataclasses import replace

from prepstore.planning.meeting_warnings import MEETING_WARNINGS, gravest
from prepstore.planning.plan import Plan
from prepstore.planning.warned import Warned
from tests.planning.a_waste_room import TABLES, a_waste_room, planned_with


def _warned(plan: Plan) -> dict[tuple[str, str], Warned]:
    return {(one.code, one.about): one for warn in MEETING_WARNINGS for one in warn(plan)}


def test_each_stream_and_place_is_warned_of_once() -> None:
    full = TABLES["stock"].replace("C,   chloroform, 0 L", "C,   propanone,  1 L")
    assert sorted(_warned(a_waste_room(stock=full))) == [
        ("halogenated-in-non-halogenated", "non-halogenated"),
        ("must-not-meet", "acid waste"),
        ("must-not-stand-together", "cupboard"),
    ]


def test_the_gravest_pairs_are_named_with_what_to_do_and_from_where() -> None:
    plan = a_waste_room()
    parts = _warned(plan)["must-not-meet", "acid waste"].parts
    assert str(parts["pairs"]).startswith("nitric (group 2) with propanone (group 19): it gets hot")
    assert "Never in one container" in str(parts["remedy"])
    assert parts["sessions"] == ("S1", "S2", "S3")
    apart = [
        one for one in plan.meetings.hits if one.name == "acid waste" and not one.is_in_one_thing
    ]
    assert parts["more"] == len(apart) - 2


def test_what_explodes_comes_before_what_burns_and_that_before_what_gets_hot() -> None:
    (one, *_) = a_waste_room().meetings.hits
    codes = [("S",), ("H",), ("H", "F"), (), ("GT",), ("H", "GT"), ("E",), ("X",)]
    hits = [
        replace(one, hit=replace(one.hit, pair=replace(one.hit.pair, codes=of))) for of in codes
    ]
    assert [hit.hit.codes for hit in gravest(hits)] == [
        ("X",), ("E",), ("H", "GT"), ("GT",), ("H", "F"), (), ("H",), ("S",),
    ]  # fmt: skip


def test_what_meets_only_in_one_solution_is_not_warned_of() -> None:
    assert ("must-not-stand-together", "bench") not in _warned(a_waste_room())


PROPANONE_ALONE = """
    practical, per,   item,      amount, spare, to
    R,         group, propanone, 20 mL,  0 %,   acid waste"""


def test_a_pair_says_which_of_the_two_is_in_the_container_already() -> None:
    plan = planned_with("acid waste", "nitric", practical_lines=PROPANONE_ALONE)
    parts = _warned(plan)["must-not-meet", "acid waste"].parts
    assert str(parts["pairs"]).startswith(
        "nitric (group 2, already in the container) with propanone (group 19): it gets hot"
    )
    assert (parts["sessions"], parts["more"]) == (("S3",), 0)


def test_what_has_met_in_the_container_already_is_not_warned_of_each_week() -> None:
    lines = PROPANONE_ALONE.replace("acid waste", "drain")
    plan = planned_with("acid waste", "nitric", "propanone", practical_lines=lines)
    assert [one for one in plan.meetings.hits if one.name == "acid waste"]
    assert ("must-not-meet", "acid waste") not in _warned(plan)
