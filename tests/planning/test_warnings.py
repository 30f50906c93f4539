"""What a person is told to look at: each warning where it holds, and silence where it does not."""

from dataclasses import replace

import pytest

from prepstore.planning.calendar import Period
from prepstore.planning.make_plan import plan_period
from prepstore.planning.plan import Plan
from tests.builders import BY_ITEM, day, plan_of, warnings_about

ITEMS = """
    item,   kind,      unit, opened_life, minimum, minutes_per_use
    ether,  solvent,   mL,   10,          ,
    salt,   reagent,   g,    ,            ,
    funnel, apparatus, each, ,            ,
    rotary, apparatus, each, ,            ,        16"""
SHOP = "supplier,lead_days,minimum_order\nShop,1,"
PACKS = "pack,item,supplier,size,price\nA,ether,Shop,100 mL,8"


def _plan(line: str = "salt,1 g,air", today: str = "2027-01-25", **tables: str) -> Plan:
    given = {
        "items": ITEMS,
        "practical_lines": f"practical,per,item,amount,to\nP,session,{line}",
        "timetable": "session,practical,date,students\nS,P,2027-02-01,1",
        "stock": "lot,item,amount\nL,salt,1 kg\nF,funnel,4 each\nR,rotary,9 each",
        "suppliers": SHOP,
        "packs": PACKS,
        **tables,
    }
    return plan_of(today=today, **given)


def test_a_plan_with_nothing_amiss_warns_of_nothing() -> None:
    assert _plan().warnings == ()


def test_what_nobody_sells_is_named_with_its_amount() -> None:
    (message,) = warnings_about(_plan("ether,30 mL,air", packs="", suppliers=""), "ether")
    assert message.startswith("30 mL")
    assert warnings_about(_plan("ether,30 mL,air"), "ether") == []


def test_what_is_short_before_the_period_is_told_and_not_ordered() -> None:
    plan = _plan("ether,30 mL,air", timetable="session,practical,date,students\nS,P,2027-01-29,1")
    (message,) = warnings_about(plan, "ether")
    assert message.startswith("30 mL is short for sessions before this period (S)")
    assert plan.orders == ()


@pytest.mark.parametrize(("minimum", "warned"), [("16", 0), ("16.01", 1), ("", 0)])
def test_an_order_below_the_suppliers_minimum_is_told(minimum: str, warned: int) -> None:
    plan = _plan("ether,150 mL,air", suppliers=SHOP + minimum, settings=BY_ITEM)
    assert len(warnings_about(plan, "Shop")) == warned


def test_a_supplier_without_a_lead_time_in_an_old_store_is_told_where_it_is_ordered_from() -> None:
    assert len(warnings_about(_of_old_store(_plan("ether,1 mL,air")), "Shop")) == 1
    assert warnings_about(_of_old_store(_plan()), "Shop") == []


def _of_old_store(plan: Plan) -> Plan:
    shop = replace(plan.catalogue.suppliers["shop"], lead_days=None)
    catalogue = replace(plan.catalogue, suppliers={"shop": shop})
    return plan_period(catalogue, plan.timetable, plan.stores, plan.period, plan.today)


def test_an_overdue_delivery_is_named_and_not_counted() -> None:
    plan = _plan("ether,1 mL,air", on_order="pack,packs,due,reference\nA,2,2027-01-24,PO 7")
    (message,) = warnings_about(plan, "ether")
    assert "PO 7" in message
    assert plan.stock["ether"].short == 1


@pytest.mark.parametrize(("cells", "warned"), [(",", 1), ("2027-03-01,", 0), (",2027-01-24", 0)])
def test_a_lot_without_the_dates_it_should_have_is_named_where_it_is_wanted(
    cells: str, warned: int
) -> None:
    stock = f"lot,item,amount,expiry,opened\nE,ether,90 mL,{cells}\nL,salt,1 g,,"
    assert len(warnings_about(_plan("ether,1 mL,air", stock=stock), "ether")) == warned
    assert warnings_about(_plan(stock=stock), "ether") == []


