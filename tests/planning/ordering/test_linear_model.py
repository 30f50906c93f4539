"""The rows of a model hold just the orders that may be; its sums are theirs. All by hand."""

from collections.abc import Hashable, Mapping
from decimal import Decimal

import pytest

from prepstore.planning.ordering.linear_model import LinearModel
from prepstore.planning.ordering.model import Candidate, Cover, Limit, PriceFrom, Question, Terms
from tests.builders import day
from tests.planning.ordering.questions import pack, question


def fits(model: LinearModel, values: Mapping[int, float]) -> bool:
    """Return whether unknowns are within their rows and bounds; those left out are 0."""
    rows = zip(model.rows.lower, model.rows.upper, model.rows.entries, strict=True)
    return all(0 <= value <= model.columns.upper[place] for place, value in values.items()) and all(
        lower <= sum(each * values.get(place, 0) for place, each in entries.items()) <= upper
        for lower, upper, entries in rows
    )


def cost(model: LinearModel, values: Mapping[int, float]) -> float:
    return sum(each * values.get(place, 0) for place, each in model.cost.items())


def test_an_order_that_is_used_has_its_charge_and_reaches_its_minimum() -> None:
    """Packs of 6.50, a charge of 3, goods of 10 at least: two packs, and 16 in all."""
    model = LinearModel(question((1, [pack("A1", 1, "6.50")]), A=(3, 10)))
    used, ((packs,),) = model.is_used["A"], model.packs
    assert [fits(model, {used: 1, packs: count}) for count in (0, 1, 2)] == [False, False, True]
    assert not fits(model, {packs: 2})
    assert cost(model, {used: 1, packs: 2}) == 16 * model.cents


def test_only_one_price_of_a_pack_holds_and_only_for_its_numbers() -> None:
    """Each at 3, from 5 on at 2; 4 wanted."""
    model = LinearModel(question((4, [pack("A1", 1, 3, from5=2)])))
    used, ((dear, cheap),) = model.is_used["A"], model.packs
    holds_dear, holds_cheap = dear + 1, cheap + 1
    assert fits(model, {used: 1, dear: 4, holds_dear: 1})
    assert not fits(model, {used: 1, cheap: 4, holds_cheap: 1})
    assert fits(model, {used: 1, cheap: 5, holds_cheap: 1})
    assert not fits(model, {used: 1, dear: 4, holds_dear: 1, cheap: 5, holds_cheap: 1})
    assert cost(model, {used: 1, cheap: 5, holds_cheap: 1}) == 10 * model.cents


@pytest.mark.parametrize(("price", "cents"), [("2", 1), ("2.50", 10), ("2.05", 100)])
def test_costs_are_whole_numbers_of_the_smallest_step_of_money(price: str, cents: int) -> None:
    model = LinearModel(question((1, [pack("A1", 1, price)])))
    assert model.is_whole
    assert model.cents == cents


def test_what_it_costs_to_keep_a_pack_is_no_whole_number() -> None:
    kept = Candidate("A1", "A", Decimal(1), (PriceFrom(1, Decimal(10)),), Decimal("0.003"))
    terms: dict[Hashable, Terms] = {"A": Terms()}
    model = LinearModel(Question((kept,), (Cover((0,), Decimal(1)),), terms))
    assert not model.is_whole
    ((packs,),) = model.packs
    assert cost(model, {packs: 1}) == pytest.approx(10.03 * model.cents)


def test_above_a_limit_an_order_fits_only_with_what_it_is_over_or_what_is_given_up() -> None:
    """Room for 4, 3 that must be and 2 that may be given up."""
    cover = Cover((0,), Decimal(3), Decimal(2))
    limit = Limit("it", Decimal(4), {0: Decimal(1)}, (0,), day("02-01"))
    model = LinearModel(Question((pack("A1", 1, 5),), (cover,), {"A": Terms()}, (limit,)))
    used, ((packs,),) = model.is_used["A"], model.packs
    ((over,), (given_up,)) = model.over, model.given_up
    assert not fits(model, {used: 1, packs: 5})
    assert fits(model, {used: 1, packs: 5, over: 1})
    assert not fits(model, {used: 1, packs: 4})
    assert fits(model, {used: 1, packs: 4, given_up: 1})
    assert not fits(model, {used: 1, packs: 2, given_up: 3})


def test_the_packs_of_a_solution_are_counted_over_all_prices() -> None:
    model = LinearModel(question((4, [pack("A1", 1, 3, from5=2)]), (1, [pack("B1", 1, 1, "B")])))
    values = [0.0] * len(model.columns.upper)
    (dear, cheap), (other,) = model.packs
    values[dear], values[cheap], values[other] = 0.0, 4.9999999, 1.0000001
    assert model.counts(values) == (5, 1)
