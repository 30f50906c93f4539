from prepstore.planning.ahead.term import weeks_from
from prepstore.planning.calendar import Period
from tests.builders import day
from tests.planning.ahead.terms import ahead, tables_of


def test_weeks_follow_one_another_over_the_end_of_a_year() -> None:
    weeks = weeks_from(Period.of_week("2026-W52"), 3, day("2026-12-21"))
    assert [week.week for week in weeks] == ["2026-W52", "2026-W53", "2027-W01"]


def test_where_today_is_before_them_the_weeks_from_today_on_come_first() -> None:
    weeks = weeks_from(Period.of_week("2027-W07"), 2, day("02-03"))
    assert [week.week for week in weeks] == ["2027-W05", "2027-W06", "2027-W07", "2027-W08"]


def test_each_week_is_planned_from_what_the_one_before_leaves() -> None:
    first, second, third = ahead(stock="2500 mL").term.plans
    assert [plan.stores.holdings["a1"].amount for plan in (first, second, third)] == [
        2500,
        1500,
        500,
    ]
    assert third.stock["acetone"].short == 500
    assert second.sessions[0].state == "covered"
    assert [work.is_done for work in second.works] == [False]


def test_a_batch_that_one_week_leaves_is_stock_in_the_next() -> None:
    tables = {
        "items": "item,kind,unit,formula\nsalt,reagent,g,NaCl",
        "solutions": "solution,shelf_life,step\nbrine,30,1 L",
        "solution_parts": "solution,item,amount\nbrine,salt,10 % w/v",
        "practicals": "practical,title\nP,Washing",
        "practical_lines": "practical,item,amount,per,spare\nP,brine,400 mL,session,",
        "timetable": "session,practical,date,students\nS1,P,2027-02-03,4\nS2,P,2027-02-10,4",
        "stock": "lot,item,amount\nL1,salt,1 kg",
    }
    first, second, _ = ahead(tables=tables).term.plans
    assert [batch.volume_ml for batch in first.batches] == [1000]
    assert second.batches == ()


def test_a_session_on_the_last_day_of_a_week_takes_once() -> None:
    tables = tables_of(stock="2500 mL")
    tables["timetable"] = tables["timetable"].replace("2027-02-03", "2027-02-07")
    _, second, _ = ahead(tables=tables).term.plans
    assert second.stock["acetone"].promised == 0
    assert second.stores.holdings["a1"].amount == 1500
