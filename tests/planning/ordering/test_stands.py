from decimal import Decimal

from prepstore.amounts import Kind
from prepstore.planning.calendar import Period
from prepstore.planning.ordering.stands import Stand, limits_of, stand_of
from tests.builders import WEEK, day, facts_from, figures

TABLES = {
    "items": """
        item,kind,unit,density,storage,most_held
        acetone,solvent,mL,0.8,Cabinet,5 L
        salt,reagent,g,2,cabinet,
        paper,consumable,each,,cabinet,
        sand,reagent,g,,cabinet,
        water,solvent,mL,1,sink,
        """,
    "practicals": "practical,title\nP,Washing",
    "practical_lines": "practical,item,amount,per,spare\nP,acetone,100 mL,session,",
    "timetable": "session,practical,date,students\nS,P,2027-02-03,4",
    "stock": """
        lot,item,amount,expiry,state
        A1,acetone,1 L,2027-02-02,
        A2,acetone,2 L,,
        A3,acetone,4 L,,quarantine
        """,
    "suppliers": "supplier,lead_days\nNorth,2",
    "packs": "pack,item,supplier,size,price\nN,acetone,North,500 mL,3",
    "on_order": "pack,packs,due\nN,1,2027-03-01",
    "storage_limits": "storage,most\ncabinet,30 L",
}


def stand() -> Stand:
    checked = facts_from(TABLES)
    plan = checked.plan(Period.of_week(WEEK), day("01-25"))
    return stand_of(plan.stores, plan.served.values())


def test_what_is_there_counts_every_lot_in_date_and_all_that_is_on_order() -> None:
    assert stand().there("acetone", day("02-02")) == 1000 + 2000 + 4000 + 500


def test_what_is_used_is_gone_from_the_next_day_on_and_what_is_out_of_date_too() -> None:
    assert stand().there("acetone", day("02-03")) == 2000 + 4000 + 500
    assert stand().there("acetone", day("02-04")) == 2000 + 4000 + 500 - 100


def test_a_place_counts_its_items_in_its_own_measure_and_names_what_it_cannot_count() -> None:
    of_item, of_place = limits_of(stand().stores.goods)
    assert figures(of_item.name, of_item.amount, of_item.of_storage) == ("acetone", 5000, False)
    assert figures(of_place.name, of_place.kind, of_place.amount) == (
        "cabinet",
        Kind.VOLUME,
        30_000,
    )
    assert of_place.of_one == {"acetone": 1, "salt": Decimal("0.5")}
    assert of_place.unknown == ("paper", "sand")


def test_what_was_taken_from_a_lot_that_is_gone_is_not_taken_from_the_others() -> None:
    """By hand: 100 mL come from the lot that is out of date on the 4th, so 2 L and 4 L are left."""
    tables = {**TABLES, "stock": TABLES["stock"].replace("2027-02-02", "2027-02-03")}
    plan = facts_from(tables).plan(Period.of_week(WEEK), day("01-25"))
    found = stand_of(plan.stores, plan.served.values())
    assert found.there("acetone", day("02-03")) == 1000 + 2000 + 4000 + 500
    assert found.there("acetone", day("02-04")) == 2000 + 4000 + 500


def test_what_is_made_on_site_takes_nothing_from_the_stores() -> None:
    items = TABLES["items"].replace("most_held\n", "most_held,supply\n")
    tables = {**TABLES, "items": items.replace("Cabinet,5 L", "Cabinet,5 L,made on site")}
    tables["stock"] = "lot,item,amount\nA1,acetone,60 mL"
    plan = facts_from(tables).plan(Period.of_week(WEEK), day("01-25"))
    found = stand_of(plan.stores, plan.served.values())
    assert found.there("acetone", day("02-04")) == 60 - 60 + 500
