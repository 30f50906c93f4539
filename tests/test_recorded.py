"""What was undone does not count, and what was brought back does: of lots and of containers."""

from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat, RecordedContainer
from prepstore.movements import Movement, Recorded, What
from prepstore.recorded import standing
from tests.builders import day

ON = day("02-01")


def _of_lot(place: int, reverses: int | None = None) -> Recorded:
    movement = Movement(lot="L", what=What.USED, unit=Kind.MASS, reverses=reverses)
    return Recorded(number=place, entry=place, movement=movement, on_day=ON, at_utc="", by="Kim")


def _of_container(place: int, reverses: int | None = None) -> RecordedContainer:
    change = ContainerChange(
        stream="solvent", what=ContainerWhat.FILLED, unit=Kind.VOLUME, reverses=reverses
    )
    return RecordedContainer(
        number=place, entry=place, change=change, on_day=ON, at_utc="", by="Kim"
    )


@pytest.mark.parametrize("made", [_of_lot, _of_container])
def test_what_was_undone_does_not_count_and_what_was_brought_back_does(
    made: Callable[..., Recorded | RecordedContainer],
) -> None:
    first, second, undoing, redoing = made(1), made(2), made(3, 1), made(4, 3)
    assert standing([first, second, undoing]) == [second]
    assert standing([first, second, undoing, redoing]) == [first, second]


@given(st.lists(st.integers(0, 5), max_size=12))
def test_each_counts_as_long_as_an_even_number_of_undoings_stand_on_it(picks: list[int]) -> None:
    """An undoing reverses something that counts, or an undoing that counts, as the shelf does."""
    history, undone_by = [_of_lot(1), _of_lot(2)], dict[int, int]()
    for pick in picks:
        number = len(history) + 1
        not_undone = [one.number for one in history if one.number not in undone_by]
        of = not_undone[pick % len(not_undone)]
        undone_by[of] = number
        history.append(_of_lot(number, of))
    for one in history[:2]:
        times, last = 0, one.number
        while last in undone_by:
            last, times = undone_by[last], times + 1
        assert (one in standing(history)) == (times % 2 == 0)
