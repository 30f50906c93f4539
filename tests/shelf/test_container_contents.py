"""What is in a waste container."""

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat, Content
from prepstore.shelf.container_contents import contents_of, in_order
from tests.builders import figures, number
from tests.container_changes import ML, recorded


def change(what: str, ml: int = 0, item: str | None = None, amount: int = 0) -> ContainerChange:
    """Return a change of a container; the item is kept in g."""
    return ContainerChange(
        stream="acid",
        what=ContainerWhat(what),
        unit=Kind.VOLUME,
        container="W1",
        billionths=ml,
        item=item,
        item_billionths=amount,
        item_unit=Kind.MASS if item else None,
    )


def _inside(*changes: ContainerChange) -> tuple[object, ...]:
    contents = contents_of(recorded(*changes))
    parts = [(one.item, figures(one.amount, one.level)) for one in contents.parts]
    return parts, *figures(contents.unknown)


def test_things_are_added_up_by_name_and_the_most_stands_first() -> None:
    assert _inside(
        change("opening amount", 500 * ML),
        change("filled", 20 * ML, "salt", 30 * ML),
        change("filled", 0, "sand", 5 * ML),
        change("filled", 40 * ML, "acid", 44 * ML),
        change("filled", 30 * ML, "Salt", 45 * ML),
        change("filled", 7 * ML),
        change("taken back", -10 * ML, "salt", -15 * ML),
    ) == (
        [("salt", (60, 40)), ("acid", (44, 40)), ("sand", (5, 0))],
        507,
    )


def test_what_a_measurement_finds_beyond_what_was_booked_is_not_known() -> None:
    assert _inside(change("filled", 20 * ML, "salt", 30 * ML), change("measured", 5 * ML)) == (
        [("salt", (30, 20))],
        5,
    )


def test_where_it_finds_less_each_thing_that_takes_up_room_is_gone_in_equal_shares() -> None:
    assert _inside(
        change("opening amount", 60 * ML),
        change("filled", 20 * ML, "salt", 30 * ML),
        change("filled", 0, "sand", 5 * ML),
        change("measured", -20 * ML),
    ) == ([("salt", (number("22.5"), 15)), ("sand", (5, 0))], 45)


def test_what_was_undone_is_not_in_there() -> None:
    filled = change("filled", 20 * ML, "salt", 30 * ML)
    undone = replace(filled, what=ContainerWhat.UNDONE, billionths=-20 * ML, reverses=1)
    assert _inside(filled, undone) == ([], 0)


def test_more_than_is_left_of_a_thing_comes_out_of_what_is_not_known() -> None:
    assert _inside(
        change("opening amount", 60 * ML),
        change("filled", 40 * ML, "salt", 40 * ML),
        change("measured", -50 * ML),
        change("taken back", -40 * ML, "salt", -40 * ML),
    ) == ([], 10)


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["filled", "measured", "opening amount"]),
            st.integers(0, 10**13),
            st.sampled_from([None, "a", "b", "c"]),
        ),
        max_size=12,
    )
)
def test_the_parts_and_what_is_not_known_add_up_to_the_level(
    drawn: list[tuple[str, int, str | None]],
) -> None:
    level, changes = 0, []
    for what, size, item in drawn:
        more = size % (2 * level + 1) - level if what == "measured" else size
        name = item if what == "filled" else None
        changes.append(change(what, more, name, more if name else 0))
        level += more
    contents = contents_of(recorded(*changes))
    assert contents.level * ML == level
    assert all(part.level >= 0 and part.amount >= 0 for part in contents.parts)
    assert contents.unknown >= 0


def test_parts_are_settled_and_the_largest_has_the_odd_billionths() -> None:
    third = number(10) / 3
    parts = [Content(name, Kind.VOLUME, third, third) for name in "ab"]
    contents = in_order([*parts, Content("c", Kind.MASS, number(0), number(0))], third, number(10))
    assert [(one.item, str(one.level)) for one in contents.parts] == [
        ("a", "3.333333334"), ("b", "3.333333333"),
    ]  # fmt: skip
    assert figures(contents.level, str(contents.unknown)) == (10, "3.333333333")
