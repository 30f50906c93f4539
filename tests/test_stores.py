"""What is in the stores, and how it stands when a plan has been carried out."""

from dataclasses import replace

import pytest

from prepstore.amounts import Kind
from prepstore.containers import ContainersHeld, ContainerState, Content, KeptContainer
from prepstore.lot_labels import LabelChange, LabelWhat, ReservedLabels
from prepstore.stores import Holding, Stores, earliest_end, stores_of
from tests.builders import day, facts_from, figures, holding, lot, material, number, plan_of


@pytest.mark.parametrize(
    ("expiry", "opened", "last"),
    [
        ("2027-03-01", "", "03-01"),
        ("2027-03-01", "2027-02-01", "02-11"),
        ("2027-02-05", "2027-02-01", "02-05"),
        ("", "2027-02-01", "02-11"),
    ],
)
def test_a_lot_may_be_used_until_the_earlier_of_expiry_and_opened_life(
    expiry: str, opened: str, last: str
) -> None:
    printed, since = (day(text) if text else None for text in (expiry, opened))
    assert earliest_end(printed, since, 10) == day(last)


def test_an_opened_lot_of_an_item_that_keeps_once_opened_has_only_its_expiry() -> None:
    assert earliest_end(None, day("02-01"), None) is None
    assert earliest_end(None, None, 10) is None


@pytest.mark.parametrize(
    ("state", "usable"), [("usable", True), ("quarantine", False), ("reserved", False)]
)
def test_only_a_usable_lot_is_usable(state: str, usable: bool) -> None:  # noqa: FBT001 - a case
    assert holding("L", state=state).is_usable is usable


def test_a_lot_holds_what_its_movements_come_to_whatever_its_row_says() -> None:
    held = Holding(lot("L", "1 kg"), material(), number(250), None)
    assert held.amount == 250


def test_the_last_day_is_included_and_an_empty_lot_is_not_to_be_used() -> None:
    held = holding("L", 5, "02-03")
    assert [held.is_to_be_used(day(text)) for text in ("02-03", "02-04")] == [True, False]
    assert not holding("L", 0).is_to_be_used(day("02-03"))


def test_lots_are_taken_soonest_to_expire_first_and_opened_before_sealed() -> None:
    lots = [
        holding("d"),
        holding("c", 1, "02-05"),
        holding("b", 1, "02-05", opened="2027-01-30"),
        holding("a", 1, "02-06"),
    ]
    assert [held.label for held in sorted(lots, key=lambda held: held.turn)] == ["b", "c", "a", "d"]


def test_containers_are_those_that_are_held_and_not_those_of_the_row() -> None:
    made = facts_from({"practicals": "practical,title\nP,A", **TABLES})
    kept = [
        KeptContainer(label=label, stream="Solvent", state=state, filled=number(ml))
        for label, state, ml in (
            ("W1", ContainerState.SEALED, 40),
            ("W2", ContainerState.OPEN, 7),
        )
    ]
    acetone = Content("acetone", Kind.VOLUME, number(5), number(5))
    known = {"solvent": (acetone,)}
    held = ContainersHeld(tuple(kept), {"solvent": 5}, frozenset({"w1", "w2"}), known)
    stores = stores_of(made.goods, (), (), {}, held)
    container = stores.containers["solvent"]
    assert figures(container.filled, container.is_open, container.empty, container.label) == (
        7, True, 5, "W2",
    )  # fmt: skip
    assert [one.label for one in container.sealed] == ["W1"]
    assert container.known == (acetone,)
    assert container.unknown == 2
    assert stores.container_labels == {"w1", "w2"}
    bare = stores_of(made.goods, (), (), {}, ContainersHeld()).containers["solvent"]
    assert figures(bare.filled, bare.is_open, bare.empty) == (0, False, None)


# What carrying out a plan leaves.

