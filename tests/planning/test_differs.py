"""A difference in figures."""

import pytest

from prepstore.planning.differs import BenchDiffers
from prepstore.planning.papers import BenchThen
from tests.builders import number


def _bench(amount: int | None) -> BenchThen | None:
    return None if amount is None else BenchThen(number(amount), (), 0, number(0))


@pytest.mark.parametrize(
    ("before", "now", "more"), [(3, 5, 2), (5, 3, -2), (None, 3, 3), (3, None, -3)]
)
def test_how_much_more_it_is_now(before: int | None, now: int | None, more: int) -> None:
    assert BenchDiffers("S", "salt", "g", _bench(before), _bench(now)).difference == more
