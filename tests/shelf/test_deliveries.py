from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.facts import OnOrder
from prepstore.movements import OrderChange, OrderWhat
from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError
from prepstore.report.order_list import to_place_lines
from prepstore.shelf.deliveries import (
    OrderKey,
    Wanted,
    arrived,
    cancelled,
    delivered,
    due_changed,
    key_of,
    order_line,
    placed,
    price_of_all,
    supplier_named,
    to_place,
)
from prepstore.shelf.receiving import Bought
from tests.builders import day, fact_of, plan_of
from tests.shelf.small_shelf import shelf

TABLES = {
    "suppliers": "supplier,lead_days\nHarbour,2\nQuay,8",
    "packs": """
        pack,item,supplier,size,price
        H1,acetone,Harbour,1 L,7.40
        H2,acetone,Harbour,2.5 L,14.90
        Q1,glove,Quay,10 each,3.00
    """,
}
LINES = """
    practical,item,amount,per
    P,acetone,900 mL,session
    P,glove,5 each,session
"""
ON_ORDER = """
    pack,packs,due,reference,price
    H1,2,2027-02-05,PO 1,7.00
    H1,3,2027-02-09,PO 2,7.40
    H2,1,2027-02-09,PO 2,
    Q1,1,2027-02-04,,3.00
"""
SHELF = shelf(**TABLES, on_order=ON_ORDER)
ORDERS = SHELF.stores.on_order


def _counts(changes: Sequence[OrderChange]) -> list[tuple[str, str, int, str]]:
    return [(str(one.what), one.pack, one.packs, one.due.isoformat()[5:]) for one in changes]


@pytest.mark.parametrize(
    ("wanted", "found"),
    [
        (Wanted(reference="po 2"), ["H1", "H2"]),
        (Wanted(pack="h1"), ["H1", "H1"]),
        (Wanted("PO 2", "H2"), ["H2"]),
        (Wanted(pack="Q1"), ["Q1"]),
    ],
)
def test_orders_are_meant_by_reference_or_pack(wanted: Wanted, found: list[str]) -> None:
    assert [order.pack for order in wanted.among(ORDERS)] == found


def test_what_is_not_on_order_is_answered_with_the_nearest() -> None:
    with pytest.raises(RefusedError, match=r"Nothing is on order as 'PO 9'. .*order list"):
        Wanted(reference="PO 9").among(ORDERS)
    with pytest.raises(RefusedError, match="Nothing of Q1 is on order as 'PO 1'"):
        Wanted("PO 1", "Q1").among(ORDERS)


def test_another_day_takes_packs_off_the_old_one() -> None:
    changes = due_changed(Wanted(reference="PO 2").among(ORDERS), day("02-11"))
    assert _counts(changes) == [
        ("due changed", "H1", -3, "02-09"),
        ("due changed", "H1", 3, "02-11"),
        ("due changed", "H2", -1, "02-09"),
        ("due changed", "H2", 1, "02-11"),
    ]
    with pytest.raises(RefusedError, match="due on 2027-02-09 already"):
        due_changed(Wanted(reference="PO 2").among(ORDERS), day("02-09"))


def test_all_or_some_of_an_order_is_cancelled() -> None:
    assert _counts(cancelled(Wanted(reference="PO 2").among(ORDERS), None)) == [
        ("cancelled", "H1", -3, "02-09"),
        ("cancelled", "H2", -1, "02-09"),
    ]
    assert _counts(cancelled(Wanted("PO 2", "H1").among(ORDERS), 2)) == [
        ("cancelled", "H1", -2, "02-09")
    ]
    with pytest.raises(RefusedError, match="Name one with --pack"):
        cancelled(Wanted(reference="PO 2").among(ORDERS), 1)


def test_packs_that_arrive_come_off_what_is_due_first() -> None:
    of_pack = Wanted(pack="H1").among(ORDERS)
    assert _counts(arrived(of_pack, None)) == [("arrived", "H1", -2, "02-05")]
    assert _counts(arrived(of_pack, 4)) == [
        ("arrived", "H1", -2, "02-05"),
        ("arrived", "H1", -2, "02-09"),
    ]
    with pytest.raises(RefusedError, match="5 of H1 are on order, not 6"):
        arrived(of_pack, 6)


def test_a_delivery_is_so_many_packs_of_the_item_at_the_price_it_was_ordered_at() -> None:
    delivery = delivered(SHELF, "h1", 3, None)
    assert (delivery.coming.material.name, delivery.coming.containers) == ("acetone", 3)
    assert delivery.coming.amount.number == 3000
    assert delivery.coming.order_line == "PO 1, 2 x H1; PO 2, 1 x H1"
    assert [change.price for change in delivery.changes] == ["7.00", "7.40"]
    with pytest.raises(RefusedError, match=r"'H9' is not a known pack. Expected one of: H1"):
        delivered(SHELF, "H9", None, None)