@pytest.mark.parametrize(("empty", "warned"), [("2", 1), ("3", 0), ("", 0)])
def test_too_few_empty_waste_containers_are_told(empty: str, warned: int) -> None:
    """380 mL in containers of 90 mL usable, 10 mL of it in the open one: 5 with the open one."""
    plan = _plan(
        "ether,260 mL,liquid",
        stock="lot,item,amount,expiry\nE,ether,1 L,2027-03-01",
        waste_streams="stream,measure,container,empty_containers,part_full\n"
        f"liquid,volume,100 mL,{empty},100 mL",
    )
    assert len(warnings_about(plan, "liquid")) == warned


def test_what_has_no_end_and_what_a_stream_cannot_count_are_told() -> None:
    assert len(warnings_about(_plan("salt,1 g,"), "not assigned")) == 1
    plan = _plan("salt,1 g,liquid", waste_streams="stream,measure\nliquid,volume")
    (message,) = warnings_about(plan, "liquid")
    assert "salt" in message


@pytest.mark.parametrize(("count", "warned"), [(4, 0), (5, 1)])
def test_short_apparatus_is_told(count: int, warned: int) -> None:
    assert len(warnings_about(_plan(f"funnel,{count} each,"), "funnel")) == warned


def test_a_shared_instrument_without_a_time_to_serve_is_named() -> None:
    (message,) = warnings_about(_plan("rotary,2 each,"), "rotary")
    assert "S" in message
    assert "not worked out" in message


def test_two_sessions_in_one_room_at_one_time_are_told() -> None:
    timetable = """
        session, practical, date,       students, room, start, end
        S,       P,         2027-02-01, 1,        Lab,  09:00, 11:00
        T,       P,         2027-02-01, 1,        lab,  10:00, 12:00"""
    (message,) = warnings_about(_plan(timetable=timetable), "T")
    assert "S" in message
    over = _plan(timetable=timetable, today="2027-02-02").warnings
    assert [one.code for one in over] == ["not-booked-out"]


def test_sessions_that_are_over_and_not_booked_out_are_named_with_the_command() -> None:
    timetable = """
        session, practical, date,       students
        R,       P,         2026-11-29, 1
        S,       P,         2027-01-21, 1
        T,       P,         2027-01-22, 1
        U,       P,         2027-01-23, 0
        V,       P,         2027-01-25, 1"""
    plan = _plan(timetable=timetable)
    assert [work.session.session for work in plan.behind] == ["S", "T"]  # R is too long ago
    (message,) = warnings_about(plan, "T")
    assert "2 sessions are over and not booked out (the last: S, T)" in message
    assert message.endswith("prepstore stock use --until 2027-01-22")
    only = _plan(timetable=timetable.replace("2027-01-21", "2027-02-01"))
    assert warnings_about(only, "T")[0].startswith("This session is over and not booked out, so")


def test_a_session_that_is_booked_out_is_not_behind() -> None:
    plan = _plan(timetable="session,practical,date,students\nS,P,2027-01-22,1")
    assert plan.behind[0].scale.needs == {"salt": 1}
    booked = replace(plan.timetable, booked_out={"s": day("01-22")})
    again = plan_period(plan.catalogue, booked, plan.stores, plan.period, plan.today)
    assert (again.behind, again.warnings) == ((), ())


@pytest.mark.parametrize(
    ("shelf_life", "date", "warned"),
    [("0", "2027-02-06", 1), ("1", "2027-02-06", 0), ("1", "2027-02-07", 1), ("", "2027-02-07", 0)],
)
def test_what_no_working_day_can_bring_in_date_is_told(
    shelf_life: str, date: str, warned: int
) -> None:
    """The 6th is a Saturday: what keeps a day may come on Friday for it, not for Sunday."""
    plan = _plan(
        "ether,10 mL,air",
        items=f"item,kind,unit,shelf_life\nether,solvent,mL,{shelf_life}\nsalt,reagent,g,",
        timetable=f"session,practical,date,students\nS,P,{date},1",
        stock="",
    )
    assert len(warnings_about(plan, "ether")) == warned


