"""Changes of waste containers taken back, and what stands in the way."""

from functools import partial
from typing import Any

import pytest

from prepstore.containers import (
    ContainerChange,
    ContainersHeld,
    ContainerState,
    KeptContainer,
)
from prepstore.shelf.containers_undone import (
    EntryOfContainers,
    changes_reversed,
    containers_in_the_way,
)
from tests.builders import number
from tests.container_changes import ML, recorded_with
from tests.container_changes import change as container_change

change = partial(container_change, stream="Solvent")


def opened(container: str = "W1", **others: Any) -> ContainerChange:  # noqa: ANN401
    """Return the opening of a container."""
    return change("opened", container, was="", now="open", **{"empty": -1, **others})


def state(container: str, was: str, now: str) -> ContainerChange:
    """Return a change of a container's state."""
    return change({"sealed": "sealed", "collected": "collected"}[now], container, was=was, now=now)


def filled(container: str = "W1", ml: int = 50) -> ContainerChange:
    """Return something that is poured in."""
    return change("filled", container, ml, item="acetone", item_billionths=ml * ML)


def entry(
    *mine: ContainerChange,
    before: tuple[ContainerChange, ...] = (opened(),),
    later: tuple[ContainerChange, ...] = (),
    open_one: str = "",
    empty: int = 5,
) -> EntryOfContainers:
    """Return entry 7; each later change is an entry of its own, from 8 on."""
    history = recorded_with(
        [
            *((1, one) for one in before),
            *((7, one) for one in mine),
            *enumerate(later, start=8),
        ]
    )
    kept = KeptContainer(
        label=open_one, stream="Solvent", state=ContainerState.OPEN, filled=number(0)
    )
    held = ContainersHeld((kept,) if open_one else ())
    return EntryOfContainers(
        changes=[one for one in history if one.entry == 7],
        history=history,
        held=held,
        empty={"Solvent": empty},
    )


def in_the_way(of: EntryOfContainers) -> list[str]:
    """Return what stands in the way."""
    return list(containers_in_the_way(of))


def test_each_change_goes_back_the_last_first_and_names_what_it_reverses() -> None:
    of = entry(filled(ml=20), state("W1", "open", "sealed"), opened("W2"), filled("W2", 5))
    assert [
        (one.container, one.billionths // ML, one.was, one.now, one.empty, one.reverses)
        for one in changes_reversed(of)
    ] == [
        ("W2", -5, None, None, 0, 5),
        ("W2", 0, "open", "", 1, 4),
        ("W1", 0, "sealed", "open", 0, 3),
        ("W1", -20, None, None, 0, 2),
    ]
    back = changes_reversed(of)[0]
    assert (str(back.what), back.item, back.item_billionths) == ("undone", "acetone", -5 * ML)
    assert in_the_way(of) == []


def test_what_comes_back_into_a_container_stands_before_what_goes() -> None:
    of = entry(change("taken back", ml=-20), filled(ml=30), before=(opened(), filled(ml=25)))
    assert [one.billionths // ML for one in changes_reversed(of)] == [20, -30]


def test_of_a_sealed_container_what_was_poured_in_still_goes_back() -> None:
    assert in_the_way(entry(filled(), later=(state("W1", "open", "sealed"),))) == []


@pytest.mark.parametrize(
    ("of", "says"),
    [
        (
            entry(
                filled(),
                before=(opened(),),
                later=(state("W1", "open", "sealed"), state("W1", "sealed", "collected")),
            ),
            "Container W1 of Solvent is collected now. Undo entry 9 first: prepstore stock undo 9",
        ),
        (
            entry(state("W1", "open", "sealed"), later=(state("W1", "sealed", "collected"),)),
            "Container W1 of Solvent is collected now. Undo entry 8 first: prepstore stock undo 8",
        ),
        (
            entry(opened(), before=(), later=(filled(),)),
            "Container W1 of Solvent has been used since it was opened. Undo entry 8 first: "
            "prepstore stock undo 8",
        ),
        (
            entry(opened(), before=(), later=(change("measured"),)),
            "Container W1 of Solvent has been used since it was opened. Undo entry 8 first: "
            "prepstore stock undo 8",
        ),
        (
            entry(filled(ml=50), later=(change("measured", ml=-20),)),
            "Container W1 of Solvent would hold 20 mL less than 0. Undo entry 8 first: "
            "prepstore stock undo 8",
        ),
        (
            entry(change("collected", was="sealed", now="collected"), before=(), empty=5),
            None,
        ),
        (
            entry(state("W1", "open", "sealed"), open_one="W2"),
            "Container W2 of Solvent is open now, so W1 cannot be open as well. Undo what opened "
            "it first.",
        ),
        (
            entry(change("counted", "", empty=3), before=(), empty=2),
            "Some of the empty containers of Solvent have been used since. Undo that first, or "
            "count them: prepstore waste empty",
        ),
        (entry(change("counted", "", empty=3), before=(), empty=3), None),
        (
            entry(
                change("undone", was="open", now="", reverses=1),
                before=(opened(),),
                later=(opened(),),
                open_one="W1",
            ),
            "Another container has the label W1 now. Undo entry 8 first: prepstore stock undo 8",
        ),
        (
            entry(
                change("undone", ml=-5, reverses=2),
                before=(opened(), filled(ml=5)),
                later=(change("undone", was="open", now="", reverses=1),),
            ),
            "Container W1 of Solvent is not there now. See what has happened since: "
            "prepstore stock history",
        ),
    ],
)
def test_what_has_happened_since_stands_in_the_way_by_its_entry(
    of: EntryOfContainers, says: str | None
) -> None:
    assert in_the_way(of) == ([] if says is None else [says])


def test_two_containers_of_one_entry_change_places_without_being_in_the_way() -> None:
    of = entry(state("W1", "open", "sealed"), opened("W2"), open_one="W2")
    assert in_the_way(of) == []


def test_more_than_any_container_holds_does_not_come_back() -> None:
    of = entry(change("measured", ml=-(10**9 - 5)), before=(opened(), filled(ml=10**9)))
    assert in_the_way(of) == ["Container W1 of Solvent would hold more than any does."]
