"""Rules 8 and 9: what the stores hold and expect, and what a shelf is filled up to."""

import pytest

from prepstore.planning.draws import Supplies
from prepstore.planning.orders import Offer
from prepstore.planning.supplies import (
    in_date_amount,
    left_of_deliveries,
    overdue,
    packs_sold,
    restock,
    supplies_of,
    undated,
)
from prepstore.stores import Stores
from tests.builders import (
    day,
    delivery,
    facts_from,
    figures,
    holding,
    item,
    material,
    number,
    plan_of,
    stock_of,
)

ITEMS = """
    item,  kind,       unit, density, opened_life, supply,       daily_capacity
    ether, solvent,    mL,   0.5,     10,          bought,
    ice,   consumable, g,    ,        ,            made on site, 2 kg
    water, solvent,    mL,   ,        ,            made on site,"""
SOLD = {
    "suppliers": "supplier,lead_days\nShop,0",
    "packs": "pack,item,supplier,size,price\nA,ether,Shop,1 L,9\nB,ether,Shop,500 g,9",
}


TODAY = day("02-01")


def _stores(**tables: str) -> Stores:
    return facts_from({"items": ITEMS, **tables}).stores


def _of(name: str, **tables: str) -> Supplies:
    return supplies_of(_stores(**tables), TODAY)[name]


def test_lots_and_packs_are_worked_out_in_the_items_unit() -> None:
    stores = _stores(stock="lot,item,amount\nL,ether,100 g", **SOLD)
    assert [held.amount for held in supplies_of(stores, TODAY)["ether"].lots] == [200]
    assert [offer.size for offer in packs_sold(stores.goods, TODAY)["ether"]] == [1000, 1000]


@pytest.mark.parametrize(("state", "counted"), [("usable", 1), ("quarantine", 0), ("reserved", 0)])
def test_only_usable_lots_are_supplies(state: str, counted: int) -> None:
    stock = f"lot,item,amount,state\nL,ether,1 mL,{state}"
    assert len(_of("ether", stock=stock).lots) == counted


@pytest.mark.parametrize(
    ("due", "counts"), [("2027-01-31", 0), ("2027-02-01", 2000), ("2027-02-09", 2000)]
)
def test_deliveries_count_from_today_and_what_is_overdue_is_named(due: str, counts: int) -> None:
    stores = _stores(**SOLD, on_order=f"pack,packs,due,reference\nA,2,{due},PO 1")
    supplies = supplies_of(stores, TODAY)["ether"]
    assert sum(one.amount for one in supplies.deliveries) == counts
    assert len(overdue(stores, TODAY)) == (0 if counts else 1)


def test_a_cleared_order_is_nothing_to_come() -> None:
    stores = _stores(**SOLD, on_order="pack,packs,due\nA,0,2027-01-01")
    assert stores.deliveries == ()


def test_what_is_made_on_site_has_its_capacity_or_no_limit() -> None:
    assert _of("ice").daily_capacity == 2000
    assert _of("water").daily_capacity == number("Infinity")
    assert _of("ether").daily_capacity is None


@pytest.mark.parametrize(
    ("lot_row", "named"),
    [
        ("ether,1 mL,,", 1),
        ("ether,0 mL,,", 0),
        ("ether,1 mL,2027-03-01,", 0),
        ("ether,1 mL,,2027-01-30", 0),
        ("water,1 mL,,", 0),
    ],
)
def test_a_lot_that_keeps_once_opened_and_has_no_date_counts_and_is_named(
    lot_row: str, named: int
) -> None:
    stores = _stores(stock=f"lot,item,amount,expiry,opened\nL,{lot_row}")
    assert len(undated(stores)) == named
    assert stores.holdings["l"].is_in_date(day("2040-01-01")) is lot_row.endswith(",,")


def test_what_is_left_is_in_date_and_less_what_was_drawn() -> None:
    supplies = Supplies(
        (holding("a", 5, "02-07"), holding("b", 7, "02-06")),
        (delivery("02-07", 11), delivery("02-08", 13)),
    )
    assert in_date_amount(supplies, day("02-07"), {"a": number(2), "b": number(1)}) == 3
    assert left_of_deliveries(supplies, day("02-07"), {supplies.deliveries[0]: number(1)}) == 10


@pytest.mark.parametrize(
    ("left", "restock_to", "wanted"),
    [
        (500, "", 0),
        ("499.9999999999", "", 0),
        ("499", "", 1),
        (0, "", 500),
        (500, "2 kg", 0),
        (499, "2 kg", 1501),
    ],
)
def test_a_shelf_under_its_minimum_is_filled_up_to_restock_to_or_the_minimum(
    left: object, restock_to: str, wanted: int
) -> None:
    cells = {"restock_to": restock_to} if restock_to else {}
    fact = item(minimum="500 g", **cells)
    assert restock(fact, material(), number(left)) == wanted


def test_without_a_minimum_nothing_is_restocked() -> None:
    assert restock(item(restock_to="2 kg"), material(), number(0)) == 0


def test_the_restock_is_after_use_on_the_periods_last_day_deliveries_included() -> None:
    """Of 300 mL 120 are used, 60 expire on Saturday, 50 come on Sunday: 170 left of 500."""
    plan = plan_of(
        items="item,kind,unit,minimum\nether,solvent,mL,500 mL",
        practical_lines="practical,item,amount,per\nP,ether,100 mL,group",
        timetable="session,practical,date,students\nS,P,2027-02-01,1",
        suppliers="supplier,lead_days\nShop,0",
        packs="pack,item,supplier,size,price\nA,ether,Shop,50 mL,1",
        stock="""
            lot, item,  amount, expiry
            a,   ether, 90 mL,  2027-02-06
            b,   ether, 210 mL, 2027-03-01""",
        on_order="pack,packs,due,reference\nA,1,2027-02-07,x\nA,1,2027-02-08,y",
    )
    row = stock_of(plan, "ether")
    assert figures(row.needed, row.short, row.restock) == (120, 0, 500 - (210 - 30) - 50)


def test_what_is_promised_is_gone_from_the_shelf_before_it_is_filled_up() -> None:
    plan = plan_of(
        items="item,kind,unit,minimum\nsalt,reagent,g,100 g",
        practical_lines="practical,item,amount,per\nP,salt,30 g,session",
        timetable="session,practical,date,students\nbefore,P,2027-01-29,1\nS,P,2027-02-01,1",
        stock="lot,item,amount\nL,salt,120 g",
    )
    assert stock_of(plan, "salt").restock == 40


def test_for_a_solution_the_restock_is_shown_and_no_batch_is_planned() -> None:
    plan = plan_of(solutions="solution,minimum,restock_to\nbrine,100 mL,2 L")
    assert figures(stock_of(plan, "brine").restock, plan.batches, plan.orders) == (2000, (), ())


def _sold(**tables: str) -> tuple[Offer, ...]:
    return packs_sold(_stores(**tables).goods, TODAY).get("ether", ())


@pytest.mark.parametrize(("retired", "sold"), [("2027-02-01", 0), ("2027-02-02", 2)])
def test_what_is_retired_is_not_sold_nor_is_anything_by_who_is(retired: str, sold: int) -> None:
    items = f"item,kind,unit,density,retired\nether,solvent,mL,0.5,{retired}"
    assert len(_sold(items=items, **SOLD)) == sold
    gone = {**SOLD, "suppliers": f"supplier,lead_days,retired\nShop,0,{retired}"}
    assert len(_sold(**gone)) == sold
