from prepstore.report.workbook.page import Look
from prepstore.report.workbook.prepare import BOX, Task, prepare_page, tasks
from tests.builders import day
from tests.report.workbook.a_week import TABLES, a_week, rows_of


def tasks_named(name: str, **tables: str) -> list[Task]:
    return [task for task in tasks(a_week(**tables)) if task.task == name]


def test_days_follow_one_another() -> None:
    days = [task.day for task in tasks(a_week()) if task.day]
    assert days == sorted(days)


def test_a_late_order_is_a_task_of_today_and_says_late() -> None:
    order = tasks_named("Order")[0]
    assert (order.day, order.alert) == (day("01-25"), "LATE")


def test_a_restock_has_no_fixed_day() -> None:
    order = tasks_named("Order", timetable="session,practical,date,students")[0]
    assert (order.day, order.alert) == (None, "")


def test_a_session_is_set_out_on_its_day_of_need_for_its_sets() -> None:
    first = tasks_named("Dispense, set out")[0]
    assert (first.day, first.how_much) == (day("02-01"), "7 sets")


def test_what_is_made_on_site_is_fetched_on_the_day_itself() -> None:
    ice = [task for task in tasks_named("Fetch") if task.what == "ice"]
    assert [(task.day, task.how_much) for task in ice] == [
        (day("02-02"), "1 kg"),
        (day("02-04"), "600 g"),
    ]


def test_a_full_container_is_changed_on_the_day_it_is_full() -> None:
    changes = tasks_named("Change container")
    assert [(task.day, task.what) for task in changes] == [(day("02-02"), "aqueous acid")]


def test_too_few_empty_containers_are_a_task_of_today() -> None:
    short = tasks_named("Get containers")[0]
    assert (short.day, short.what, short.alert) == (day("01-25"), "aqueous acid", "SHORT")


def test_a_delivery_that_the_plan_counts_on_is_taken_in() -> None:
    on_order = "pack,packs,due,reference\nETAC-1,1,2027-02-01,PO 7"
    task = tasks_named("Take in", on_order=on_order)[0]
    assert (task.day, task.what, task.how_much) == (day("02-01"), "ethyl acetate", "1 L")


def test_a_batch_that_lacks_a_part_says_short_of_what() -> None:
    stock = "\n".join(line for line in TABLES["stock"].split("\n") if "BICARB" not in line)
    made = tasks_named("Make up", stock=stock)
    wash = next(task for task in made if task.what == "hydrogencarbonate wash")
    assert wash.alert == "SHORT"
    assert "short of sodium hydrogencarbonate" in wash.remark


def test_each_task_has_a_box_and_an_alert_stands_out() -> None:
    rows = [row for row in rows_of(prepare_page(a_week())) if row.look is not Look.BAND]
    assert {row.values[0] for row in rows} == {BOX}
    assert all((row.look is Look.ALERT) == bool(row.values[1]) for row in rows)
