"""What to look at where a collection was called and does not come in time."""

from prepstore.planning.collection_warnings import COLLECTION_WARNINGS
from prepstore.planning.plan import Plan
from tests.builders import day
from tests.planning.test_collection_tasks import called_plan


def _warned(plan: Plan) -> list[tuple[str, str]]:
    own = [(one.code, one.about) for warn in COLLECTION_WARNINGS for one in warn(plan)]
    assert own == [(one.code, one.about) for one in plan.warnings if "collection-" in one.code]
    return own


def test_a_collection_in_time_is_nothing_to_look_at() -> None:
    assert _warned(called_plan("02-04", "bin")) == []
    assert _warned(called_plan(None)) == []


def test_one_that_comes_after_the_last_container_is_full_is_told() -> None:
    plan = called_plan("02-05", "bin", "tank")
    assert _warned(plan) == [("collection-too-late", "bin")]
    (warned,) = [one for one in plan.warnings if one.code == "collection-too-late"]
    assert warned.parts == {
        "called_on": day("01-29"),
        "on": day("02-05"),
        "by": day("02-04"),
        "why": "no empty container is left",
    }


def test_one_of_which_the_day_is_past_is_told_until_it_is_recorded() -> None:
    plan = called_plan("02-02", "tank", today="2027-02-03")
    assert _warned(plan) == [("collection-overdue", "tank")]
    assert _warned(called_plan("02-03", "tank", today="2027-02-03")) == []
