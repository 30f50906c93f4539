"""How the containers of a stream fill: one holds 100 mL up to its limit, unless a test says so."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.containers import Called, Content, Pour, level_of
from prepstore.filling import WasteContainer
from tests.builders import day, figures, number

HAIR = number("1e-20")


def _pour(*levels: object, **amounts: object) -> Pour:
    """Return so much acetone, then water; or, by name, what takes up no room, in g."""
    liquids = [
        Content(name, Kind.VOLUME, number(level), number(level))
        for name, level in zip(("acetone", "water"), levels, strict=False)
    ]
    solids = [Content(name, Kind.MASS, number(g), number(0)) for name, g in amounts.items()]
    return (*liquids, *solids)


def _container(filled: object, *, is_open: bool = True, empty: int | None = 3) -> WasteContainer:
    return WasteContainer(number(filled), number(100), is_open=is_open, empty=empty)


def _known(container: WasteContainer) -> dict[str, tuple[object, ...]]:
    return {one.item: figures(one.amount, one.level) for one in container.known}


@pytest.mark.parametrize(
    ("filled", "more", "left", "is_open", "empty"),
    [
        (30, 20, 50, True, 3),
        (30, 70, 0, False, 3),
        (30, 71, 1, True, 2),
        (30, 270, 0, False, 1),
        (0, 0, 0, True, 3),
    ],
)
def test_full_containers_are_sealed_and_the_rest_is_in_the_next_one(
    filled: int, more: int, left: int, *, is_open: bool, empty: int
) -> None:
    after = _container(filled).after([_pour(more)])
    assert figures(after.filled, after.is_open, after.empty) == (left, is_open, empty)


def test_a_container_without_a_size_only_fills_and_none_is_opened_for_nothing() -> None:
    bare = WasteContainer(number(0), None, is_open=False, empty=None)
    after = bare.after([_pour(5)])
    assert figures(after.filled, after.is_open, after.empty) == (5, True, None)
    assert bare.after([]) == bare.after([()]) == bare
    assert bare.wanted(number(5)) == 0


def test_one_is_opened_for_what_takes_up_no_room() -> None:
    after = _container(0, is_open=False).after([_pour(salt=5)])
    assert figures(after.is_open, after.empty, after.filled) == (True, 2, 0)
    assert _known(after) == {"salt": (5, 0)}


def test_more_containers_than_there_are_leave_none_empty() -> None:
    container = _container(0, is_open=False, empty=1)
    assert container.in_hand == 1
    assert container.after([_pour(250)]).empty == 0


def test_full_ones_are_there_until_they_are_collected_and_the_first_keeps_its_label() -> None:
    container = WasteContainer(
        number(30), number(100), is_open=True, empty=3, label="W1", opened_on=day("02-01")
    )
    after = container.after([_pour(200)])
    assert [figures(one.label, one.filled, one.opened_on) for one in after.sealed] == [
        ("W1", 100, day("02-01")),
        ("", 100, None),
    ]
    assert figures(after.filled, after.label, after.opened_on, after.empty) == (30, "", None, 1)
    assert container.after([_pour(5)]).label == "W1"
    assert len(after.after([_pour(70)]).sealed) == 3


def test_a_collection_that_was_called_is_still_to_come_once_one_is_full() -> None:
    called = Called(day("02-01"), day("02-05"))
    filled = replace(_container(50), called=called).after([_pour(90)])
    assert (len(filled.sealed), filled.called) == (1, called)


def test_one_that_was_read_to_be_full_already_is_sealed_before_more_is_poured() -> None:
    after = _container(130).after([_pour(20)])
    assert [one.filled for one in after.sealed] == [130]
    assert figures(after.filled, after.empty) == (20, 2)
    assert _known(after) == {"acetone": (20, 20)}
    assert _container(100).after([]) == _container(100)


@pytest.mark.parametrize(
    ("is_open", "empty", "in_hand"), [(True, 2, 3), (False, 2, 2), (True, None, None)]
)
def test_containers_in_hand_are_the_empty_ones_and_the_open_one(
    *, is_open: bool, empty: int | None, in_hand: int | None
) -> None:
    assert WasteContainer(number(0), None, is_open=is_open, empty=empty).in_hand == in_hand


# What of it is known.


def test_what_is_poured_in_is_known_and_what_was_there_before_is_not() -> None:
    assert _container(30).unknown == 30
    after = _container(30).after([_pour(20, 5, salt=3), _pour(10)])
    assert _known(after) == {"acetone": (30, 30), "water": (5, 5), "salt": (3, 0)}
    assert figures(after.filled, after.unknown) == (65, 30)


def test_the_next_container_has_the_same_mixture_of_the_last_pour_alone() -> None:
    """30 mL are there. 60 + 40 mL come together: 70 fill it, and 30 of each 100 go on."""
    after = _container(30).after([_pour(60, 40, salt=10)])
    assert _known(after) == {"acetone": (18, 18), "water": (12, 12), "salt": (3, 0)}
    assert after.unknown == 0
    apart = _container(30).after([_pour(60), _pour(0, 40)])
    assert _known(apart) == {"acetone": (0, 0), "water": (30, 30)}


_POURS = st.lists(st.tuples(st.integers(0, 300), st.integers(0, 300)), max_size=6)


@given(_POURS, st.integers(0, 150))
def test_all_that_is_poured_is_in_containers_and_nothing_else(
    levels: list[tuple[int, int]], filled: int
) -> None:
    pours = [_pour(*pair) for pair in levels]
    start = _container(filled)
    after = start.after(pours)
    whole = sum((one.filled for one in after.sealed), after.filled)
    assert abs(whole - filled - sum(map(level_of, pours))) < HAIR
    assert -HAIR < after.unknown <= start.filled
    assert all(one.level >= 0 and one.amount == one.level for one in after.known)