TABLES = {
    "items": """
        item,     kind,      unit, density
        salt,     reagent,   g,
        acetone,  solvent,   mL,   0.79
        funnel,   apparatus, each,""",
    "solutions": "solution,shelf_life,step,storage\nbrine,10,100 mL,cupboard 2",
    "solution_parts": "solution,item,amount\nbrine,salt,10 % w/v",
    "practical_lines": """
        practical,item,amount,per,to
        P,acetone,30 mL,session,solvent
        P,brine,150 mL,session,drain""",
    "timetable": "session,practical,date,students\nS,P,2027-02-03,1",
    "stock": "lot,item,amount\nA,acetone,20 mL\nL,salt,1 kg\nF,funnel,4 each",
    "suppliers": "supplier,lead_days\nShop,2",
    "packs": "pack,item,supplier,size,price\nP1,acetone,Shop,500 mL,3",
    "on_order": "pack,packs,due\nP1,1,2027-02-02\nP1,2,2027-02-09\nP1,4,2027-01-20",
    "waste_streams": "stream,measure,container,fill_limit,empty_containers,part_full\n"
    "solvent,volume,50 mL,80 %,2,20 mL",
}


def _after() -> Stores:
    plan = plan_of(**TABLES)
    return plan.stores.after(plan)


def test_what_a_plan_draws_is_taken_and_what_it_does_not_stays() -> None:
    after = _after()
    assert figures(*(after.holdings[label].amount for label in "alf")) == (0, 980, 4)


def test_a_batch_is_kept_as_a_lot_with_what_is_left_of_it() -> None:
    (brine,) = _after().of("brine")
    assert figures(brine.amount, brine.last_day, brine.lot.place) == (
        50,
        day("02-12"),
        "cupboard 2",
    )
    assert (brine.label, brine.lot.received) == ("2027-02-02-2", day("02-02"))


def test_what_is_due_has_come_less_what_is_drawn_of_it_and_the_rest_is_still_to_come() -> None:
    after = _after()
    new = next(held for held in after.of("acetone") if held.label == "2027-02-02-1")
    assert figures(new.amount, new.lot.containers) == (490, 1)
    assert [delivery.due for delivery in after.deliveries] == [day("02-09"), day("01-20")]


def test_labels_that_are_printed_for_batches_are_theirs_and_nobody_else_s() -> None:
    plan = plan_of(**TABLES)
    reserved = {
        f"2027-02-02-{number}": LabelChange(
            what=LabelWhat.RESERVED,
            label=f"2027-02-02-{number}",
            solution=solution,
            make_on=day("02-02"),
        )
        for number, solution in ((1, "lime water"), (3, "brine"))
    }
    after = replace(plan.stores, reserved=ReservedLabels(reserved)).after(plan)
    assert [held.label for held in after.of("brine")] == ["2027-02-02-3"]
    assert "2027-02-02-2" in {held.label for held in after.of("acetone")}
    assert after.reserved.of == reserved


def test_waste_is_in_its_containers() -> None:
    """20 + 30 mL, of which 40 fill the first; the mixture goes on into the next."""
    container = _after().containers["solvent"]
    assert figures(container.filled, container.empty, container.unknown) == (10, 1, 0)
    assert container.known == (Content("acetone", Kind.VOLUME, number(10), number(10)),)


def test_what_a_plan_proposes_to_order_has_not_come() -> None:
    plan = plan_of(**{**TABLES, "on_order": ""})
    assert plan.orders
    assert sum(held.amount for held in plan.stores.after(plan).of("acetone")) == 0


def test_stores_are_read_from_rows_and_balances() -> None:
    stores = facts_from({"practicals": "practical,title\nP,A", **TABLES}).stores
    assert [held.label for held in stores.of("salt")] == ["L"]
    assert stores.containers["solvent"].size == 40


@pytest.mark.parametrize(
    ("due", "has_come"),
    [("2027-01-24", 0), ("2027-01-25", 1), ("2027-02-07", 1), ("2027-02-08", 0)],
)
def test_what_is_due_from_the_day_of_the_plan_to_its_last_day_has_come(
    due: str, has_come: int
) -> None:
    plan = plan_of(**{**TABLES, "stock": "", "on_order": f"pack,packs,due\nP1,1,{due}"})
    after = plan.stores.after(plan)
    assert len(after.of("acetone")) == has_come
    assert len(after.deliveries) == 1 - has_come
