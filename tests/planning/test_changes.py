"""What differs between two plans: all that makes somebody do something else, and nothing else."""

import pytest

from prepstore.planning.changes import changes_between
from prepstore.planning.differs import (
    ApparatusDiffers,
    BatchDiffers,
    BenchDiffers,
    DeliveryDiffers,
    OrderDiffers,
    SessionChange,
    SessionDiffers,
    StateDiffers,
    StreamDiffers,
    WarningDiffers,
)
from prepstore.report.plan_papers import papers_of
from tests.builders import day, figures, number
from tests.planning.shared_cases import law
from tests.planning.small_inventories import Case, Tables
from tests.planning.two_plans import BEFORE, differences, edited, without

SESSIONS = BEFORE["timetable"]


def _kinds(found: tuple[object, ...]) -> list[str]:
    return [type(one).__name__ for one in found]


def test_equal_plans_differ_in_nothing() -> None:
    assert differences() == ()


def test_a_session_with_more_students_has_more_of_all_and_makes_more_up() -> None:
    """T goes from 4 to 6 sets: 240 + 240 mL of brine are 480, still 500 mL."""
    found = differences(timetable=edited("timetable", ("Lab 1, 4", "Lab 1, 6")))
    assert _kinds(found) == ["SessionDiffers", "BenchDiffers", "BenchDiffers", "BenchDiffers"]
    session, brine, salt, funnel = found
    assert isinstance(session, SessionDiffers)
    assert session.change is SessionChange.NUMBERS
    benches = [one for one in (brine, salt, funnel) if isinstance(one, BenchDiffers)]
    assert [(one.item, int(one.difference)) for one in benches] == [
        ("brine", 80),
        ("salt", 20),
        ("funnel", 2),
    ]


def test_a_larger_batch_is_told() -> None:
    found = differences(timetable=edited("timetable", ("Lab 1, 4", "Lab 1, 7")))
    (batch,) = (one for one in found if isinstance(one, BatchDiffers))
    assert batch.before is not None
    assert batch.now is not None
    assert figures(batch.before.volume_ml, batch.now.volume_ml) == (500, 1000)


@pytest.mark.parametrize(
    ("old", "new", "change"),
    [
        ("2027-02-02, 09:00, 11:00", "2027-02-03, 09:00, 11:00", SessionChange.MOVED),
        ("2027-02-02, 09:00, 11:00", "2027-02-02, 09:30, 11:00", SessionChange.MOVED),
        ("2027-02-02, 09:00, 11:00", "2027-02-02, 09:00, 12:00", SessionChange.MOVED),
        ("11:00, Lab 1, 6", "11:00, Lab 9, 6", SessionChange.ROOM),
        ("11:00, Lab 1, 6", "11:00, ,      6", SessionChange.ROOM),
        ("Lab 1, 6", "Lab 1, 5", SessionChange.NUMBERS),
        ("Lab 1, 6", "Lab 1, 0", SessionChange.CANCELLED),
        ("S,       P", "S,       Q", SessionChange.SWAPPED),
        ("S,       P,         2027-02-02", "S,       P,         2027-02-09", "OUT"),
    ],
)
def test_each_change_of_a_session_is_said(old: str, new: str, change: str) -> None:
    found = differences(timetable=edited("timetable", (old, new)))
    wanted = SessionChange.OUT_OF_PERIOD if change == "OUT" else change
    changes = [one for one in found if isinstance(one, SessionDiffers)]
    assert [(one.change, (one.before or changes[0].before).session) for one in changes] == [  # type: ignore[union-attr]
        (wanted, "S")
    ]


def test_a_session_may_change_in_several_ways() -> None:
    table = edited(
        "timetable", ("2027-02-02, 09:00, 11:00, Lab 1, 6", "2027-02-03, 09:00, 11:00, Lab 3, 7")
    )
    changes = [
        one.change for one in differences(timetable=table) if isinstance(one, SessionDiffers)
    ]
    assert changes == [SessionChange.MOVED, SessionChange.ROOM, SessionChange.NUMBERS]


