"""What keeping costs, beside the store that is used day by day, and the best beside all orders."""

from decimal import Decimal
from itertools import product
from random import Random

import pytest

from prepstore.planning.ahead.chances import Asked, all_covers, asked_of, order_of
from prepstore.planning.ahead.keeping import candidate_of, keepings_of, used_of
from prepstore.planning.ahead.keeping_by_day import Arrived, cost_of_keeping
from prepstore.planning.ahead.term import Term
from prepstore.planning.ordering.jointly import terms_of
from prepstore.planning.ordering.model import Question
from prepstore.planning.ordering.solve import answer
from tests.planning.ahead.terms import ahead, tables_of


def asked_by_chance(seed: int) -> tuple[Term, Asked, Question]:
    """Return acetone of two packs, one with a quantity price, kept at one hundredth a week."""
    random = Random(seed)
    price, other = (random.randint(300, 1500) for _ in range(2))
    few = random.choice([500, 1000])
    tables = tables_of(
        stock=random.choice(["0 mL", "1 L"]),
        charge=random.choice(["0", "1", "4"]),
        holding="52 %",
        packs=f"\nA2,acetone,North,{few} mL,{Decimal(other) / 100}",
    )
    tables["packs"] = tables["packs"].replace(",10\n", f",{Decimal(price) / 100}\n")
    cheaper = Decimal(price) * random.choice([60, 90, 110]) / 10_000
    tables["price_breaks"] = f"pack,from,price\nN1,2,{cheaper}"
    found = ahead(tables=tables)
    of = asked_of(found.term, found.items[0])
    question = Question(
        [candidate_of(found.term, one, is_counted=True) for one in of.chances],
        list(all_covers([of])),
        {order_of(one): terms_of(one.offer.supplier) for one in of.chances},
        (),
        list(keepings_of(found.term, [of]).values()),
    )
    return found.term, of, question


def _day_by_day(term: Term, of: Asked, question: Question, counts: tuple[int, ...]) -> Decimal:
    arrived = [
        Arrived(
            one.arrives,
            one.offer.code,
            one.offer.size * count,
            candidate.price(count) / one.offer.size,
            None,
        )
        for one, candidate, count in zip(of.chances, question.candidates, counts, strict=True)
    ]
    return cost_of_keeping(arrived, used_of(of.item), [week.last for week in term.weeks]) / 100


@pytest.mark.parametrize("seed", range(12))
def test_what_keeping_costs_is_what_a_store_that_is_used_day_by_day_costs(seed: int) -> None:
    term, of, question = asked_by_chance(seed)
    random = Random(seed)
    for _ in range(20):
        counts = tuple(random.randint(0, 4) for _ in question.candidates)
        day_by_day = _day_by_day(term, of, question, counts)
        assert question.keeping(counts) == pytest.approx(day_by_day, abs=Decimal("1e-15"))


@pytest.mark.parametrize("seed", range(12))
def test_no_orders_cost_less_keeping_included(seed: int) -> None:
    _, _, question = asked_by_chance(seed)
    every = product(*(range(question.most(place) + 1) for place in range(len(question.candidates))))
    least = min(
        question.total(counts)
        for counts in every
        if all(question.covered(cover, counts) >= cover.amount for cover in question.covers)
    )
    found = answer(question)
    assert found.total == pytest.approx(least, abs=Decimal("0.001"))
    assert found.is_proven
