"""Changes of waste containers taken back with the entry that they were recorded with."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from prepstore.amounts import of_billionths, plain
from prepstore.cell_types import fold
from prepstore.containers import (
    HERE,
    NO_CONTAINERS,
    ContainerChange,
    ContainersHeld,
    ContainerState,
    ContainerWhat,
    RecordedContainer,
)
from prepstore.recorded import standing
from prepstore.shelf.pouring import MOST


@dataclass(frozen=True, slots=True, kw_only=True)
class EntryOfContainers:
    """What an entry did to waste containers: its `changes`, and how these stand now.

    `history` is the whole history of the containers that it touched and what was told of empty
    ones, in the order of recording;
    `held` are all containers that are there; `empty` the number of empty ones by stream, as
    spelled, told or not.
    """

    changes: Sequence[RecordedContainer] = ()
    history: Sequence[RecordedContainer] = ()
    held: ContainersHeld = NO_CONTAINERS
    empty: Mapping[str, int] = field(default_factory=dict)

    @property
    def labels(self) -> list[str]:
        """Return the labels of the containers that it touched, in the order of its changes."""
        named = (one.change.container for one in self.changes)
        return list(dict.fromkeys(label for label in named if label))

    @property
    def is_opening(self) -> bool:
        """Return whether it is the load with which containers began."""
        return any(one.change.what is ContainerWhat.OPENING_AMOUNT for one in self.changes)


NO_CONTAINER_CHANGES: Final = EntryOfContainers()


def changes_reversed(of: EntryOfContainers) -> tuple[ContainerChange, ...]:
    """Return what takes an entry's changes of containers back.

    What comes back into a container stands before what goes, so that none falls below nothing on
    the way; else the last is taken back first.
    """
    back = [_reversed(one) for one in of.changes[::-1]]
    return tuple(sorted(back, key=lambda one: not (one.billionths > 0 and one.now is None)))


def _reversed(one: RecordedContainer) -> ContainerChange:
    change = one.change
    return replace(
        change,
        what=ContainerWhat.UNDONE,
        billionths=-change.billionths,
        written="",
        was=change.now,
        now=change.was,
        empty=-change.empty,
        item_billionths=-change.item_billionths,
        reverses=one.number,
    )


def containers_in_the_way(of: EntryOfContainers) -> Iterator[str]:
    """Yield a sentence for each reason why what an entry did to containers cannot go back."""
    touched = {label: _OfContainer(of, label) for label in of.labels}
    for label, container in touched.items():
        yield from container.in_the_way()
        if container.then == ContainerState.OPEN:
            stream = fold(container.stream)
            other = of.held.open_one(stream)
            then = touched[other.label].then if other and other.label in touched else None
            if other and other.label != label and then in (None, ContainerState.OPEN):
                what = f"Container {other.label} of {container.stream} is open now, so {label}"
                yield f"{what} cannot be open as well. Undo what opened it first."
    for stream in dict.fromkeys(one.change.stream for one in of.changes):
        left = of.empty.get(stream, 0) - sum(
            one.change.empty for one in of.changes if one.change.stream == stream
        )
        if left < 0:
            what = f"Some of the empty containers of {stream} have been used since."
            yield f"{what} Undo that first, or count them: prepstore waste empty"


class _OfContainer:
    """What an entry did to one container, and what has happened to that since."""

    def __init__(self, of: EntryOfContainers, label: str) -> None:
        self._label = label
        self._mine = [one for one in of.changes if one.change.container == label]
        self._history = [one for one in of.history if one.change.container == label]
        self.stream = self._mine[0].change.stream
        last = self._mine[-1].number
        self._since = standing([one for one in self._history if one.number > last])
        of_state = [one.change for one in self._history if one.change.now is not None]
        self._now = of_state[-1].now or "" if of_state else ""
        mine = [one.change for one in self._mine if one.change.now is not None]
        self._left_as = mine[-1].now if mine else None
        self.then = (mine[0].was or "") if mine else self._now

    def in_the_way(self) -> Iterator[str]:
        """Yield why it cannot go back; at most one sentence."""
        if any(one.change.now == ContainerState.OPEN and not one.change.was for one in self._since):
            yield f"Another container has the label {self._label} now. {self._undo_first()}"
        elif self._is_another_state():
            state = self._now or "not there"
            yield f"Container {self._label} of {self.stream} is {state} now. {self._undo_first()}"
        else:
            yield from self._level_in_the_way()

    def _is_another_state(self) -> bool:
        if self._left_as is None:
            return self._now not in HERE
        return self._now != self._left_as

    def _level_in_the_way(self) -> Iterator[str]:
        level = sum(one.change.billionths for one in self._history)
        after = level - sum(one.change.billionths for one in self._mine)
        unit = self._mine[0].change.unit
        if after < 0:
            lacks = f"{plain(of_billionths(-after))} {unit}"
            what = f"Container {self._label} of {self.stream} would hold {lacks} less than 0."
            yield f"{what} {self._undo_first()}"
        elif not self.then and (after or self._since):
            what = f"Container {self._label} of {self.stream} has been used since it was opened."
            yield f"{what} {self._undo_first()}"
        elif after >= MOST:
            yield f"Container {self._label} of {self.stream} would hold more than any does."

    def _undo_first(self) -> str:
        if not self._since:
            return "See what has happened since: prepstore stock history"
        entry = self._since[-1].entry
        return f"Undo entry {entry} first: prepstore stock undo {entry}"