def test_a_session_that_is_gone_is_cancelled_and_one_that_is_new_is_added() -> None:
    (gone, *_) = differences(timetable=without("timetable", "S,"))
    assert isinstance(gone, SessionDiffers)
    assert (gone.change, gone.now, gone.is_laid) == (SessionChange.CANCELLED, None, False)
    row = "\n        V, Q, 2027-02-03, 14:00, 16:00, Lab 2, 3"
    (new, *rest) = differences(timetable=SESSIONS + row)
    assert isinstance(new, SessionDiffers)
    assert (new.change, new.before) == (SessionChange.ADDED, None)
    assert any(isinstance(one, BenchDiffers) and one.session == "V" for one in rest)


def test_0_students_that_become_some_add_a_session() -> None:
    before = {"timetable": edited("timetable", ("Lab 1, 6", "Lab 1, 0"))}
    (new, *_) = differences(before=before, timetable=SESSIONS)
    assert isinstance(new, SessionDiffers)
    assert new.change is SessionChange.ADDED


@pytest.mark.parametrize(("today", "is_laid"), [("2027-01-29", False), ("2027-02-01", True)])
def test_what_was_to_be_set_out_by_now_is_laid(today: str, is_laid: bool) -> None:  # noqa: FBT001
    found = differences(today, timetable=edited("timetable", ("Lab 1, 6", "Lab 1, 0")))
    assert isinstance(found[0], SessionDiffers)
    assert found[0].is_laid is is_laid


def test_a_session_that_is_over_is_no_difference() -> None:
    """On Wednesday S is over; its brine was not booked, and the batch is still to be made."""
    found = differences("2027-02-03")
    assert not any(isinstance(one, BenchDiffers | SessionDiffers) for one in found)


def test_a_session_that_becomes_late_says_so() -> None:
    found = differences(
        stock=without("stock", "L1").replace("L2,  salt,   500 g", "L2, salt, 5 g"),
        packs=edited("packs", ("\nB,salt,Shop,1 kg,9", "")),
    )
    states = [
        (one.now.session, one.before.state, one.now.state)
        for one in found
        if isinstance(one, StateDiffers)
    ]
    assert ("S", "make up", "late") in states


def test_a_broken_bottle_is_another_lot_to_fetch_from() -> None:
    found = differences(stock=without("stock", "L1"))
    benches = [one for one in found if isinstance(one, BenchDiffers)]
    assert [(one.session, one.item) for one in benches] == [("S", "salt"), ("T", "salt")]
    assert all(one.now is not None and one.now.lots == ("L2",) for one in benches)
    assert [one for one in found if isinstance(one, BatchDiffers)] != []


def test_other_bottles_for_as_much_are_told() -> None:
    found = differences(
        practical_lines=edited("practical_lines", (",  3,         bottle", ",  2,         bottle"))
    )
    assert [(one.session, one.item) for one in found if isinstance(one, BenchDiffers)] == [
        ("S", "brine")
    ]  # T has 4 sets, in two either way


def test_a_batch_that_is_made_another_day_is_moved() -> None:
    table = edited(
        "timetable", ("S,       P,         2027-02-02", "S,       P,         2027-02-03")
    )
    (batch,) = (one for one in differences(timetable=table) if isinstance(one, BatchDiffers))
    assert batch.before is not None
    assert batch.now is not None
    assert (batch.before.make_on, batch.now.make_on) == (day("02-01"), day("02-02"))


def test_another_recipe_of_as_much_is_told() -> None:
    table = edited("solution_parts", ("100 g/L", "110 g/L"))
    (batch,) = (one for one in differences(solution_parts=table) if isinstance(one, BatchDiffers))
    assert batch.now is not None
    assert batch.now.parts["salt"][0] == 55


MADE = "\n        B1, brine, {amount}, 2027-03-01, 2027-02-01"


def made_since(amount: str) -> str:
    """Return the stock with a lot of brine that was made on Monday."""
    rows = BEFORE["stock"].replace("lot, item,   amount", "lot, item, amount, expiry, received")
    return "\n".join(
        f"{row},," if row.strip() and "amount" not in row else row for row in rows.split("\n")
    ) + MADE.format(amount=amount)


