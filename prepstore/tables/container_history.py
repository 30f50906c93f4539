"""What must hold of the waste containers of a history, by itself and beside the streams' rows."""

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, Final

from prepstore.amounts import LARGEST_AMOUNT, in_billionths, of_billionths, plain
from prepstore.cell_types import fold
from prepstore.containers import ContainerState, ContainerWhat
from prepstore.filling import exactly
from prepstore.problems import Problem, at, nearest
from prepstore.tables.understand import Known
from prepstore.tables.units import read_amount
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet

_MOST: Final = in_billionths(LARGEST_AMOUNT)
_EXPORT_AGAIN: Final = "Export the store again, so that tables and history are of one moment."
_DIFFERS: Final = "history-differs"


class _Replayed:
    """The containers as the changes of a history leave them."""

    def __init__(self) -> None:
        self.holds: Counter[str] = Counter()
        self.state: dict[str, str] = {}
        self.stream: dict[str, str] = {}
        self.empty: Counter[str] = Counter()
        self.tells: dict[int, int] = {}
        self.told: Counter[str] = Counter()

    def add(self, fact: Any) -> None:  # noqa: ANN401 - a fact of the history
        """Add a change."""
        stream = fold(fact.stream)
        if fact.container is not None:
            self.holds[fact.container] += fact.change
            self.stream[fact.container] = stream
            if fact.was is not None or fact.now is not None:
                self.state[fact.container] = fact.now or ""
        else:
            # A collection that was called says nothing of the empty ones.
            own = 0 if fact.what is ContainerWhat.CALLED else 1
            tells = own if fact.reverses is None else -self.tells.get(fact.reverses, 0)
            self.tells[fact.container_change] = tells
            self.told[stream] += tells
        self.empty[stream] += fact.empty

    def open_ones(self, stream: str) -> list[str]:
        """Return the open containers of a stream (folded); there is one at most."""
        return [
            container
            for container, state in self.state.items()
            if state == ContainerState.OPEN and self.stream[container] == stream
        ]


def container_problems(known: Known) -> Iterator[Problem]:
    """Yield the first thing that is wrong with the changes of containers, one after the other.

    Args:
        known: The changes beside their rows, in the order of their numbers.
    """
    replayed = _Replayed()
    for row, fact in known:
        before = replayed.state.get(fact.container or "", "")
        replayed.add(fact)
        wrong = _wrong_with(row, fact, before, replayed)
        if wrong is not None:
            yield wrong
            return


def _wrong_with(row: WrittenRow, fact: Any, before: str, after: _Replayed) -> Problem | None:  # noqa: ANN401
    holds = after.holds[fact.container] if fact.container else 0
    is_of_state = fact.was is not None or fact.now is not None
    if (cannot_be := _cannot_be(row, fact)) is not None:
        return cannot_be
    if is_of_state and (fact.was or "") != before:
        what = f"is not the state of {fact.container} at that time: {before or 'not there'}."
        return at(row, "was", "container-state", what, _EXPORT_AGAIN)
    if len(after.open_ones(fold(fact.stream))) > 1:
        what = f"leaves two containers of {fact.stream} open."
        return at(row, "now", "container-state", what, _EXPORT_AGAIN)
    if not 0 <= holds <= _MOST:
        what = f"leaves container {fact.container} with {plain(of_billionths(holds))} {fact.unit}."
        code = "below-nothing" if holds < 0 else "number-too-large"
        return at(row, "change", code, what, _EXPORT_AGAIN)
    if after.empty[fold(fact.stream)] < 0:
        what = f"leaves fewer than 0 empty containers of {fact.stream}."
        return at(row, "empty", "below-nothing", what, _EXPORT_AGAIN)
    return None


def _cannot_be(row: WrittenRow, fact: Any) -> Problem | None:  # noqa: ANN401
    """Return what is wrong with a change whatever was before it."""
    if fact.what is ContainerWhat.FILLED and fact.change < 0:
        what = "cannot be: what is filled adds and never takes away."
        return at(row, "change", "sign-wrong", what, _EXPORT_AGAIN)
    if fact.what is ContainerWhat.CALLED and (fact.container or fact.change or fact.empty):
        what = "cannot be: a collection is called of a stream, and fills and empties nothing."
        return at(row, "what", "container-state", what, _EXPORT_AGAIN)
    return None


def containers_that_differ(known: Known, tables: WrittenSet) -> Iterator[Problem]:
    """Yield a problem for each stream of which the history and its row say different things.

    Args:
        known: The changes beside their rows, all of them, in the order of their numbers.
        tables: The tables beside the history.
    """
    replayed = _Replayed()
    streams = {fold(row.text.get("stream", "")): row for row in tables.get("waste_streams", ())}
    for row, fact in known:
        replayed.add(fact)
        if fold(fact.stream) not in streams:
            expected = nearest(fact.stream, [one.text["stream"] for one in streams.values()])
            yield at(row, "stream", "name-unknown", "is not a name in waste_streams.", expected)
            return
    for stream, row in streams.items():
        yield from _differs(row, replayed, stream)


def _differs(row: WrittenRow, replayed: _Replayed, stream: str) -> Iterator[Problem]:
    said = _number_said(row.text)
    labels = replayed.open_ones(stream)
    holds = replayed.holds[labels[0]] if labels else None
    if "part_full" not in row.told and said != holds:
        come_to = "nothing open" if holds is None else plain(of_billionths(holds))
        what = f"is not what the changes of its containers come to: {come_to}."
        yield at(row, "part_full", _DIFFERS, _blank(row, "part_full") + what, _EXPORT_AGAIN)
    number = replayed.empty[stream] if replayed.told[stream] else None
    if "empty_containers" not in row.told and _count_said(row.text) != number:
        what = f"is not what the changes come to: {'not known' if number is None else number}."
        blank = _blank(row, "empty_containers")
        yield at(row, "empty_containers", _DIFFERS, blank + what, _EXPORT_AGAIN)


def _blank(row: WrittenRow, column: str) -> str:
    return "" if row.text.get(column) else f"{column} is blank, which "


def _number_said(cells: Mapping[str, str]) -> int | None:
    text = cells.get("part_full")
    try:
        return in_billionths(exactly(read_amount(text))) if text else None
    except UnreadableError:
        return None


def _count_said(cells: Mapping[str, str]) -> int | None:
    text = cells.get("empty_containers", "")
    return int(text) if text.isdecimal() else None
