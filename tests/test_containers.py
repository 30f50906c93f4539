"""Waste containers as they are recorded: what counts, and which label is free."""

from prepstore.amounts import Kind
from prepstore.containers import (
    ContainersHeld,
    ContainerState,
    Content,
    KeptContainer,
    free_container_label,
    level_of,
    put_together,
)
from tests.builders import day, figures, number


def test_a_free_label_is_of_the_year_and_is_not_taken_in_any_case() -> None:
    assert free_container_label((), day("2027-03-08")) == "W27-001"
    assert free_container_label({"w27-001", "w27-003"}, day("2027-03-08")) == "W27-002"
    assert free_container_label({"w27-001"}, day("2030-01-01")) == "W30-001"


def test_the_open_container_of_a_stream_is_found_by_its_folded_name() -> None:
    kept = [
        KeptContainer(label=label, stream=stream, state=state, filled=number(5))
        for label, stream, state in (
            ("W1", "Solvent", ContainerState.SEALED),
            ("W2", "Solvent", ContainerState.OPEN),
            ("W3", "acid", ContainerState.SEALED),
        )
    ]
    held = ContainersHeld(tuple(kept))
    assert held.open_one("solvent") == kept[1]
    assert held.open_one("acid") is None
    assert held.of("solvent") == (kept[0], kept[1])


def test_things_of_one_name_are_put_together_and_a_part_has_its_share_of_each() -> None:
    """3 of 12 mL of a mixture have a quarter of each thing in it."""
    mixture = put_together(
        Content(item, unit, number(amount), number(level))
        for item, unit, amount, level in (
            ("salt", Kind.MASS, 2, 0),
            ("acetone", Kind.VOLUME, 5, 5),
            ("Salt", Kind.MASS, 6, 0),
            ("ether", Kind.VOLUME, 7, 7),
        )
    )
    assert [figures(one.amount, one.level) for one in mixture] == [(8, 0), (5, 5), (7, 7)]
    assert level_of(mixture) == 12
    part = [one.share(number(3), number(12)) for one in mixture]
    assert [figures(one.amount, one.level) for one in part] == [
        (2, 0), (number("1.25"), number("1.25")), (number("1.75"), number("1.75")),
    ]  # fmt: skip
