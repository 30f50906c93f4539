from typing import Any

from prepstore.movements import OrderChange, OrderWhat, RecordedOrder
from prepstore.report.order_list import (
    ON_ORDER_COLUMNS,
    ORDER_HISTORY_COLUMNS,
    on_order_lines,
    on_order_rows,
    order_change_lines,
    order_history_lines,
    order_history_rows,
    to_place_lines,
)
from prepstore.shelf.deliveries import to_place
from tests.builders import BY_ITEM, day, plan_of
from tests.shelf.small_shelf import shelf

TODAY = day("02-03")


def _rows() -> list[dict[str, Any]]:
    stores = shelf(
        suppliers="supplier,lead_days\nHarbour,0",
        packs="pack,item,supplier,size,price\nH1,acetone,Harbour,1 L,7.40",
        on_order="pack,packs,due,reference,price\nH1,2,2027-02-05,PO 1,7.00\nH1,1,2027-02-02,,",
    ).stores
    return on_order_rows(stores, TODAY)


def test_orders_stand_the_first_to_come_first_at_the_price_they_were_placed_at() -> None:
    first, second = _rows()
    assert tuple(first) == ON_ORDER_COLUMNS
    assert (first["due"], first["overdue"], first["value"]) == ("2027-02-02", True, None)
    assert (second["overdue"], second["price"], second["value"]) == (False, 7, 14)


def test_a_list_of_orders_says_what_is_overdue_and_what_all_costs() -> None:
    lines = list(on_order_lines(_rows(), "EUR"))
    assert "OVERDUE" in lines[1]
    assert "2 x H1" in lines[2]
    assert "14.00 EUR" in lines[2]
    assert lines[-1] == "On order for 14.00 EUR, and 1 of which the price is not known"
    assert list(on_order_lines([], "EUR")) == ["Nothing is on order."]


def test_what_is_about_to_be_ordered_says_charge_and_minimum() -> None:
    plan = plan_of(
        items="item,kind,unit\nacetone,solvent,mL",
        suppliers="supplier,lead_days,delivery_charge,minimum_order\nHarbour,2,8,50",
        packs="pack,item,supplier,size,price\nH1,acetone,Harbour,1 L,7.40",
        practical_lines="practical,item,amount,per\nP,acetone,900 mL,session",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        settings=BY_ITEM,
    )
    assert list(to_place_lines(to_place(plan, None), "EUR")) == [
        "Harbour, 7.40 EUR",
        "  1 x H1 acetone 1 L, 7.40 EUR, comes Wed 27 Jan",
        "  and 8.00 EUR for the delivery",
        "  below the minimum order of 50.00 EUR",
    ]


def _change(what: OrderWhat, packs: int, due: str = "02-05") -> OrderChange:
    return OrderChange(
        what=what, pack="H1", packs=packs, due=day(due), reference="PO 1", price="7.00"
    )


def test_another_day_is_told_once_with_the_new_one() -> None:
    changes = [
        _change(OrderWhat.DUE_CHANGED, -2),
        _change(OrderWhat.DUE_CHANGED, 2, "02-09"),
        _change(OrderWhat.UNDONE, -1),
    ]
    assert list(order_change_lines(changes)) == [
        "due changed: 2 x H1 (PO 1), due Tue 9 Feb 2027",
        "undone: -1 x H1 (PO 1), due Fri 5 Feb 2027",
    ]


def test_the_history_of_orders_says_who_and_what_was_undone() -> None:
    history = [
        RecordedOrder(
            number=1, entry=4, change=_change(OrderWhat.PLACED, 2), on_day=TODAY, at_utc="then",
            by="Kim", undone_by=5,
        )
    ]  # fmt: skip
    lines = list(order_history_lines(history))
    assert lines[1].split("  ")[0] == "4"
    assert "undone by entry 5" in lines[1]
    assert lines[-1] == "1 change"
    (row,) = order_history_rows(history)
    assert tuple(row) == ORDER_HISTORY_COLUMNS
    assert (row["packs"], row["price"], row["due"]) == (2, 7, "2027-02-05")