def test_the_history_of_a_lot_names_an_order_without_reference_by_its_pack() -> None:
    (change,) = arrived(Wanted(pack="Q1").among(ORDERS), None)
    assert order_line(change) == "1 x Q1"


def _plan(on_order: str = "", **tables: str) -> Any:  # noqa: ANN401 - a builder
    return plan_of(
        items="item,kind,unit\nacetone,solvent,mL\nglove,consumable,each",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        on_order=on_order,
        **{**TABLES, "practical_lines": LINES, **tables},
    )


def test_an_order_is_placed_at_the_price_and_for_the_day_of_the_plan() -> None:
    plan = _plan()
    changes = placed(to_place(plan, None).rows, (), day("01-25"), None)
    assert [(one.pack, one.packs, str(one.due), one.price, one.reference) for one in changes] == [
        ("Q1", 1, "2027-02-04", "3.00", "Quay 2027-01-25"),  # late: 8 working days
        ("H1", 1, "2027-01-27", "7.40", "Harbour 2027-01-25"),
    ]
    assert [row.offer.pack.pack for row in to_place(plan, "harbour").rows] == ["H1"]
    with pytest.raises(RefusedError, match=r"Did you mean Harbour\?"):
        to_place(plan, "Harbor")


def test_a_late_pack_that_is_on_its_way_is_not_ordered_again() -> None:
    found = to_place(_plan("pack,packs,due,reference\nQ1,1,2027-02-03,PO 1"), None)
    assert [row.offer.pack.pack for row in found.rows] == ["H1"]
    assert [row.offer.pack.pack for row in found.on_its_way] == ["Q1"]


@pytest.mark.parametrize(
    ("on_order", "placed_packs"),
    [
        ("Q1,1,2027-02-03,PO 1", 2),
        ("Q1,1,2027-02-04,PO 1", 2),  # the day on which a new one would arrive
        ("q1,2,2027-02-04,PO 1", 1),
        ("Q1,4,2027-02-04,PO 1", 0),
        ("Q1,3,2027-02-05,PO 1", 3),  # later than a new one
        ("Q2,3,2027-02-04,PO 1", 3),  # of the same item, another pack
    ],
)
def test_of_a_late_pack_only_what_is_not_on_its_way_by_then_is_placed(
    on_order: str, placed_packs: int
) -> None:
    plan = _plan(
        f"pack,packs,due,reference\n{on_order}",
        practical_lines="practical,item,amount,per,spare\nP,glove,25 each,session,0 %",
        packs="pack,item,supplier,size,price\nQ1,glove,Quay,10 each,3\nQ2,glove,Quay,1 each,3",
    )
    rows = to_place(plan, None).rows
    assert sum(row.packs for row in rows) == placed_packs


def test_a_second_order_of_a_day_has_a_reference_of_its_own() -> None:
    rows = to_place(_plan(), "Harbour").rows
    before = [
        fact_of(OnOrder, pack="H1", packs="1", due="2027-01-27", reference="Harbour 2027-01-25")
    ]
    (change,) = placed(rows, before, day("01-25"), None)
    assert change.reference == "Harbour 2027-01-25, 2"
    with pytest.raises(RefusedError, match="at another price"):
        placed(rows, before, day("01-25"), "Harbour 2027-01-25")


_DAYS = st.dates(date(2027, 2, 1), date(2027, 2, 3))


@given(
    rows=st.dictionaries(_DAYS, st.integers(1, 5), min_size=1),
    packs=st.integers(1, 15),
    due=_DAYS,
)
def test_what_happens_to_orders_keeps_their_sum(
    rows: dict[date, int], packs: int, due: date
) -> None:
    orders = [
        fact_of(OnOrder, pack="H1", packs=str(count), due=day_.isoformat())
        for day_, count in sorted(rows.items())
    ]
    there = sum(rows.values())
    if packs <= there:
        assert sum(one.packs for one in arrived(orders, packs)) == -packs
        assert sum(one.packs for one in cancelled(orders, packs)) == -packs
    if set(rows) != {due}:
        changes = due_changed(orders, due)
        assert sum(one.packs for one in changes) == 0
        left: dict[OrderKey, int] = {key_of(order): order.packs for order in orders}
        for one in changes:
            left[key_of(one)] = left.get(key_of(one), 0) + one.packs
        assert {key[2]: count for key, count in left.items() if count} == {due: there}


def test_the_price_is_kept_in_the_digits_it_was_typed_in() -> None:
    order = fact_of(OnOrder, pack="H1", packs="1", due="2027-02-05", price="7.10")
    assert order.price == Decimal("7.1")
    (change,) = cancelled([order], None)
    assert (change.what, change.price) == (OrderWhat.CANCELLED, "7.10")


@pytest.mark.parametrize(
    ("packs", "price", "in_all"),
    [(2, None, "14"), (3, None, "21.4"), (3, "6.95", "20.85"), (1, "0", "0")],
)
def test_packs_cost_what_they_were_ordered_at_or_what_was_really_paid(
    packs: int, price: str | None, in_all: str
) -> None:
    changes = arrived(Wanted(pack="H1").among(ORDERS), packs)
    assert price_of_all(changes, None if price is None else Decimal(price)) == in_all


