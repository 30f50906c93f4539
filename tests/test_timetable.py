from prepstore.timetable import Timetable
from tests.builders import day, session


def test_a_session_is_booked_out_by_its_name_whatever_its_day_is_now() -> None:
    timetable = Timetable((session("Mon am"),), {"mon am": day("01-25")})
    assert timetable.is_booked_out(session("MON AM"))
    assert not timetable.is_booked_out(session("Tue am"))


def test_sessions_that_are_over_and_not_booked_stand_in_order() -> None:
    sessions = (
        session("late", "2027-02-02", start="14:00"),
        session("early", "2027-02-02", start="09:00"),
        session("booked", "2027-02-02"),
        session("nobody", "2027-02-02", students="0"),
        session("before", "2027-01-31"),
        session("after", "2027-02-03"),
    )
    timetable = Timetable(sessions, {"booked": day("02-02")})
    over = timetable.over_and_not_booked(day("02-01"), day("02-02"))
    assert [one.session for one in over] == ["early", "late"]
    whole = timetable.over_and_not_booked(day("01-31"), day("02-03"))
    assert [one.session for one in whole] == ["before", "early", "late", "after"]
