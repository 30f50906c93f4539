"""What is left of batches on their last day, and in which stream it counts."""

import pytest

from prepstore.containers import level_of
from prepstore.planning.endings import Ended
from prepstore.planning.plan import Plan
from tests.builders import day, figures, number, stock_of, stream_of
from tests.planning.a_wash import a_wash

WASH = "brine, 30 mL, drain,"


def _left(plan: Plan) -> list[tuple[str, str, object, object]]:
    return [
        (one.name, one.date.isoformat()[5:], one.amount.expected, one.amount.allow_for)
        for one in plan.leftovers
    ]


def _brine(**cells: str) -> str:
    given = {"shelf_life": "0", "step": "", "to": "aqueous", **cells}
    return f"solution,{','.join(given)}\nbrine,{','.join(given.values())}"


def test_it_is_the_volume_less_what_sessions_take_without_spare_and_with_it() -> None:
    """60 mL are used, 72 with spare, and a flask of 100 mL is made."""
    plan = a_wash(WASH)
    assert _left(plan) == [("brine", "02-01", 40, 28)]
    aqueous = stream_of(plan, "aqueous")
    assert aqueous.total == Ended(number(40), number(28))
    assert aqueous.by_day == {day("02-01"): Ended(number(40), number(28))}


def test_a_batch_that_keeps_leaves_none() -> None:
    assert _left(a_wash(WASH, solutions=_brine(shelf_life=""))) == []


def test_a_batch_of_just_what_is_wanted_leaves_its_spare() -> None:
    plan = a_wash(WASH, solutions=_brine(step="72 mL"))
    assert _left(plan) == [("brine", "02-01", 12, 0)]
    assert stream_of(plan, "aqueous").total == Ended(number(12), number(0))


def test_a_batch_without_spare_and_without_rest_leaves_none() -> None:
    settings = "setting,value\nspare solution,0 %"
    plan = a_wash(WASH, solutions=_brine(step="60 mL"), settings=settings)
    assert _left(plan) == []


@pytest.mark.parametrize(
    ("stock", "left"),
    [
        # 22 of 72 mL are made: 12 of them are spare, 10 are not.
        ("50 mL", (40, 28)),
        # 7 of 72 mL are made: all of it is spare.
        ("65 mL", (50, 43)),
    ],
)
def test_what_stock_gives_is_used_first(stock: str, left: tuple[int, int]) -> None:
    lots = f"lot,item,amount,expiry\nL,brine,{stock},2027-02-01"
    assert _left(a_wash(WASH, stock=lots)) == [("brine", "02-01", *left)]


def test_one_batch_of_several_sessions_has_one_last_day() -> None:
    """Made on Friday 29 January, used on Monday and Tuesday, kept until Friday."""
    sessions = "session,practical,date,students\nS,P,2027-02-01,2\nT,P,2027-02-02,1"
    plan = a_wash(WASH, solutions=_brine(shelf_life="7", step="1 L"), timetable=sessions)
    assert _left(plan) == [("brine", "02-05", 910, 892)]
    assert list(stream_of(plan, "aqueous").by_day) == [day("02-05")]


def test_what_is_left_after_the_period_is_told_and_counts_in_no_stream_yet() -> None:
    plan = a_wash(WASH, solutions=_brine(shelf_life="30"))
    assert _left(plan) == [("brine", "02-28", 40, 28)]
    assert not stream_of(plan, "aqueous").total
    assert [left for _, left in plan.made] == [28]


def test_what_is_left_on_the_last_day_of_the_period_counts() -> None:
    """Made on Friday 29 January, kept until Sunday 7 February."""
    plan = a_wash(WASH, solutions=_brine(shelf_life="9"))
    assert stream_of(plan, "aqueous").by_day == {day("02-07"): Ended(number(40), number(28))}


def test_without_a_stream_it_is_told_and_counts_nowhere() -> None:
    plan = a_wash(WASH, solutions=_brine(to=""))
    assert _left(plan) == [("brine", "02-01", 40, 28)]
    assert [one.name for one in plan.waste.streams if one.total] == []
    assert plan.leftovers[0].to is None


def test_it_is_shared_out_as_the_solution_says() -> None:
    plan = a_wash(WASH, solutions=_brine(to="aqueous 75 %; drain 25 %"))
    assert stream_of(plan, "aqueous").total == Ended(number(30), number(21))
    drained = {end: ended for (end, _), ended in plan.waste.other_ends.items()}
    assert drained == {"drain": Ended(number(70), number(79))}


def test_what_is_poured_away_in_the_period_is_not_kept_after_it() -> None:
    plan = a_wash(WASH)
    assert [left for _, left in plan.made] == [0]
    (lot,) = plan.stores.after(plan).of("brine")
    assert lot.amount == 0
    assert [level_of(parts) for parts in plan.pours["aqueous"]] == [28]


def test_batches_for_sessions_before_the_period_fill_containers_first() -> None:
    """28 mL on Thursday before the week; 28 mL on Monday fill the container of 50 mL."""
    sessions = "session,practical,date,students\nR,P,2027-01-28,2\nS,P,2027-02-01,2"
    streams = "stream,measure,container,fill_limit\naqueous,volume,50 mL,100 %"
    plan = a_wash(WASH, timetable=sessions, waste_streams=streams)
    aqueous = stream_of(plan, "aqueous")
    assert aqueous.before == 28
    assert aqueous.total.allow_for == 28
    assert aqueous.full_on == (day("02-01"),)
    assert _left(plan) == [("brine", "02-01", 40, 28)]
    assert [left for _, left in plan.made] == [0, 0]


def test_waste_of_one_day_from_before_and_of_the_period_is_added() -> None:
    """A batch for Thursday keeps until Monday, when the week's first waste comes: 28 + 28 mL."""
    sessions = "session,practical,date,students\nR,P,2027-01-28,2\nS,Q,2027-02-01,2"
    streams = "stream,measure,container,fill_limit\naqueous,volume,50 mL,100 %"
    lines = "practical,per,item,amount,to\nP,group,brine,30 mL,drain\nQ,session,water,28 mL,aqueous"
    plan = a_wash(
        solutions=_brine(shelf_life="5"),
        practicals="practical,title\nP,x\nQ,y",
        practical_lines=lines,
        timetable=sessions,
        waste_streams=streams,
    )
    aqueous = stream_of(plan, "aqueous")
    assert figures(aqueous.before, aqueous.total.allow_for) == (28, 28)
    assert aqueous.full_on == (day("02-01"),)
    assert stock_of(plan, "brine").needed == 0
