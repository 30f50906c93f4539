from prepstore.report.workbook.apparatus import apparatus_page, apparatus_to_look_at
from prepstore.report.workbook.page import Look
from tests.builders import plan_of
from tests.report.workbook.a_week import a_week, rows_of


def test_short_apparatus_says_when_and_who_has_it() -> None:
    row = rows_of(apparatus_page(a_week()))[0]
    assert row.values[:7] == (
        "SHORT", "separating funnel", 7, 6, 1, "Tue 2 Feb 09:00", "Tue am: 7",
    )  # fmt: skip
    assert row.look is Look.ALERT


def test_an_instrument_whose_time_is_not_known_is_named() -> None:
    plan = plan_of(
        items="item,kind,unit,minutes_per_use\nrotary evaporator,apparatus,each,16",
        practical_lines="practical,item,amount,per\nP,rotary evaporator,1 each,group",
        timetable="session,practical,date,students\nAny time,P,2027-02-02,12",
    )
    row = rows_of(apparatus_page(plan))[0]
    assert row.values[0] == "LOOK"
    assert "Any time: not worked out" in str(row.values[6])
    (told,) = apparatus_to_look_at(plan)
    assert told.values == (
        "LOOK",
        "rotary evaporator: 0 in use at once, 0 held; "
        "Any time: not worked out: neither within nor times are given",
    )
