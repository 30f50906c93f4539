from decimal import Decimal

from prepstore.chemistry.neutralising import AcidBaseBalance
from prepstore.planning.acidity import StreamAcidity
from prepstore.report.meeting_words import (
    acidity_in_words,
    gas_in_words,
    not_checked_in_words,
    pairs_in_words,
    reactions_of_session,
    streams_that_react,
    worth_telling,
)
from tests.planning.a_waste_room import TABLES, a_waste_room, planned_with


def test_a_pair_is_named_once_with_all_that_happens() -> None:
    hits = [one for one in a_waste_room().meetings.hits if one.name == "acid waste"]
    words = pairs_in_words(hits, 2)
    assert words.startswith("nitric with propanone: it gets hot; it may catch fire")
    pairs = {one.hit.substances for one in hits}
    assert words.endswith(f"; and {len(pairs) - 2} more")
    assert "more" not in pairs_in_words(hits, 99)


def test_each_stream_that_reacts_says_what_to_do() -> None:
    ((name, words),) = streams_that_react(a_waste_room(), 1)
    assert name == "acid waste"
    assert words.endswith("add nothing, leave the cap loose, and ask.")


def test_a_session_is_told_of_its_own_streams_and_gas() -> None:
    plan = a_waste_room()
    oxidising, washing, drying = (list(reactions_of_session(plan, work)) for work in plan.works)
    assert oxidising[0].startswith("in acid waste, nitric with propanone")
    assert washing[-1] == (
        "up to 9.6 L of carbon dioxide, 2.4 L a group: let it off before a funnel or a bottle is "
        "closed"
    )
    assert len(drying) == 1


def test_a_breath_of_gas_is_not_told() -> None:
    lines = TABLES["practical_lines"].replace("8.4 g,   0 %", "5 mg,    0 %")
    plan = a_waste_room(practical_lines=lines)
    assert len(plan.gas_of_streams) == 1
    assert list(worth_telling(plan.gas_of_streams)) == []


def test_gas_and_acidity_say_what_is_not_counted() -> None:
    lines = TABLES["practical_lines"] + "\n        Q, group, vinegar, 10 mL, 0 %, acid waste,"
    plan = a_waste_room(practical_lines=lines)
    assert "(not counted: vinegar)" in gas_in_words(plan.gas_of_streams[0])
    words = acidity_in_words(plan.acidity_of_streams[0])
    assert words.startswith("acids 0.79 mol, bases 0.4 mol: 0.39 mol too much acid; not counted")
    assert "no pH" in words


def test_a_stream_that_is_neutral_says_so() -> None:
    one = Decimal(1)
    neutral = StreamAcidity("washings", AcidBaseBalance(one, one, one, one))
    assert acidity_in_words(neutral).startswith("acids 2 mol, bases 2 mol: as much acid as base.")


def test_what_was_not_checked_is_named_by_stream() -> None:
    assert dict(not_checked_in_words(a_waste_room())) == {
        "acid waste": "table salt",
        "non-halogenated": "what is in the open container",
        "solids": "powder",
    }


def test_what_only_the_open_container_has_says_so() -> None:
    lines = "practical,per,item,amount,to\nR,group,propanone,20 mL,acid waste"
    plan = planned_with("acid waste", "nitric", practical_lines=lines)
    (work,) = [work for work in plan.works if work.session.session == "S3"]
    (told,) = reactions_of_session(plan, work)
    assert told.startswith("in acid waste, nitric (already in the container) with propanone: it")
    both = planned_with("acid waste", "nitric", "propanone", practical_lines=lines)
    ((_, words),) = streams_that_react(both, 1)
    assert words.startswith("nitric (already in the container) with propanone: it gets hot")
    nothing = lines.replace("acid waste", "drain")
    before = planned_with("acid waste", "nitric", "propanone", practical_lines=nothing)
    ((_, words),) = streams_that_react(before, 1)
    assert words.startswith("nitric with propanone (both already in the container): it gets hot")
    assert not [told for work in before.works for told in reactions_of_session(before, work)]


def test_what_is_known_in_part_of_the_open_container_is_not_checked_in_part() -> None:
    plan = planned_with("acid waste", "nitric", unknown=5)
    assert dict(not_checked_in_words(plan))["acid waste"] == (
        "table salt / part of what is in the open container"
    )
