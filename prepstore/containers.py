"""What happens to waste containers, as the store keeps it: rows only ever added.

A stream has at most one open container. What a container holds is the sum of what happened to it,
in mL or g as its stream measures.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Final

from prepstore.amounts import ZERO, Kind, of_billionths
from prepstore.cell_types import fold
from prepstore.recorded import CanBeUndone, standing


class ContainerWhat(StrEnum):
    """What happened to a container, or to the empty ones of a stream."""

    OPENING_AMOUNT = "opening amount"
    OPENED = "opened"
    FILLED = "filled"
    TAKEN_BACK = "taken back"
    MEASURED = "measured"
    SEALED = "sealed"
    COLLECTED = "collected"
    COUNTED = "counted"
    CALLED = "collection called"
    UNDONE = "undone"


class ContainerState(StrEnum):
    """How a container stands; one that is not there, or whose opening was undone, has none."""

    OPEN = "open"
    SEALED = "sealed"
    COLLECTED = "collected"


HERE: Final = frozenset({ContainerState.OPEN, ContainerState.SEALED})
"""The states of a container that is still in the laboratory."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ContainerChange:
    """One thing that happened to a container of a waste stream, or to its empty ones.

    `container` is its label, blank where the change is of the empty ones alone, or of a
    collection that was called; `expected` is then the day on which it comes (None: nobody
    said). `billionths` is how much more is in it, in billionths of `unit`, mL or g as its
    stream measures; `written` how that was typed. `item` is what was poured in, by its name at
    that time (None: not known), and `item_billionths` how much of it, in billionths of the
    `item_unit` in which it is kept; `lot` is
    the lot that it was discarded from. `was` and `now` are its states where that changed, blank
    where it was not there. `empty` is how many more empty ones there are. `reverses` is the number
    of the change that it undoes.
    """

    stream: str
    what: ContainerWhat
    unit: Kind
    container: str = ""
    billionths: int = 0
    written: str = ""
    was: str | None = None
    now: str | None = None
    empty: int = 0
    item: str | None = None
    item_billionths: int = 0
    item_unit: Kind | None = None
    lot: str | None = None
    expected: date | None = None
    reverses: int | None = None

    @property
    def number(self) -> Decimal:
        """Return how much more is in the container, in mL or g."""
        return of_billionths(self.billionths)


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedContainer(CanBeUndone):
    """A change of a container as the store keeps it; it may be of a session."""

    change: ContainerChange
    session: str | None = None

    @property
    def reverses(self) -> int | None:
        """Return the number of the change that it undoes."""
        return self.change.reverses


@dataclass(frozen=True, slots=True)
class Content:
    """How much of an item or solution is in a container.

    `amount` is in the `unit` in which it is kept; `level` is what it takes up of the container, in
    mL or g as the stream measures, 0 where that cannot be told.
    """

    item: str
    unit: Kind
    amount: Decimal
    level: Decimal

    def share(self, of: Decimal, out_of: Decimal) -> "Content":
        """Return what of it is in a part of a mixture, of so much out of so much."""
        return replace(self, amount=self.amount * of / out_of, level=self.level * of / out_of)


Pour = tuple[Content, ...]
"""What is poured into a container together."""


def level_of(contents: Iterable[Content]) -> Decimal:
    """Return what things take up of a container together, in mL or g as its stream measures."""
    return sum((one.level for one in contents), ZERO)


def put_together(contents: Iterable[Content]) -> tuple[Content, ...]:
    """Return things with those of one name added up, in the order in which they first stand."""
    found: dict[str, Content] = {}
    for one in contents:
        there = found.get(fold(one.item))
        amount, level = (there.amount, there.level) if there else (ZERO, ZERO)
        found[fold(one.item)] = replace(one, amount=one.amount + amount, level=one.level + level)
    return tuple(found.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptContainer:
    """A container of a waste stream (as spelled), and what is in it, in mL or g.

    One that a plan fills has neither label nor days yet.
    """

    label: str
    stream: str
    state: ContainerState
    filled: Decimal
    opened_on: date | None = None
    sealed_on: date | None = None
    collected_on: date | None = None


@dataclass(frozen=True, slots=True)
class Called:
    """A collection of a stream that was called on a day and has not come yet.

    `expected` is the day on which it comes, None where nobody said.
    """

    on: date
    expected: date | None


def called_of(history: Sequence[RecordedContainer]) -> Mapping[str, Called]:
    """Return the collection that is called of each stream (folded): the last one, if it is to come.

    It has come once a container of the stream was collected on a later day, or after it on its own.

    Args:
        history: What was called and collected, and what undid it, in the order of recording.
    """
    last: dict[tuple[str, ContainerWhat], RecordedContainer] = {}
    for one in standing(history):
        key = fold(one.change.stream), one.change.what
        last[key] = max(last.get(key, one), one, key=_turn)
    return {
        stream: Called(call.on_day, call.change.expected)
        for (stream, what), call in last.items()
        if what is ContainerWhat.CALLED
        and _turn(call) > _turn(last.get((stream, ContainerWhat.COLLECTED)))
    }


def _turn(one: RecordedContainer | None) -> tuple[date, int]:
    return (one.on_day, one.number) if one else (date.min, 0)


@dataclass(frozen=True)
class ContainersHeld:
    """The containers that are there: open or sealed ones, in the order of their labels.

    `empty` is how many empty ones there are, by folded stream, where that is known; `taken` are the
    folded labels that containers have or had. `known` is what of the content of the open one of
    each stream (folded) is known; `called` the collections that are to come, by folded stream.
    """

    containers: tuple[KeptContainer, ...] = ()
    empty: Mapping[str, int] = field(default_factory=dict)
    taken: frozenset[str] = frozenset()
    known: Mapping[str, tuple[Content, ...]] = field(default_factory=dict)
    called: Mapping[str, Called] = field(default_factory=dict)

    def of(self, stream: str) -> tuple[KeptContainer, ...]:
        """Return the containers of a stream (folded)."""
        return tuple(one for one in self.containers if fold(one.stream) == stream)

    def open_one(self, stream: str) -> KeptContainer | None:
        """Return the open container of a stream (folded); None where none is open."""
        of_stream = self.of(stream)
        return next((one for one in of_stream if one.state is ContainerState.OPEN), None)


NO_CONTAINERS: Final = ContainersHeld()


def free_container_label(taken: Iterable[str], day: date) -> str:
    """Return a label that is not among those taken (folded): W, the year and a number.

    >>> free_container_label({"w27-001"}, date(2027, 3, 8))
    'W27-002'
    """
    known, number = set(taken), 1
    while fold(label := f"W{day.year % 100:02}-{number:03}") in known:
        number += 1
    return label
