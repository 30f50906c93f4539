from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.shelf.expiry import (
    below_minimum,
    expiring,
    losses,
    opened_too_long,
)
from tests.builders import day, figures
from tests.shelf.small_shelf import DAY, shelf
from tests.shelf.weeks import week

SHELF = shelf()


@pytest.mark.parametrize(
    ("last", "labels"),
    [("02-03", ["A3"]), ("02-20", ["A3", "B1"]), ("07-03", ["A3", "A4", "E1", "B1"])],
)
def test_lots_expire_by_the_earlier_of_printed_date_and_opened_life(
    last: str, labels: list[str]
) -> None:
    # E1 was opened on 4 January and keeps 180 days from then: until 3 July
    assert [held.label for held in expiring(SHELF.lots.values(), day(last))] == labels


@pytest.mark.parametrize(("on", "labels"), [("02-03", []), ("02-04", ["E1"]), ("07-04", ["E1"])])
def test_a_lot_is_open_too_long_past_its_life_or_its_test(on: str, labels: list[str]) -> None:
    # its peroxide test is due 30 days after opening, on 3 February
    assert [held.label for held in opened_too_long(SHELF, day(on))] == labels


def test_what_keeps_only_the_day_of_its_opening_is_open_too_long_on_the_next() -> None:
    items = "item,kind,unit,opened_life\nthawed,reagent,g,0"
    stock = "lot,item,amount,opened\nT1,thawed,1 g,2027-02-03\nT2,thawed,0 g,2027-01-03"
    of_it = shelf(items=items, stock=stock, solutions="", solution_parts="")
    assert opened_too_long(of_it, day("02-03")) == []
    assert [held.label for held in opened_too_long(of_it, day("02-04"))] == ["T1"]


def test_what_is_below_its_minimum_counts_usable_lots_in_date() -> None:
    (found,) = below_minimum(SHELF, DAY)
    assert figures(found.material.name, found.held, found.minimum) == figures("salt", 1500, 2000)


def test_what_has_no_lot_is_below_its_minimum_and_what_is_retired_is_not() -> None:
    items = """
        item,kind,unit,minimum,retired
        salt,reagent,g,1 kg,
        alum,reagent,g,1 kg,2027-02-03
        sand,reagent,g,1 kg,2027-02-04
    """
    of_it = shelf(items=items, stock="lot,item,amount", solutions="", solution_parts="")
    found = {one.material.name: one.held for one in below_minimum(of_it, DAY)}
    assert found == {"salt": 0, "sand": 0}


def test_what_the_timetable_takes_until_then_is_not_lost() -> None:
    sessions = week(
        stock="""
            lot,item,amount,expiry
            A1,acetone,1 L,2027-02-10
            A2,acetone,500 mL,2027-02-01
            B1,brine,900 mL,2027-02-20
            S1,salt,1 kg,
            G1,glove,20 each,
            H1,hotplate,9 each,
        """,
        suppliers="supplier,lead_days\nHarbour,0",
        packs="""
            pack,item,supplier,size,price
            H1,acetone,Harbour,1 L,8.00
            H2,acetone,Harbour,2.5 L,15.00
        """,
    )
    found = losses(sessions, day("2027-01-29"), 30)
    # On Monday two sessions want 400 mL each: A2 gives 500, A1 the rest; 200 more on Tuesday
    assert [figures(loss.held.label, loss.taken, loss.left, loss.value) for loss in found] == [
        figures("A1", 500, 500, 3),  # at 15.00 for 2.5 L
        figures("B1", 500, 400, None),
    ]


def test_a_lot_that_may_not_be_used_is_no_loss_of_the_timetable() -> None:
    stock = "lot,item,amount,expiry,state\nA1,acetone,1 L,2027-02-10,reserved"
    assert losses(shelf(stock=stock), DAY, 30) == []


@pytest.mark.parametrize(("within", "lost"), [(6, []), (7, ["A1"])])
def test_the_last_day_looked_at_counts(within: int, lost: list[str]) -> None:
    of_it = shelf(stock="lot,item,amount,expiry\nA1,acetone,1 L,2027-02-10")
    assert [loss.held.label for loss in losses(of_it, DAY, within)] == lost


LOTS = st.lists(st.tuples(st.integers(0, 12), st.integers(1, 40)), min_size=1, max_size=4)
USES = st.lists(st.tuples(st.integers(0, 12), st.integers(1, 30)), max_size=5)


def _left_by_hand(lots: list[tuple[int, int]], uses: list[tuple[int, int]]) -> dict[str, int]:
    """Return what is left of each lot, taken day by day from the first of those still in date."""
    left = {f"A{number}": amount for number, (_, amount) in enumerate(lots)}
    ends = {f"A{number}": end for number, (end, _) in enumerate(lots)}
    for on, amount in sorted(uses):
        wanted = amount
        for label in sorted(left, key=lambda one: (ends[one], one)):
            taken = min(wanted, left[label]) if on <= ends[label] else 0
            left[label] -= taken
            wanted -= taken
    return {label: amount for label, amount in left.items() if amount}


@settings(max_examples=40, deadline=None)
@given(LOTS, USES)
def test_what_is_lost_is_what_day_by_day_use_leaves(
    lots: list[tuple[int, int]], uses: list[tuple[int, int]]
) -> None:
    """Source: the same rule worked out in another way, above; common practice, no source."""
    first = day("02-01")
    stock = [
        f"A{number},acetone,{amount} mL,{first + timedelta(days=end)}"
        for number, (end, amount) in enumerate(lots)
    ]
    lines = [f"P{number},acetone,{amount} mL,session" for number, (_, amount) in enumerate(uses)]
    sessions = [
        f"S{number},P{number},{first + timedelta(days=on)},1" for number, (on, _) in enumerate(uses)
    ]
    of_it = shelf(
        stock="\n".join(["lot,item,amount,expiry", *stock]),
        practicals="\n".join(
            ["practical,title", "P,It", *(f"P{number},It" for number, _ in enumerate(uses))]
        ),
        practical_lines="\n".join(["practical,item,amount,per", *lines]) if lines else "",
        timetable="\n".join(["session,practical,date,students", *sessions]) if lines else "",
    )
    found = losses(of_it, first, 12)
    assert {loss.held.label: loss.left for loss in found} == _left_by_hand(lots, uses)
    assert all(loss.taken + loss.left == loss.held.amount for loss in found)
