from prepstore.timetable import Timetable
from tests.builders import day, session


def test_a_session_is_booked_out_by_its_name_whatever_its_day_is_now() -> None:
    timetable = Timetable((session("Mon am"),), {"mon am": day("01-25")})
    assert timetable.is_booked_out(session("MON AM"))
    assert not timetable.is_booked_out(session("Tue am"))
