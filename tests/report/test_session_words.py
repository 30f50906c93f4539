"""What happened to a session is said in those words; `test_change_list` has them one by one."""

import pytest

from prepstore.planning.differs import SessionDiffers
from prepstore.report.session_words import session_now, session_to_do
from tests.planning.two_plans import differences, edited


def _first(old: str, new: str) -> SessionDiffers:
    (found, *_) = differences(timetable=edited("timetable", (old, new)))
    assert isinstance(found, SessionDiffers)
    return found


def test_a_cancelled_session_is_nowhere() -> None:
    assert session_now(_first("Lab 1, 6", "Lab 1, 0")) == ""


@pytest.mark.parametrize(
    ("students", "words"),
    [("7", "1 student more, 1 set more"), ("3", "3 students fewer, 3 sets fewer")],
)
def test_numbers_are_said_with_their_sets(students: str, words: str) -> None:
    assert session_to_do(_first("Lab 1, 6", f"Lab 1, {students}")) == words
