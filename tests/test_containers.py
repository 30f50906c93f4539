"""Waste containers as they are recorded: what counts, and which label is free."""

from dataclasses import replace

from prepstore.amounts import Kind
from prepstore.containers import (
    Called,
    ContainerChange,
    ContainersHeld,
    ContainerState,
    Content,
    KeptContainer,
    RecordedContainer,
    called_of,
    free_container_label,
    level_of,
    put_together,
)
from tests.builders import day, figures, number
from tests.container_changes import change, recorded


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


def _called(stream: str, expected: str | None = None) -> ContainerChange:
    return change("collection called", "", stream=stream, expected=expected and day(expected))


def _history(*changes: tuple[str, ContainerChange]) -> list[RecordedContainer]:
    return [
        replace(one, on_day=day(on))
        for (on, _), one in zip(changes, recorded(*(one for _, one in changes)), strict=True)
    ]


COLLECTED = change("collected", was="sealed", now="collected")


def test_a_call_stands_until_a_container_of_its_stream_is_collected() -> None:
    call = ("02-03", _called("Solvent", "02-08"))
    other = ("02-08", replace(COLLECTED, stream="acid"))
    earlier = ("02-02", COLLECTED)
    assert called_of(_history(call, other, earlier)) == {
        "solvent": Called(day("02-03"), day("02-08"))
    }
    assert called_of(_history(call, ("02-08", COLLECTED))) == {}
    assert called_of(_history(call, ("02-03", COLLECTED))) == {}
    assert called_of(_history(("02-03", COLLECTED), call)) != {}


def test_a_later_word_of_a_call_counts_until_it_is_undone() -> None:
    first = ("02-03", _called("solvent", "02-08"))
    second = ("02-05", _called("solvent"))
    assert called_of(_history(first, second)) == {"solvent": Called(day("02-05"), None)}
    undone = ("02-06", change("undone", "", reverses=2))
    assert called_of(_history(first, second, undone))["solvent"].on == day("02-03")
    again = ("02-06", change("undone", "", reverses=3))
    assert called_of(_history(first, second, undone, again))["solvent"].on == day("02-05")


def test_a_collection_that_is_undone_leaves_its_call_standing() -> None:
    call = ("02-03", _called("solvent"))
    undone = ("02-09", change("undone", was="collected", now="sealed", reverses=2))
    assert called_of(_history(call, ("02-08", COLLECTED), undone)) != {}
