from dataclasses import replace
from decimal import Decimal

from prepstore.planning.order_warnings import ORDER_WARNINGS
from tests.planning.ordering.test_jointly import a_plan


def test_a_cost_that_is_not_proven_says_what_none_can_cost_less_than() -> None:
    plan = a_plan()
    jointly = plan.ordering.jointly
    assert jointly is not None
    doubtful = replace(jointly, answer=replace(jointly.answer, bound=Decimal("25.5")))
    unproven = replace(plan, ordering=replace(plan.ordering, jointly=doubtful))
    found = [one for warn in ORDER_WARNINGS for one in warn(unproven)]
    assert [(one.code, one.parts["bound"]) for one in found] == [
        ("cost-not-proven", Decimal("25.5"))
    ]
    assert [one for warn in ORDER_WARNINGS for one in warn(plan)] == []