def test_a_batch_that_was_made_since_is_no_difference() -> None:
    found = differences("2027-02-01", stock=made_since("500 mL"))
    assert [one for one in found if isinstance(one, BatchDiffers | SessionDiffers)] == []
    assert [one for one in found if isinstance(one, BenchDiffers)] == []


def test_a_batch_that_was_made_since_and_is_used_no_more_is_told() -> None:
    table = edited("timetable", ("Lab 1, 6", "Lab 1, 0"), ("Lab 1, 4", "Lab 1, 0"))
    found = differences("2027-02-01", stock=made_since("500 mL"), timetable=table)
    (batch,) = (one for one in found if isinstance(one, BatchDiffers))
    assert (batch.now, batch.made) == (None, ("B1",))


def test_orders_are_new_gone_more_or_sooner() -> None:
    """Ether: 500 mL for brine less nothing, 100 for U; 700 there and to come. 9 students: 450."""
    more = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 9"))}
    found = differences(timetable=more["timetable"])
    (new,) = (one for one in found if isinstance(one, OrderDiffers))
    assert new.before is None
    assert new.now is not None
    assert (new.now.packs, new.now.order_by) == (3, day("02-02"))
    (gone,) = (
        one for one in differences(before=more, timetable=SESSIONS) if isinstance(one, OrderDiffers)
    )
    assert (gone.now, gone.placed) == (None, 0)
    still = edited("timetable", ("Lab 2, 2", "Lab 2, 11"))
    (other,) = (
        one for one in differences(before=more, timetable=still) if isinstance(one, OrderDiffers)
    )
    assert other.now is not None
    assert other.now.packs == 4
    sooner = edited(
        "timetable",
        ("Lab 2, 2", "Lab 2, 9"),
        ("U,       Q,         2027-02-04", "U,       Q,         2027-02-03"),
    )
    (early,) = (
        one for one in differences(before=more, timetable=sooner) if isinstance(one, OrderDiffers)
    )
    assert early.now is not None
    assert early.now.order_by == day("02-01")


def test_an_order_that_was_made_since_is_no_difference_and_its_delivery_is_to_be_taken_in() -> None:
    more = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 9"))}
    placed = BEFORE["on_order"] + "\nA,3,2027-02-03,PO 2"
    found = differences(before=more, on_order=placed)
    assert [one for one in found if isinstance(one, OrderDiffers)] == []
    (delivery,) = (one for one in found if isinstance(one, DeliveryDiffers))
    assert delivery.now is not None
    assert (delivery.now.reference, delivery.now.due) == ("PO 2", day("02-03"))


def test_a_delivery_that_comes_late_or_never_is_told() -> None:
    need = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 4"))}
    late = differences(before=need, on_order=edited("on_order", ("2027-02-01", "2027-02-03")))
    (delivery,) = (one for one in late if isinstance(one, DeliveryDiffers))
    assert delivery.now is not None
    assert delivery.now.due == day("02-03")
    never = differences(before=need, on_order="")
    (gone,) = (one for one in never if isinstance(one, DeliveryDiffers))
    assert gone.now is None
    assert any(isinstance(one, OrderDiffers) for one in never)


def test_apparatus_and_rooms_and_containers_are_told() -> None:
    found = differences(
        timetable=edited("timetable", ("Lab 1, 4", "Lab 1, 9"), ("Lab 2, 2", "Lab 1, 2"))
    )
    (apparatus,) = (one for one in found if isinstance(one, ApparatusDiffers))
    assert (apparatus.before, apparatus.now) == (None, (number(3), "2027-02-04T09:00"))
    assert [one.about for one in found if isinstance(one, WarningDiffers) and one.is_new] == ["U"]
    many = differences(timetable=edited("timetable", ("Lab 2, 2", "Lab 2, 14")))
    (stream,) = (one for one in many if isinstance(one, StreamDiffers))
    assert (stream.before.containers, stream.now.containers) == (1, 2)
    assert stream.now.full_on == (day("02-04"),)


