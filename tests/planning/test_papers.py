"""What papers said of a session."""

from prepstore.report.plan_papers import papers_of
from tests.planning.two_plans import planned


def test_a_session_that_is_over_was_done() -> None:
    sessions = papers_of(planned("2027-02-03")).sessions
    assert {name: then.is_done for name, then in sessions.items()} == {
        "S": True,
        "T": False,
        "U": False,
    }
