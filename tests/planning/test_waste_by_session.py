"""What each session sends to each stream: the worked example, and sums that close."""

from collections import defaultdict
from decimal import Decimal

import pytest

from prepstore.amounts import ZERO, Kind, settle
from prepstore.cell_types import fold
from prepstore.planning.demands import SessionWork
from prepstore.planning.endings import Ended
from prepstore.planning.make_plan import plan_period
from prepstore.planning.plan import Plan
from prepstore.planning.waste_by_session import Sent, sent_to_streams
from tests.builders import day, number, plan_of, stream_of
from tests.planning.a_wash import ITEMS, a_wash
from tests.planning.shared_cases import law
from tests.planning.small_inventories import Case

TWO_DAYS = """
    session, practical, date,       start, students
    A late,  P,         2027-02-01, 14:00, 2
    S,       P,         2027-02-01, 09:00, 2
    next,    P,         2027-02-02, ,      4"""


def _by_source(plan: Plan, stream: str) -> dict[str, Sent]:
    return {
        one.of.session.session if isinstance(one.of, SessionWork) else f"left of {one.of.name}": one
        for one in sent_to_streams(plan)
        if fold(one.stream.name) == stream
    }


def _ended(expected: object, allow_for: object) -> Ended:
    return Ended(number(expected), number(allow_for))


def _in_it(sent: Sent) -> list[tuple[str, Ended, Ended, bool]]:
    return [(one.item.item, one.ml, one.g, one.is_held_back) for one in sent.composition.contained]


def test_a_session_and_what_is_left_of_its_batch_each_send_their_part() -> None:
    """60 mL of 10 % w/v, 72 mL with spare; of the 100 mL made 40 mL and 28 mL are left."""
    found = _by_source(a_wash(), "aqueous")
    assert list(found) == ["S", "left of brine"]
    assert {one.day for one in found.values()} == {day("02-01")}
    assert found["S"].amount == _ended(60, 72)
    assert _in_it(found["S"]) == [
        ("water", _ended(60, 72), _ended(60, 72), False),
        ("salt", Ended(), _ended(6, "7.2"), False),
    ]
    assert found["left of brine"].amount == _ended(40, 28)
    assert _in_it(found["left of brine"]) == [
        ("water", _ended(40, 28), _ended(40, 28), False),
        ("salt", Ended(), _ended(4, "2.8"), False),
    ]


def test_what_is_held_back_and_what_is_not_measured_are_told_of_the_session() -> None:
    """By hand in docs/explanation/what-is-in-the-waste.md; papers have no mass."""
    (solid,) = _by_source(a_wash(), "solid").values()
    assert solid.amount == _ended(10, 11)
    assert _in_it(solid) == [
        ("drying agent", Ended(), _ended(10, 11), False),
        ("ethyl acetate", _ended("4.6", "5.3"), _ended("4.14", "4.77"), True),
    ]
    assert solid.uncounted == ("filter paper",)


def test_rows_are_in_the_order_of_the_clock_each_on_its_day() -> None:
    found = _by_source(a_wash("water, 5 mL, aqueous,", timetable=TWO_DAYS), "aqueous")
    assert [(name, one.day, one.amount) for name, one in found.items()] == [
        ("S", day("02-01"), _ended(10, 12)),
        ("A late", day("02-01"), _ended(10, 12)),
        ("next", day("02-02"), _ended(20, 24)),
    ]


def test_what_is_not_assigned_and_what_is_unknown_have_their_rows() -> None:
    plan = a_wash("water, 5 mL, ,", "brine, 30 mL, aqueous,", solution_parts="")
    found = {one.stream.name: one for one in sent_to_streams(plan) if one.of in plan.works}
    assert _in_it(found["not assigned"]) == [("water", _ended(10, 12), _ended(10, 12), False)]
    unknown = found["aqueous"].composition
    assert (unknown.unknown, unknown.unknown_ml) == (("brine",), _ended(60, 72))


def test_a_session_that_is_over_or_sends_nothing_has_no_row() -> None:
    plan = a_wash("water, 5 mL, kept,", "water, 5 mL, aqueous,", timetable=TWO_DAYS)
    assert {one.stream.name for one in sent_to_streams(plan)} == {"aqueous"}
    over = plan.catalogue, plan.timetable, plan.stores, plan.period, day("02-02")
    assert list(_by_source(plan_period(*over), "aqueous")) == ["next"]