def test_a_warning_that_goes_is_told() -> None:
    clash = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 1, 2"))}
    found = differences(before=clash, timetable=SESSIONS)
    assert [(one.about, one.is_new) for one in found if isinstance(one, WarningDiffers)] == [
        ("U", False)
    ]


@law
def test_every_amount_that_differs_on_a_bench_is_told_and_no_other(case: Case) -> None:
    before = papers_of(case.plan())
    changes = _late_changes(case.tables)
    # Two of them for each set: each comes some 25 times over the sets, in a third of the time.
    first = len(str(case.tables)) % len(changes)
    for tables in (changes[first], changes[first - 3]):
        plan = Case(tables, case.today).plan()
        now = papers_of(plan)
        found = changes_between(before, now, plan)
        told = {(one.session, one.item) for one in found if isinstance(one, BenchDiffers)}
        amounts = {
            key
            for key in before.benches.keys() | now.benches.keys()
            if _amount(before, key) != _amount(now, key)
        }
        over = {name for name, then in now.sessions.items() if then.is_done}
        over |= {
            name
            for name, then in before.sessions.items()
            if name not in now.sessions and (then.is_done or then.day < now.today)
        }
        assert {key for key in amounts if key[0] not in over} <= told
        assert all(before.benches.get(key) != now.benches.get(key) for key in told)
        assert changes_between(now, now, plan) == ()


def _amount(papers: object, key: tuple[str, str]) -> object:
    bench = papers.benches.get(key)  # type: ignore[attr-defined]
    return bench.amount if bench else number(0)


def _late_changes(tables: Tables) -> list[Tables]:
    """Return a set after each of a few things that happen in a week."""
    first, *others = tables["timetable"]
    return [
        {**tables, "timetable": [{**first, "students": "9"}, *others]},
        {**tables, "timetable": [{**first, "students": "0"}, *others]},
        {**tables, "timetable": [{**first, "date": "2027-02-05"}, *others]},
        {**tables, "timetable": [{**first, "practical": "Q", "leave_out": ""}, *others]},
        {**tables, "timetable": others},
        {**tables, "stock": tables["stock"][1:]},
        {**tables, "on_order": tables["on_order"][1:]},
    ]


def test_a_batch_whose_sessions_are_over_was_carried_out_though_some_is_left() -> None:
    gone = "2027-02-05"
    found = differences(gone, stock=made_since("500 mL"))
    assert [one for one in found if isinstance(one, BatchDiffers)] == []
    never_made = differences(gone)
    assert [one for one in never_made if isinstance(one, BatchDiffers)] == []


def test_a_batch_that_went_into_another_was_carried_out_when_that_one_was() -> None:
    more = {
        "solutions": "solution,shelf_life\nbrine,30\nweak,30",
        "solution_parts": BEFORE["solution_parts"] + "\nweak,brine,100 mL/L\nweak,ether,to volume",
        "practical_lines": BEFORE["practical_lines"].replace(
            "P,         brine,", "P,         weak, "
        ),
    }
    gone = differences(
        "2027-02-01", before=more, timetable=edited("timetable", ("1, 6", "1, 0"), ("1, 4", "1, 0"))
    )
    assert {
        one.before.solution for one in gone if isinstance(one, BatchDiffers) and one.before
    } == {
        "brine",
        "weak",
    }
    over = differences("2027-02-05", before=more)
    assert [one for one in over if isinstance(one, BatchDiffers)] == []


def test_a_delivery_that_comes_too_late_for_what_is_missing_says_so() -> None:
    need = {"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 4"))}
    for due, is_too_late in (("2027-02-05", True), ("2027-02-03", False)):
        found = differences(before=need, on_order=edited("on_order", ("2027-02-01", due)))
        (delivery,) = (one for one in found if isinstance(one, DeliveryDiffers))
        assert delivery.is_too_late is is_too_late
    fewer = differences(
        before=need,
        on_order=edited("on_order", ("2027-02-01", "2027-02-05")),
        timetable=edited("timetable", ("Lab 2, 2", "Lab 2, 1")),
    )
    assert [one.is_too_late for one in fewer if isinstance(one, DeliveryDiffers)] == [False]
