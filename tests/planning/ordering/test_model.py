from decimal import Decimal

import pytest

from prepstore.planning.ordering.model import Answer, grain_of
from tests.planning.ordering.questions import pack, question


def test_a_row_costs_the_price_of_so_many_for_all_of_them() -> None:
    one = pack("A1", 1, 3, from3=2)
    assert [one.cost(count) for count in range(5)] == [0, 3, 6, 6, 8]


def test_a_charge_counts_once_for_each_order_that_holds_something() -> None:
    asked = question((1, [pack("A1", 1, 5), pack("B1", 1, 5, "B")]), A=(2, 0), B=(3, 0))
    assert asked.total((2, 0)) == 12
    assert asked.total((1, 1)) == 15
    assert asked.used((0, 1)) == ["B"]


def test_the_most_packs_cover_all_reach_the_best_price_and_the_minimum() -> None:
    assert question((5, [pack("A1", 2, 4)])).most(0) == 3
    assert question((5, [pack("A1", 2, 4, from7=3)])).most(0) == 7
    assert question((5, [pack("A1", 2, 4)]), A=(0, 9)).most(0) == 6


def test_a_question_without_a_pack_has_all_else() -> None:
    asked = question((1, [pack("A1", 1, 5), pack("A2", 2, 5)]), (1, [pack("C1", 1, 4)]))
    fewer = asked.without("A1")
    assert fewer is not None
    assert [one.code for one in fewer.candidates] == ["A2", "C1"]
    assert [cover.candidates for cover in fewer.covers] == [(0,), (1,)]
    assert asked.without("C1") is None


@pytest.mark.parametrize(("bound", "is_proven"), [("9.996", True), ("9.995", False), ("10", True)])
def test_a_cost_is_proven_to_half_a_hundredth(bound: str, is_proven: bool) -> None:  # noqa: FBT001
    assert Answer((1,), Decimal(10), Decimal(bound)).is_proven is is_proven


def test_the_grain_is_the_largest_step_of_all_sizes() -> None:
    assert grain_of([Decimal("2.5"), Decimal(1)]) == 500_000_000