def _thick(*sessions: str) -> Plan:
    """Return a week in which each student pours 1 g of 0.3 g/mL, and 5 mL of water."""
    items = ITEMS + "\n    thick,         solvent,    g,    0.3,     ,          ,        ,"
    return a_wash(
        "thick, 1 g, aqueous,",
        "water, 5 mL, aqueous,",
        "brine, 1 mL, aqueous,",
        items=items,
        solutions="solution\nbrine",
        solution_parts="",
        practicals="practical,title,group_size\nP,A practical,1",
        timetable="\n".join(["session,practical,date,students", *sessions]),
    )


@pytest.mark.parametrize("sessions", [2, 3, 7, 40])
def test_thirds_add_up_to_the_last_digit(sessions: int) -> None:
    plan = _thick(*(f"S{one},P,2027-02-0{one % 5 + 1},1" for one in range(sessions)))
    found = list(_by_source(plan, "aqueous").values())
    contained = [one for sent in found for one in sent.composition.contained]
    thick = [one.ml for one in contained if one.item.item == "thick"]
    third = Decimal(10) / Decimal(3)
    assert len(thick) == sessions
    assert sum((one.expected for one in thick), ZERO) == settle(third * sessions)
    assert all(abs(one.expected - third) <= Decimal("1e-9") for one in thick)
    by_day: dict[object, Decimal] = defaultdict(Decimal)
    for sent in found:
        by_day[sent.day] += sent.amount.expected
        assert sent.composition.unknown == ("brine",)
        assert sent.composition.unknown_ml.expected == 1
    of_days = stream_of(plan, "aqueous").by_day
    assert by_day == {on: settle(amount.expected) for on, amount in of_days.items()}


def test_only_what_does_not_end_is_rounded_another_way() -> None:
    """Three students pour 10 mL, to the last digit; one pours 3.333… mL."""
    plan = _thick(*(f"S{one},P,2027-02-01,{3 if one < 3 else 1}" for one in range(10)))
    amounts = [sent.amount.expected for sent in _by_source(plan, "aqueous").values()]
    assert amounts[:3] == [28, 28, 28]
    assert sum(amounts) == settle(28 * 3 + 7 * (Decimal(10) / Decimal(3) + 6))


@law
def test_what_sessions_and_leftovers_send_adds_up_to_the_streams_to_the_last_digit(
    case: Case,
) -> None:
    plan = case.plan()
    found: dict[tuple[object, ...], Ended] = defaultdict(Ended)
    for sent in sent_to_streams(plan):
        stream = (sent.stream.name, sent.stream.kind)
        found[*stream, sent.day] += sent.amount
        found[*stream, "unknown"] += sent.composition.unknown_ml
        for one in sent.composition.contained:
            for kind in (Kind.VOLUME, Kind.MASS):
                found[*stream, one.item.item, one.is_held_back, kind] += one.measured(kind)
                assert one.measured(kind).expected >= 0
                assert one.measured(kind).allow_for >= 0
    assert {key: one for key, one in found.items() if one} == {
        key: settled for key, one in _wholes(plan).items() if (settled := _settled(one))
    }


def _wholes(plan: Plan) -> dict[tuple[object, ...], Ended]:
    wholes: dict[tuple[object, ...], Ended] = {}
    for stream in plan.waste.streams:
        key, composition = (stream.name, stream.kind), plan.composition(stream)
        wholes |= {(*key, on): amount for on, amount in stream.by_day.items()}
        wholes[*key, "unknown"] = composition.unknown_ml
        for one in composition.contained:
            for kind in (Kind.VOLUME, Kind.MASS):
                wholes[*key, one.item.item, one.is_held_back, kind] = one.measured(kind)
    return wholes


def _settled(amount: Ended) -> Ended:
    return Ended(settle(amount.expected), settle(amount.allow_for))


@law
def test_no_session_or_leftover_is_left_out_or_told_twice(case: Case) -> None:
    plan = case.plan()
    rows = [(id(one.of), one.stream.name, one.stream.kind) for one in sent_to_streams(plan)]
    assert len(rows) == len(set(rows))
    days = [one.day for one in sent_to_streams(plan)]
    assert days == sorted(days)
    # What is left of a batch for the period may have to go before it begins.
    days = [one.day for one in sent_to_streams(plan) if isinstance(one.of, SessionWork)]
    assert all(day in plan.period for day in days)


def test_an_empty_week_has_no_rows() -> None:
    plan = plan_of(items="item,kind,unit\nsalt,reagent,g")
    assert list(sent_to_streams(plan)) == []
