"""The best order by trying them all: slow, short and without a model."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import product

from prepstore.planning.ordering.model import Question


def cheapest(question: Question) -> Decimal:
    """Return the least that covers everything, keeps minimums and exceeds no limit."""
    return min(question.total(counts) for counts in allowed(question))


def allowed(question: Question) -> Iterator[tuple[int, ...]]:
    """Yield every number of packs that covers all, reaches each minimum and keeps each limit."""
    ranges = [range(question.most(place) + 1) for place in range(len(question.candidates))]
    for counts in product(*ranges):
        if (
            all(question.covered(cover, counts) >= cover.amount for cover in question.covers)
            and all(
                question.goods_of(order, counts) >= question.terms[order].minimum
                for order in question.used(counts)
            )
            and all(
                sum(held * counts[place] for place, held in limit.holds.items()) <= limit.room
                for limit in question.limits
            )
        ):
            yield counts
