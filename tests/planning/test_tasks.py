"""What is to be done on each day: by the clock, parts before what is made of them."""

from datetime import datetime, time

import pytest

from prepstore.planning.batches import Batch
from prepstore.planning.collection_tasks import CollectionToCall
from prepstore.planning.plan import Plan
from prepstore.planning.tasks import (
    Fetched,
    OutOfDate,
    SupplierOrder,
    Task,
    TaskKind,
    begin_at,
    tasks_of,
)
from tests.builders import BY_ITEM, day, figures, number, plan_of, warnings_about

TABLES = {
    "items": """
        item,  kind,       unit, supply,       peroxide_test, storage
        salt,  reagent,    g,    bought,       ,
        ether, solvent,    mL,   bought,       90,
        ice,   consumable, g,    made on site, ,
        flask, apparatus,  each, bought,       ,              bay 2""",
    "solutions": """
        solution, shelf_life, make_within
        stock,    30,
        fresh,    0,
        warm,     1,          2""",
    "solution_parts": """
        solution, item,  amount
        stock,    salt,  100 g/L
        stock,    ether, to volume
        fresh,    stock, 100 mL/L
        fresh,    ether, to volume
        warm,     salt,  10 g/L
        warm,     ether, to volume""",
    "practical_lines": """
        practical, item,  amount, per
        P,         fresh, 20 mL,  session
        P,         warm,  20 mL,  session
        P,         ice,   100 g,  session
        P,         flask, 1 each, group""",
    "timetable": """
        session, practical, date,       start, end,   students
        S,       P,         2027-02-02, 10:00, 12:00, 3
        T,       P,         2027-02-02, 09:00, 11:00, 2""",
    "stock": """
        lot, item,  amount, expiry,     opened
        L,   salt,  1 kg,   ,
        E,   ether, 5 L,    ,           2026-11-05
        OLD, salt,  900 g,  2027-02-02,""",
    "suppliers": "supplier,lead_days,delivery_charge\nShop,1,4\nPort,1,",
    "packs": """
        pack, item,  supplier, size, price
        A,    salt,  Shop,     1 kg, 9
        B,    ether, Shop,     1 L,  5
        C,    salt,  Port,     1 kg, 9""",
}


def _plan(today: str = "2027-01-25", **tables: str) -> Plan:
    return plan_of(today=today, **{**TABLES, **tables})


def _on(date: str, plan: Plan) -> list[tuple[str, str]]:
    return [
        (str(task.kind), f"{task.by:%H:%M}" if task.by else "")
        for task in tasks_of(plan)
        if task.day == day(date)
    ]


def _of_kind(kind: TaskKind, plan: Plan) -> list[Task]:
    return [task for task in tasks_of(plan) if task.kind is kind]


def test_a_day_goes_by_the_clock() -> None:
    assert _on("02-02", _plan()) == [
        ("Make up", "09:00"),  # fresh and warm of T
        ("Make up", "09:00"),
        ("Fetch", "09:00"),
        ("Session", "09:00"),
        ("Make up", "10:00"),
        ("Fetch", "10:00"),
        ("Session", "10:00"),
        ("Clear, book out", "11:00"),
        ("Clear, book out", "12:00"),
    ]
    # The day before: the stock that both are made from, and both are set out.
    assert _on("02-01", _plan()) == [("Make up", ""), ("Set out", ""), ("Set out", "")]


def test_what_goes_out_of_date_is_discarded_the_day_after_and_peroxides_are_tested_in_time() -> (
    None
):
    plan = _plan()
    discarded = _of_kind(TaskKind.DISCARD, plan)
    names = [(task.of.of, task.day) for task in discarded if isinstance(task.of, OutOfDate)]
    lots = [(one.label, day_) for one, day_ in names if not isinstance(one, Batch)]
    assert lots == [("OLD", day("02-03"))]
    batches = {(one.solution.solution, day_) for one, day_ in names if isinstance(one, Batch)}
    assert batches == {("fresh", day("02-03")), ("warm", day("02-03"))}
    (test,) = _of_kind(TaskKind.TEST, plan)
    assert test.day == day("02-03")  # 90 days after 5 November
    late = _of_kind(TaskKind.TEST, _plan(today="2027-02-04"))
    assert [task.day for task in late] == [day("02-04")]


def test_orders_are_one_a_supplier_and_day() -> None:
    stock = "lot,item,amount\nE,ether,5 L"
    (order,) = _of_kind(TaskKind.ORDER, _plan(stock=stock, settings=BY_ITEM))
    assert isinstance(order.of, SupplierOrder)
    assert (order.of.supplier.supplier, order.of.send_by) == ("Shop", day("01-29"))
    assert figures(order.of.goods, len(order.of.rows), order.of.is_late) == (9, 1, False)
    both = "lot,item,amount\nE,ether,0 L"
    (order,) = _of_kind(TaskKind.ORDER, _plan(stock=both, settings=BY_ITEM))
    assert isinstance(order.of, SupplierOrder)
    assert (order.of.goods, len(order.of.rows)) == (number(14), 2)