def test_a_pack_without_a_price_leaves_what_was_paid_open() -> None:
    changes = arrived(Wanted(pack="H2").among(ORDERS), 1)
    assert price_of_all(changes) is None
    assert price_of_all(changes, Decimal("14.90")) == "14.9"


def test_a_price_keeps_every_digit_however_many_packs_came() -> None:
    change = OrderChange(what=OrderWhat.ARRIVED, pack="H1", packs=-999_999, due=day("02-05"))
    price = Decimal("999999999999.999999999999")
    assert price_of_all([change], price) == "999998999999999999.999999000001"


def test_a_delivery_says_who_sold_it_and_at_which_price() -> None:
    assert delivered(SHELF, "H1", 3, None).coming.bought == Bought("21.4", "Harbour")


def test_a_supplier_is_found_in_any_case_and_answered_with_the_nearest() -> None:
    assert supplier_named(SHELF.goods, "harbour") == "Harbour"
    with pytest.raises(RefusedError, match=r"'Harbor' is not a known supplier. Did you mean Har"):
        supplier_named(SHELF.goods, "Harbor")


FRESH = """
    item,kind,unit,shelf_life
    acetone,solvent,mL,1
    glove,consumable,each,"""
LATER = """
    session,practical,date,students
    S,P,2027-02-02,1
    T,P,2027-02-04,1"""


def _fresh(today: str) -> Plan:
    tables = {**TABLES, "practical_lines": LINES}
    return plan_of(today=today, items=FRESH, timetable=LATER, **tables)


def test_what_would_not_keep_is_not_placed_before_its_day() -> None:
    """It keeps a day: what is used on Thursday may come on Wednesday. Harbour takes 2 days."""
    found = to_place(_fresh("2027-01-25"), "Harbour")
    assert found.rows == ()
    assert [(row.offer.code, row.not_before) for row in found.too_early] == [
        ("H1", day("01-28")),
        ("H1", day("02-01")),
    ]
    assert list(to_place_lines(found, None)) == [
        "Not before Thu 28 Jan: 1 x H1 acetone, which would not keep. It is not ordered now.",
        "Not before Mon 1 Feb: 1 x H1 acetone, which would not keep. It is not ordered now.",
    ]


def test_deliveries_of_one_pack_that_are_sent_now_are_one_order() -> None:
    """On Tuesday it comes on Thursday: too late for the 2nd, and in date for the 4th."""
    found = to_place(_fresh("2027-02-02"), "Harbour")
    assert [(row.offer.code, row.packs) for row in found.rows] == [("H1", 2)]
    (change,) = placed(found.rows, (), day("02-02"), None)
    assert (change.packs, change.due) == (2, day("02-04"))


def test_what_is_on_its_way_for_another_session_is_not_on_its_way_for_a_late_one() -> None:
    """Two sessions of 300 mL on Monday and Friday; 400 mL come on Thursday and go to Friday's."""
    tables = {
        "timetable": "session,practical,date,students\nS,P,2027-02-01,1\nT,P,2027-02-05,1",
        "items": "item,kind,unit\nacetone,solvent,mL",
        "practical_lines": "practical,item,amount,per,spare\nP,acetone,300 mL,session,0 %",
        "suppliers": "supplier,lead_days\nQuay,8",
        "packs": "pack,item,supplier,size,price\nQ1,acetone,Quay,100 mL,3",
    }

    def wanted(packs: int) -> list[int]:
        plan = plan_of(on_order=f"pack,packs,due,reference\nQ1,{packs},2027-02-04,PO 1", **tables)
        return [row.packs for row in to_place(plan, None).rows]

    # 300 mL of it are Friday's; what is beside them counts for Monday's 300 mL.
    assert [wanted(packs) for packs in (3, 4, 5, 6)] == [[3], [2], [1], []]


def test_a_late_pack_of_which_a_little_is_used_later_is_not_ordered_again() -> None:
    """What is on its way is enough in amount, though not in whole packs that nothing else takes."""
    tables = {
        "timetable": "session,practical,date,students\nS,P,2027-02-01,1\nT,Q,2027-02-05,1",
        "items": "item,kind,unit\nacetone,solvent,mL",
        "practicals": "practical,title\nP,One\nQ,Two",
        "practical_lines": """
            practical,item,amount,per,spare
            P,acetone,280 mL,session,0 %
            Q,acetone,20 mL,session,0 %""",
        "suppliers": "supplier,lead_days\nQuay,8",
        "packs": "pack,item,supplier,size,price\nQ1,acetone,Quay,100 mL,3",
    }
    plan = plan_of(on_order="pack,packs,due,reference\nQ1,3,2027-02-04,PO 1", **tables)
    assert to_place(plan, None).rows == ()
