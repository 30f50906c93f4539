from decimal import Decimal

from prepstore.planning.ahead.make_or_buy import MakeOrBuy
from tests.builders import figures
from tests.planning.ahead.terms import ahead

TABLES = {
    "items": """
        item,kind,unit,formula,supply
        salt,reagent,g,NaCl,
        water,solvent,mL,,made on site
        """,
    "solutions": "solution,shelf_life\nbrine,30",
    "solution_parts": "solution,item,amount\nbrine,salt,10 % w/v\nbrine,water,to volume",
    "practicals": "practical,title\nP,Washing",
    "practical_lines": "practical,item,amount,per,spare\nP,brine,400 mL,session,",
    "timetable": "session,practical,date,students\nS1,P,2027-02-03,4\nS2,P,2027-02-17,4",
    "stock": "lot,item,amount\nL1,salt,1 kg",
    "suppliers": "supplier,lead_days,delivery_charge\nNorth,2,3",
    "packs": "pack,item,supplier,size,price\nN1,salt,North,50 g,4\nN2,brine,North,350 mL,{price}",
}


def made_or_bought(price: str) -> list[MakeOrBuy]:
    tables = {name: text.replace("{price}", price) for name, text in TABLES.items()}
    return list(ahead(tables=tables).solutions)


def test_both_sides_are_whole_packs_with_their_delivery_as_if_nothing_were_there() -> None:
    """By hand: a flask of 500 mL leaves 100 mL of S1's, one more is made for S2.

    100 g of salt are two packs, 8 + 3; 700 mL of brine are two packs, 18 + 3.
    """
    (one,) = made_or_bought("9")
    assert one == MakeOrBuy("brine", Decimal(11), Decimal(21))


def test_all_that_a_solution_is_made_of_and_costs_money_counts() -> None:
    """By hand: two packs of salt, 8, one of sugar, 5, and the delivery of all, 3."""
    tables = {name: text.replace("{price}", "9") for name, text in TABLES.items()}
    tables["items"] = tables["items"].rstrip() + "\n        sugar,reagent,g,,"
    tables["solution_parts"] += "\nbrine,sugar,10 % w/v"
    tables["packs"] += "\nN3,sugar,North,100 g,5"
    (one,) = ahead(tables=tables).solutions
    assert one == MakeOrBuy("brine", Decimal(16), Decimal(21))


def test_a_solution_that_nobody_sells_is_not_compared() -> None:
    tables = {**TABLES, "packs": "pack,item,supplier,size,price\nN1,salt,North,50 g,4"}
    assert list(ahead(tables=tables).solutions) == []


def test_what_is_made_of_something_that_nobody_sells_has_no_cost() -> None:
    packs = "pack,item,supplier,size,price\nN2,brine,North,500 mL,9"
    (one,) = ahead(tables={**TABLES, "packs": packs}).solutions
    assert one == MakeOrBuy("brine", None, Decimal(21))


def test_the_work_counts_for_each_making_where_minutes_and_an_hour_are_given() -> None:
    """By hand: two makings of 20 minutes at 30 an hour."""
    tables = {
        **{name: text.replace("{price}", "9") for name, text in TABLES.items()},
        "solutions": "solution,shelf_life,minutes_to_make\nbrine,30,20",
        "settings": "setting,value\nhour_cost,30",
    }
    (one,) = ahead(tables=tables).solutions
    assert figures(one.time, one.made_in_all) == (20, 31)
    (unknown,) = ahead(tables={**tables, "settings": ""}).solutions
    assert figures(unknown.time, unknown.made_in_all) == (None, 11)