def test_a_late_order_is_sent_today() -> None:
    stock = "lot,item,amount\nE,ether,5 L"
    (order,) = _of_kind(TaskKind.ORDER, _plan(today="2027-02-01", stock=stock))
    assert isinstance(order.of, SupplierOrder)
    assert (order.day, order.of.is_late) == (day("02-01"), True)


def test_what_is_made_on_site_is_fetched_once_a_session_on_its_day() -> None:
    fetched = [task.of for task in _of_kind(TaskKind.FETCH, _plan())]
    found = [(one.work.session.session, one.things) for one in fetched if isinstance(one, Fetched)]
    assert found == [("T", (("ice", number(100)),)), ("S", (("ice", number(100)),))]


def test_what_is_made_within_hours_stands_on_the_day_with_its_first_moment() -> None:
    (warm,) = (
        task.of
        for task in _of_kind(TaskKind.MAKE_UP, _plan())
        if isinstance(task.of, Batch) and task.of.solution.solution == "warm"
    )
    assert begin_at(warm) == datetime(2027, 2, 2, 7)  # noqa: DTZ001 - the department's own clock


@pytest.mark.parametrize(
    ("begins", "about"),
    [("08:00", set()), ("09:00", set()), ("09:30", {"warm", "fresh", "T"})],
)
def test_what_is_due_before_the_day_begins_is_a_warning(begins: str, about: set[str]) -> None:
    plan = _plan(settings=f"setting,value\nday_begins,{begins}")
    assert {one.about for one in plan.warnings if one.code == "before-the-day"} == about


def test_what_is_due_before_the_day_begins_is_told_by_the_clock() -> None:
    plan = _plan(today="2027-02-02", settings="setting,value\nday_begins,10:30")
    told = [one.about for one in plan.warnings if one.code == "before-the-day"]
    assert [about for about in told if about in ("S", "T")] == ["T", "T", "S", "S"]


def test_a_session_of_the_day_itself_is_set_out_by_its_start() -> None:
    plan = _plan(today="2027-02-02")
    assert [task.by for task in _of_kind(TaskKind.SET_OUT, plan)] == [time(9), time(10)]


def test_sessions_that_are_over_or_empty_have_no_tasks() -> None:
    plan = _plan(today="2027-02-03")
    assert _of_kind(TaskKind.RUN, plan) == []
    none = _plan(timetable="session,practical,date,students\nS,P,2027-02-02,0")
    assert _of_kind(TaskKind.RUN, none) == []


def test_small_parts_left_overs_and_large_batches_are_warnings() -> None:
    tiny = TABLES["solution_parts"].replace("10 g/L", "0.1 g/L").replace("100 mL/L", "1 mL/L")
    plan = _plan(solution_parts=tiny)
    assert any("5 g" in text or "0.005 g" in text for text in warnings_about(plan, "warm"))
    codes = {(one.code, one.about) for one in plan.warnings}
    assert {
        ("too-small-to-weigh", "warm"),
        ("too-small-to-measure", "fresh"),
        ("mostly-left-over", "fresh"),
    } <= codes
    large = TABLES["practical_lines"].replace("20 mL", "9 L")
    assert ("no-largest-batch", "warm") in {
        (one.code, one.about) for one in _plan(practical_lines=large).warnings
    }


def test_after_a_closed_week_benches_are_set_out_on_the_morning_and_over_a_weekend_before() -> None:
    monday = "session,practical,date,start,end,students\nS,P,2027-02-01,09:00,11:00,2"
    (task,) = _of_kind(TaskKind.SET_OUT, _plan(timetable=monday))
    assert (task.day, task.by) == (day("01-29"), None)
    closed = "setting,value\nholidays,2027-01-29"
    (task,) = _of_kind(TaskKind.SET_OUT, _plan(timetable=monday, settings=closed))
    assert (task.day, task.by) == (day("02-01"), time(9))
    saturday = monday.replace("02-01", "02-06")
    week = "setting,value\nholidays,2027-02-02; 2027-02-03; 2027-02-04; 2027-02-05"
    (task,) = _of_kind(TaskKind.SET_OUT, _plan(timetable=saturday, settings=week))
    assert task.day == day("02-01")


def test_what_is_discarded_or_tested_is_so_on_a_day_on_which_people_work() -> None:
    closed = "setting,value\nholidays,2027-02-03"
    plan = _plan(settings=closed)
    days = {task.day for task in _of_kind(TaskKind.DISCARD, plan)}
    assert days == {day("02-04")}
    (test,) = _of_kind(TaskKind.TEST, plan)
    assert (test.day, getattr(test.of, "due", None)) == (day("02-02"), day("02-03"))


