"""The cheapest order as a whole, beside trying all of them and beside published examples."""

from collections.abc import Hashable
from decimal import Decimal
from math import prod
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from prepstore.amounts import ZERO
from prepstore.planning.ordering.model import (
    Answer,
    Candidate,
    Cover,
    Limit,
    PriceFrom,
    Question,
    Terms,
)
from prepstore.planning.ordering.solve import answer, least_cost
from tests.builders import day, figures
from tests.planning.ordering.exhaustive import cheapest
from tests.planning.ordering.questions import by_chance, pack, question

FEWER = settings(max_examples=settings.default.max_examples // 3 if settings.default else 30)
"""Each example asks a solver, which takes as long as ten of another law."""

FEW_ORDERS = 2_000
MOST_ORDERS = 30_000
"""That are tried one by one."""


def ordered(asked: Question) -> dict[str, int]:
    """Return the packs of the best order by code."""
    found = answer(asked)
    assert found.is_proven
    pairs = zip(asked.candidates, found.counts, strict=True)
    return {candidate.code: count for candidate, count in pairs if count}


def _held_to_all_of_them(seed: int, most: int) -> None:
    asked = by_chance(Random(seed))
    if prod(asked.most(place) + 1 for place in range(len(asked.candidates))) <= most:
        found = answer(asked)
        assert found.total == least_cost(asked) == cheapest(asked)
        assert found.is_proven


@FEWER
@given(st.integers(0, 10**9))
def test_no_order_of_all_that_may_be_costs_less(seed: int) -> None:
    _held_to_all_of_them(seed, FEW_ORDERS)


@pytest.mark.slow
@pytest.mark.parametrize("hundred", range(20))
def test_no_order_costs_less_in_two_thousand_cases(hundred: int) -> None:
    for seed in range(hundred * 100, hundred * 100 + 100):
        _held_to_all_of_them(seed, MOST_ORDERS)


def test_a_delivery_charge_makes_one_supplier_cheaper_than_two() -> None:
    """By hand: 5 + 4 goods, one charge of 6: 15; the cheaper pack of B would make it 8 + 12."""
    salt, water = [pack("S-A", 1, 5)], [pack("W-A", 1, 4), pack("W-B", 1, 3, "B")]
    assert ordered(question((1, salt), (1, water), A=(6, 0), B=(6, 0))) == {"S-A": 1, "W-A": 1}
    assert ordered(question((1, salt), (1, water), A=(6, 0))) == {"S-A": 1, "W-B": 1}


def test_a_minimum_is_reached_with_more_of_what_is_wanted_or_another_supplier_is_taken() -> None:
    """By hand: 10 of goods at least: two packs of A at 6, or one of B at 11 or at 13."""
    assert ordered(question((1, [pack("A1", 1, 6), pack("B1", 1, 11, "B")]), A=(0, 10))) == {
        "B1": 1
    }
    assert ordered(question((1, [pack("A1", 1, 6), pack("B1", 1, 13, "B")]), A=(0, 10))) == {
        "A1": 2
    }


def test_a_minimum_that_nothing_of_value_can_reach_holds_nobody_up() -> None:
    assert ordered(question((1, [pack("A1", 1, 0)]), A=(0, 10))) == {"A1": 1}


def test_a_quantity_price_holds_for_all_packs_of_the_row() -> None:
    """By hand: 4 at 3.00 cost 12; 5 at 2.00 cost 10, from which on each costs so much."""
    assert ordered(question((4, [pack("A1", 1, 3, from5=2)]))) == {"A1": 5}
    assert ordered(question((2, [pack("A1", 1, 3, from5=2)]))) == {"A1": 2}


def test_a_price_that_rises_with_the_number_is_not_got_round() -> None:
    assert answer(question((3, [pack("A1", 1, 3, from3=4)]))).total == 12


def test_on_equal_cost_less_is_left_over_then_fewer_suppliers_then_fewer_packs_then_codes() -> None:
    assert ordered(question((8, [pack("A1", 10, 4), pack("B1", 9, 4)]))) == {"B1": 1}
    both = [pack("A1", 1, 4), pack("B1", 1, 4, "B")]
    assert ordered(question((1, both), (1, [pack("C1", 1, 4, "B")]))) == {"B1": 1, "C1": 1}
    assert ordered(question((2, [pack("A1", 1, 2), pack("B1", 2, 4)]))) == {"B1": 1}
    assert ordered(question((1, [pack("B1", 1, 4), pack("A1", 1, 4)]))) == {"A1": 1}


def test_forty_three_cannot_be_met_with_packs_of_6_9_and_20() -> None:
    """Coin problem: 43 is the largest amount that 6, 9 and 20 do not add up to (from memory)."""
    packs = [pack("A6", 6, 6), pack("B9", 9, 9), pack("C20", 20, 20)]
    assert answer(question((43, packs))).total == 44
    assert all(answer(question((wanted, packs))).total == wanted for wanted in range(44, 60))


DEMAND = (69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56)
SET_UP = (85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114)
OPTIMA = (85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864)


@pytest.mark.parametrize("periods", range(1, len(DEMAND) + 1))
def test_the_published_example_of_orders_by_period(periods: int) -> None:
    """Wagner and Whitin, Management Science 5(1), 89-96 (1958), 12-month example: 864 in all.

    A unit that comes in a period is held at the end of it and of each later one, less what is used
    by then, which is the same whatever is ordered; so is the price, of 1 each.
    """
    candidates = [
        Candidate(
            str(period), period, Decimal(1), (PriceFrom(1, Decimal(1)),), Decimal(periods - period)
        )
        for period in range(periods)
    ]
    covers = [
        Cover(tuple(range(last + 1)), Decimal(sum(DEMAND[: last + 1]))) for last in range(periods)
    ]
    terms: dict[Hashable, Terms] = {
        period: Terms(Decimal(SET_UP[period])) for period in range(periods)
    }
    used_by_then = sum(sum(DEMAND[: last + 1]) for last in range(periods))
    found = answer(Question(candidates, covers, terms))
    assert found.total - used_by_then - sum(DEMAND[:periods]) == OPTIMA[periods - 1]
    assert found.is_proven


@pytest.mark.parametrize(
    ("fixed", "holding", "demand", "prices", "optimum"),
    [
        (120, "0.8", (150, 100, 80, 200), (1, 1, 1, 1), 424 + 530),
        (100, "0.1", (400, 500, 500, 1100, 900), (3, 1, 4, 6, 6), 4940),
    ],
)
def test_published_examples_of_lot_sizing(
    fixed: int, holding: str, demand: tuple[int, ...], prices: tuple[int, ...], optimum: int
) -> None:
    """Snyder and Shen, problem 3.27 (424), and one with price changes (4940).

    Both as data of stockpyl 1.0.2 (MIT), stockpyl_instances.json: problem_3_27, scmo_ww_hw_c. The
    first has no price; here a unit costs 1, 530 in all.
    """
    periods, share = len(demand), Decimal(holding)
    candidates = [
        Candidate(
            str(period),
            period,
            Decimal(1),
            (PriceFrom(1, Decimal(price)),),
            share * (periods - period) / price,
        )
        for period, price in enumerate(prices)
    ]
    covers = [
        Cover(tuple(range(last + 1)), Decimal(sum(demand[: last + 1]))) for last in range(periods)
    ]
    terms: dict[Hashable, Terms] = {period: Terms(Decimal(fixed)) for period in range(periods)}
    used_by_then = share * sum(sum(demand[: last + 1]) for last in range(periods))
    assert answer(Question(candidates, covers, terms)).total - used_by_then == optimum


def test_a_published_instance_of_many_suppliers_with_charges() -> None:
    """OR-Library (Beasley), uncapacitated warehouse location, cap71: optimum 932615.750 (uncapopt).

    A row of the file is what a customer costs from each of 16 warehouses; each costs 7500 to open,
    the eleventh nothing. A warehouse is a supplier, a customer something that is wanted once.
    """
    text = Path(__file__).with_name("warehouses_cap71.csv").read_text(encoding="utf-8")
    costs = [[Decimal(cost) for cost in line.split(",")] for line in text.splitlines()]
    candidates = [
        Candidate(f"{customer} {warehouse}", warehouse, Decimal(1), (PriceFrom(1, cost),))
        for customer, row in enumerate(costs)
        for warehouse, cost in enumerate(row)
    ]
    covers = [
        Cover(tuple(range(first, first + 16)), Decimal(1))
        for first in range(0, len(candidates), 16)
    ]
    terms: dict[Hashable, Terms] = {
        warehouse: Terms(Decimal(0 if warehouse == 10 else 7500)) for warehouse in range(16)
    }
    found = answer(Question(candidates, covers, terms))
    assert (len(costs), found.total, found.is_proven) == (50, Decimal("932615.75"), True)


def limited(room: object, must: object, rest: object, **limit: object) -> tuple[Question, Answer]:
    packs = (pack("A1", 1, 5), pack("B5", 5, 12))
    cover = Cover((0, 1), Decimal(str(must)), Decimal(str(rest)), Decimal("2.4"))
    given = {"holds": {0: Decimal(1), 1: Decimal(5)}, "when": (0, 1), **limit}
    most = Limit("it", Decimal(str(room)), day=day("02-01"), **given)  # type: ignore[arg-type]
    asked = Question(packs, (cover,), {"A": Terms()}, (most,))
    return asked, answer(asked)


def test_a_limit_is_kept_at_a_greater_cost() -> None:
    asked, found = limited(room=4, must=3, rest=0)
    assert least_cost(asked) == 15
    assert figures(found.counts, found.total, found.over) == ((3, 0), 15, (0,))
    assert limited(room=5, must=3, rest=0)[1].counts == (0, 1)


def test_what_is_no_need_is_given_up_for_a_limit() -> None:
    _, found = limited(room=4, must=3, rest=4)
    assert figures(found.counts, found.short_of, found.over) == ((4, 0), (3,), (0,))


def test_a_need_goes_before_a_limit_which_it_exceeds_as_little_as_it_can() -> None:
    _, found = limited(room=2, must=4, rest=4)
    assert figures(found.counts, found.short_of, found.over) == ((4, 0), (4,), (2,))


def test_a_limit_of_a_day_on_which_nothing_comes_limits_nothing() -> None:
    _, found = limited(room=0, must=3, rest=0, when=(0,))
    assert figures(found.counts, found.over) == ((0, 1), (0,))


@FEWER
@given(st.integers(0, 10**9), st.integers(1, 300))
def test_a_dearer_pack_never_makes_an_order_cheaper(seed: int, more: int) -> None:
    """Without minimum orders, which a dearer pack reaches sooner."""
    asked = by_chance(Random(seed), breaks=False)
    terms = {name: Terms(one.charge) for name, one in asked.terms.items()}
    first, *others = asked.candidates
    price = first.prices[0].price + Decimal(more) / 100
    dearer = Candidate(first.code, first.order, first.size, (PriceFrom(1, price),))
    before = answer(Question(asked.candidates, asked.covers, terms)).total
    assert answer(Question((dearer, *others), asked.covers, terms)).total >= before


def _without_minimums(seed: int) -> Question:
    asked = by_chance(Random(seed))
    terms = {name: Terms(one.charge) for name, one in asked.terms.items()}
    return Question(asked.candidates, asked.covers, terms)


@FEWER
@given(st.integers(0, 10**9))
def test_an_order_as_a_whole_costs_no_more_than_item_by_item(seed: int) -> None:
    """Charges counted on both sides; without minimums, which item by item only warns of."""
    asked = _without_minimums(seed)
    counts: list[int] = []
    for cover in asked.covers:
        packs = [asked.candidates[place] for place in cover.candidates]
        counts += answer(question((cover.must, packs))).counts
    assert answer(asked).total <= asked.total(counts)


@FEWER
@given(st.integers(0, 10**9), st.integers(100, 900))
def test_one_more_supplier_never_makes_an_order_dearer(seed: int, price: int) -> None:
    asked = _without_minimums(seed)
    more = pack("Z1", 500, Decimal(price) / 100, "Z")
    first, *others = asked.covers
    wider = Cover((*first.candidates, len(asked.candidates)), first.must, ZERO, first.least_price)
    terms = {**asked.terms, "Z": Terms(Decimal(3))}
    offered = Question((*asked.candidates, more), (wider, *others), terms)
    assert answer(offered).total <= answer(asked).total


@FEWER
@given(st.integers(0, 10**9))
def test_without_charges_and_minimums_each_item_is_a_question_of_its_own(seed: int) -> None:
    asked = by_chance(Random(seed))
    free = {name: Terms() for name in asked.terms}
    together = answer(Question(asked.candidates, asked.covers, free)).total
    apart = ZERO
    for cover in asked.covers:
        packs = [asked.candidates[place] for place in cover.candidates]
        apart += answer(question((cover.must, packs))).total
    assert together == apart


def test_nothing_that_is_wanted_costs_nothing() -> None:
    found = answer(Question((), (), {}))
    assert figures(found.counts, found.total, found.is_proven) == ((), 0, True)
    assert least_cost(Question((), (), {})) == 0
