"""Rule 14: the state of a session and what it lacks."""

import pytest

from prepstore.planning.plan import Plan
from prepstore.planning.states import Why
from tests.builders import day, figures, plan_of, session_of

ITEMS = """
    item,  kind,       unit, supply,       daily_capacity
    salt,  reagent,    g,    bought,
    ice,   consumable, g,    made on site, 100 g
    water, solvent,    mL,   made on site,"""
SOLUTIONS = "solution\nbrine"
PARTS = "solution,item,amount\nbrine,salt,100 g/L\nbrine,water,to volume"


def _plan(line: str, today: str = "2027-01-25", **tables: str) -> Plan:
    return plan_of(
        today=today,
        items=ITEMS,
        solutions=SOLUTIONS,
        solution_parts=PARTS,
        practical_lines=f"practical,item,amount,per\nP,{line},session",
        timetable="""
            session, practical, date,       students
            S,       P,         2027-02-02, 1
            T,       P,         2027-02-04, 1""",
        suppliers="supplier,lead_days\nShop,2",
        **tables,
    )


PACKS = "pack,item,supplier,size,price\nA,salt,Shop,10 g,1"
SALT = "lot,item,amount\nL,salt,1 kg"


@pytest.mark.parametrize(
    ("line", "tables", "today", "state"),
    [
        ("salt,5 g", {"stock": SALT}, "2027-01-25", "covered"),
        ("brine,50 mL", {"stock": SALT}, "2027-01-25", "make up"),
        ("brine,50 mL", {"stock": "lot,item,amount\nL,brine,1 L"}, "2027-01-25", "covered"),
        ("salt,5 g", {"packs": PACKS}, "2027-01-25", "order"),
        ("brine,50 mL", {"packs": PACKS}, "2027-01-25", "order"),
        ("salt,5 g", {"packs": PACKS}, "2027-01-28", "order"),  # arrives on the 1st, for the 1st
        ("salt,5 g", {"packs": PACKS}, "2027-01-29", "late"),  # arrives on the 2nd, for the 1st
        ("salt,5 g", {}, "2027-01-25", "late"),
        ("ice,101 g", {}, "2027-01-25", "late"),
        ("ice,100 g", {}, "2027-01-25", "covered"),
        ("salt,5 g", {}, "2027-02-03", "done"),
    ],
)
def test_the_state_is_the_first_that_holds(
    line: str, tables: dict[str, str], today: str, state: str
) -> None:
    assert session_of(_plan(line, today, **tables)).state == state


def test_a_later_session_may_be_in_time_where_an_earlier_one_is_late() -> None:
    plan = _plan("salt,5 g", "2027-01-29", packs=PACKS)
    assert [one.state for one in plan.sessions] == ["late", "order"]
    assert [work.session.session for work in plan.orders[0].stops] == ["S"]


def test_what_is_due_in_time_covers_and_is_no_lack() -> None:
    plan = _plan("salt,5 g", packs=PACKS, on_order="pack,packs,due\nA,1,2027-02-01")
    assert [one.state for one in plan.sessions] == ["covered", "covered"]
    too_late = _plan("salt,5 g", packs=PACKS, on_order="pack,packs,due\nA,1,2027-02-02")
    assert [one.state for one in too_late.sessions] == ["order", "covered"]


def test_a_session_lacks_its_own_unserved_need_and_not_anothers() -> None:
    plan = _plan("salt,5 g", packs=PACKS, stock="lot,item,amount\nL,salt,7 g")
    first, second = plan.sessions
    assert first.lacks == ()
    (lack,) = second.lacks
    assert figures(lack.name, lack.amount, lack.needed_by) == ("salt", 3, day("02-03"))
    assert (lack.why, lack.arrives) == (Why.TO_ORDER, day("01-27"))


def test_a_session_lacks_all_that_is_unserved_of_the_parts_of_its_batch() -> None:
    """One batch of 100 mL for both needs 10 g; 4 g are there, and each session lacks 6 g."""
    plan = _plan("brine,50 mL", packs=PACKS, stock="lot,item,amount\nL,salt,4 g")
    assert [[lack.amount for lack in one.lacks] for one in plan.sessions] == [[6], [6]]


@pytest.mark.parametrize(
    ("line", "tables", "why"),
    [
        ("salt,5 g", {}, Why.NOT_SOLD),
        ("ice,101 g", {}, Why.OVER_CAPACITY),
        ("salt,5 g", {"packs": PACKS}, Why.TOO_LATE),
    ],
)
def test_a_lack_says_why(line: str, tables: dict[str, str], why: Why) -> None:
    assert [lack.why for lack in session_of(_plan(line, "2027-01-29", **tables)).lacks] == [why]


def test_a_session_today_is_not_done() -> None:
    assert session_of(_plan("salt,5 g", "2027-02-02", stock=SALT)).state == "covered"


def test_a_session_that_is_done_takes_nothing_from_the_shelf() -> None:
    plan = _plan("salt,5 g", "2027-02-03", stock=SALT)
    assert plan.stock["salt"].needed == 5
    assert session_of(plan).lacks == ()


@pytest.mark.parametrize(
    ("held", "state", "of_spare"),
    [(12, "covered", None), (10, "covered", 2), (11, "covered", 1), (9, "late", 2)],
)
def test_a_session_is_judged_without_its_spare(held: int, state: str, of_spare: int | None) -> None:
    """10 g and 20 % spare; nobody sells it, and still only what is short beyond spare counts."""
    plan = _spare(f"lot,item,amount\nL,salt,{held} g")
    assert session_of(plan).state == state
    assert [lack.of_spare for lack in session_of(plan).lacks] == (
        [] if of_spare is None else [of_spare]
    )


def test_spare_of_counted_things_is_what_rounding_leaves_of_it() -> None:
    """3 and 20 % are 3.6, so 4; without spare 3: one is spare."""
    plan = _spare("lot,item,amount\nL,glove,3 each", line="glove,3 each")
    assert session_of(plan).state == "covered"
    assert [lack.of_spare for lack in session_of(plan).lacks] == [1]


def test_what_a_session_and_its_batch_lack_of_one_item_is_added_up() -> None:
    """50 mL for each of two sessions are 100 mL of one batch, 10 g of salt; its own 5 g beside."""
    plan = _plan("salt,5 g,session\nP,brine,50 mL")
    (lack,) = session_of(plan).lacks
    assert figures(lack.amount, lack.of_spare) == (15, 0)


def test_what_a_batch_lacks_counts_whole() -> None:
    """120 mL want 12 g in 250 mL, 25 g; 24 g are there, and 1 g stops the batch."""
    plan = _spare("lot,item,amount\nL,salt,24 g", line="brine,100 mL")
    assert session_of(plan).state == "late"
    (lack,) = session_of(plan).lacks
    assert figures(lack.amount, lack.of_spare) == (1, 0)


def _spare(stock: str, line: str = "salt,10 g") -> Plan:
    return plan_of(
        items=f"{ITEMS}\nglove,consumable,each,,",
        solutions=SOLUTIONS,
        solution_parts=PARTS,
        practical_lines=f"practical,item,amount,per,spare\nP,{line},session,20 %",
        timetable="session,practical,date,students\nS,P,2027-02-02,1",
        stock=stock,
    )