@pytest.mark.parametrize(
    ("stock", "warned"),
    [("A,ether,10 mL", 0), ("A,ether,9 mL", 1), ("A,ether,6 mL\nB,ether,4 mL", 1), ("", 1)],
)
def test_what_is_to_come_from_one_lot_and_cannot_is_told(stock: str, warned: int) -> None:
    plan = _plan(
        practical_lines="practical,per,item,amount,to,one_lot\nP,session,ether,10 mL,air,yes",
        stock=f"lot,item,amount\n{stock}",
        items=ITEMS.replace("mL,   10", "mL,     "),
    )
    assert len(warnings_about(plan, "ether")) == warned


def test_a_solution_to_be_made_without_parts_is_told() -> None:
    plan = _plan("brine,45 mL,air", solutions="solution\nbrine")
    assert len(warnings_about(plan, "brine")) == 1


def _retired(item: str = "", supplier: str = "") -> list[str]:
    plan = _plan(
        "ether,10 mL,air",
        items=f"item,kind,unit,retired\nether,solvent,mL,{item}\nsalt,reagent,g,",
        stock="lot,item,amount\nL,salt,1 kg",
        suppliers=f"supplier,lead_days,retired\nShop,1,{supplier}",
    )
    return [order.name for order in plan.orders] + warnings_about(plan, "ether")


def test_nothing_is_ordered_from_who_is_retired_on_the_day_of_the_plan() -> None:
    assert _retired(supplier="2027-01-26") == ["ether"]
    (message,) = _retired(supplier="2027-01-25")
    assert message.endswith("every supplier of it in the table packs is retired.")


@pytest.mark.parametrize(("retired", "warnings"), [("2027-02-01", 0), ("2027-01-29", 1)])
def test_what_a_solution_is_made_from_though_it_is_retired_by_then_is_told(
    retired: str, warnings: int
) -> None:
    """The session is on Monday 1 February, so brine is made on Friday 29 January."""
    plan = _plan(
        "brine,10 mL,air",
        items=f"item,kind,unit,retired\nsalt,reagent,g,{retired}",
        solutions="solution\nbrine",
        solution_parts="solution,item,amount\nbrine,salt,5 % w/v",
        stock="lot,item,amount\nL,salt,1 kg",
        packs="pack,item,supplier,size,price\nA,salt,Shop,1 kg,8",
    )
    assert len(warnings_about(plan, "salt")) == warnings


@pytest.mark.parametrize(("booked_for", "warned"), [("2027-02-01", 0), ("2027-01-28", 1)])
def test_a_session_that_was_booked_out_and_then_moved_is_done_and_told(
    booked_for: str, warned: int
) -> None:
    before = _plan()
    timetable = replace(before.timetable, booked_out={"s": day(booked_for)})
    period, today = Period.of_week("2027-W05"), day("2027-01-25")
    plan = plan_period(before.catalogue, timetable, before.stores, period, today)
    assert [str(one.state) for one in plan.sessions] == ["done"]
    told = warnings_about(plan, "S")
    assert len(told) == warned
    assert all("booked out for Thu 28 Jan 2027" in one for one in told)


def test_a_warning_is_about_the_item_as_its_table_spells_it() -> None:
    plan = _plan(
        items="item,kind,unit,minimum,opened_life\nSalt,reagent,g,1 g,30",
        stock="lot,item,amount\nL,SALT,5 g",
        suppliers="supplier,lead_days\nShop,1",
        packs="pack,item,supplier,size,price\nA,salt,Shop,1 g,1",
        on_order="pack,packs,due\na,1,2027-01-04",
    )
    assert [(one.code, one.about) for one in plan.warnings] == [
        ("delivery-overdue", "Salt"),
        ("lot-without-dates", "Salt"),
    ]


def test_what_no_script_assigns_is_named_with_its_amount_and_practicals() -> None:
    plan = _plan(
        items="item,kind,unit\nsalt,reagent,g\nglove,consumable,each",
        practical_lines="practical,item,amount,per\nP,salt,26 g,session\nP,glove,1 each,session",
        timetable="session,practical,date,students\nS,P,2027-02-01,4",
        stock="lot,item,amount\nL,salt,1 kg\nG,glove,9 each",
        packs="",
    )
    assert warnings_about(plan, "not assigned") == [
        "No waste stream is given for 26 g of salt (P): fill in the column to."
    ]