def test_what_is_out_of_date_before_its_peroxide_test_is_not_tested() -> None:
    gone = TABLES["stock"].replace("5 L,    ,  ", "5 L,    2027-02-02,  ")
    assert _of_kind(TaskKind.TEST, _plan(stock=gone)) == []
    on_the_day = TABLES["stock"].replace("5 L,    ,  ", "5 L,    2027-02-03,  ")
    assert len(_of_kind(TaskKind.TEST, _plan(stock=on_the_day))) == 1


def test_each_order_knows_what_all_orders_from_its_supplier_come_to() -> None:
    plan = plan_of(
        items="item,kind,unit,minimum,restock_to\nsalt,reagent,g,1 kg,1 kg\nether,solvent,mL,,",
        practical_lines="practical,item,amount,per\nP,ether,50 mL,session",
        timetable=TABLES["timetable"],
        suppliers=TABLES["suppliers"],
        packs="pack,item,supplier,size,price\nA,salt,Shop,1 kg,9\nB,ether,Shop,1 L,5",
        settings=BY_ITEM,
    )
    orders = [task.of for task in _of_kind(TaskKind.ORDER, plan)]
    found = [(one.goods, one.goods_of_all) for one in orders if isinstance(one, SupplierOrder)]
    assert found == [(number(5), number(14)), (number(9), number(14))]


def test_a_batch_is_made_at_the_bench_on_the_day_of_its_session_where_hours_count() -> None:
    batches = [task.of for task in _of_kind(TaskKind.MAKE_UP, _plan())]
    days = {
        str(one.solution.solution): (one.make_on, one.day_of_making)
        for one in batches
        if isinstance(one, Batch)
    }
    assert days["warm"] == (day("02-01"), day("02-02"))
    assert days["stock"] == (day("02-01"), day("02-01"))


def test_a_batch_is_ready_by_the_first_start_though_another_session_says_none() -> None:
    table = """
        session, practical, date,       start, end,   students
        A,       P,         2027-02-02, ,      ,      3
        S,       P,         2027-02-02, 10:00, 12:00, 3"""
    batches = {
        str(task.of.solution.solution): task.by
        for task in _of_kind(TaskKind.MAKE_UP, _plan(timetable=table))
        if isinstance(task.of, Batch)
    }
    assert (batches["warm"], batches["stock"]) == (time(10), None)


def _calls(today: str, **tables: str) -> list[tuple[object, ...]]:
    """Return the day of each call, of what, how many are full then, and whether it is late."""
    given = {
        "items": "item,kind,unit\nacetone,solvent,mL",
        "practical_lines": "practical,item,amount,per,spare,to\nP,acetone,60 mL,session,0 %,bin",
        "timetable": "session,practical,date,students\nA,P,2027-02-10,1\nB,P,2027-02-12,1",
        "waste_streams": "stream,measure,container,fill_limit,empty_containers,part_full\n"
        "bin,volume,100 mL,100 %,0,20 mL",
        "settings": "setting,value\ncollection_lead,5",
        **tables,
    }
    found = _of_kind(TaskKind.CALL_COLLECTION, plan_of(today=today, **given))
    return [
        (task.day, task.of.call.stream, task.of.full, task.of.is_late)
        for task in found
        if isinstance(task.of, CollectionToCall)
    ]


def test_a_collection_is_called_on_its_day_or_today_where_that_is_past() -> None:
    """It is full on Friday 12 February; five working days before is Friday the 5th."""
    assert _calls("2027-02-01") == [(day("02-05"), "bin", 1, False)]
    assert _calls("2027-02-05") == [(day("02-05"), "bin", 1, False)]
    assert _calls("2027-02-06") == [(day("02-08"), "bin", 1, True)]  # a Saturday
    assert _calls("2027-02-09", week="2027-W06") == [(day("02-09"), "bin", 1, True)]


def test_a_collection_is_no_task_before_or_after_its_period_or_without_a_lead() -> None:
    assert _calls("2027-01-25", week="2027-W04") == []
    assert _calls("2027-02-01", settings="setting,value\nordering,by item") == []
    assert _calls("2027-02-01", timetable="session,practical,date,students\nA,P,2027-02-10,1") == []


def test_a_collection_is_called_on_a_day_on_which_people_work() -> None:
    """Without a lead in days it is called on the day itself, here a Saturday."""
    saturday = "session,practical,date,students\nA,P,2027-02-06,2\nB,P,2027-02-06,2"
    lead = "setting,value\ncollection_lead,0"
    assert _calls("2027-02-01", timetable=saturday, settings=lead) == [
        (day("02-05"), "bin", 1, False)
    ]
