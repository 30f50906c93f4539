"""The rows of waste streams saying what their containers hold, and what a set says otherwise."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from typing import Any

from prepstore.amounts import Amount, Kind, WrittenAmount, in_billionths
from prepstore.cell_types import fold
from prepstore.containers import (
    ContainerChange,
    ContainersHeld,
    ContainerState,
    ContainerWhat,
    KeptContainer,
    free_container_label,
)
from prepstore.filling import exactly
from prepstore.problems import Problem, at
from prepstore.tables.understand import Known
from prepstore.tables.units import read_amount
from prepstore.tables.unreadable import UnreadableError
from prepstore.written import WrittenRow, WrittenSet


def with_containers_held(written: WrittenSet, held: ContainersHeld) -> dict[str, list[WrittenRow]]:
    """Return rows of a store in which each waste stream says what its containers hold.

    The words that somebody typed last stay where they still come to it, as `3.2 L`.
    """
    streams = [_as_held(row, held) for row in written.get("waste_streams", ())]
    found = {table: list(rows) for table, rows in written.items()}
    return {**found, "waste_streams": streams} if "waste_streams" in written else found


def _as_held(row: WrittenRow, held: ContainersHeld) -> WrittenRow:
    stream = fold(row.text.get("stream", ""))
    said = dict(row.text)
    for column, cell in (
        ("part_full", _part_full(row.text, held.open_one(stream))),
        ("empty_containers", _empty(row.text, held.empty.get(stream))),
    ):
        said.pop(column, None)
        if cell is not None:
            said[column] = cell
    columns = {name: said[name] for name in (*row.text, *said) if name in said}
    return replace(row, text=columns)


def _part_full(cells: Mapping[str, str], open_one: KeptContainer | None) -> str | None:
    if open_one is None:
        return None
    typed = cells.get("part_full", "")
    try:
        if typed and in_billionths(exactly(read_amount(typed))) == in_billionths(open_one.filled):
            return typed
    except UnreadableError:
        pass
    return str(Amount(open_one.filled, kind_of(cells)))


def kind_of(cells: Mapping[str, str]) -> Kind:
    """Return what the stream of a row adds up in."""
    return Kind.MASS if fold(cells.get("measure", "")) == "mass" else Kind.VOLUME


def _empty(cells: Mapping[str, str], number: int | None) -> str | None:
    if number is None:
        return None
    typed = cells.get("empty_containers", "")
    return typed if typed.isdecimal() and int(typed) == number else str(number)


@dataclass(slots=True)
class ContainersFound:
    """What the rows of waste streams come to: changes, rows that differ, what is wrong."""

    changes: list[ContainerChange] = field(default_factory=list)
    differing: list[WrittenRow] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)


def containers_found(
    known: Known, stored: WrittenSet, held: ContainersHeld, day: date
) -> ContainersFound:
    """Return what the rows of a set say of waste containers that the store does not have so.

    A stream that is new begins with what its row says. A blank cell says nothing.

    Args:
        known: Each stream beside its row of the set.
        stored: The rows of the store.
        held: Its containers.
        day: The day of the load.
    """
    found = ContainersFound()
    before = {row.key: row for row in stored.get("waste_streams", ())}
    taken = set(held.taken)
    for row, stream in known:
        old = before.get(row.key)
        changes = [
            *_filled(stream, held.open_one(row.key[0]), is_new=old is None),
            *_counted(stream, held.empty.get(row.key[0]), is_new=old is None),
        ]
        for change in changes:
            label = change.container
            if change.now is not None:
                label = free_container_label(taken, day)
                taken.add(fold(label))
            found.changes.append(replace(change, container=label))
        if old is not None:
            found.differing += [row] if changes else []
            found.problems += [_says_otherwise(row, old, change) for change in changes]
            found.problems += _other_measure(row, old, held)
    return found


def _filled(
    stream: Any,  # noqa: ANN401 - a fact
    open_one: KeptContainer | None,
    *,
    is_new: bool,
) -> Iterator[ContainerChange]:
    """Yield what is in the open container by its row, where the store has it otherwise."""
    written: WrittenAmount | None = stream.part_full
    kind = stream.measure.kind
    if written is None or any(portion.kind is not kind for portion in written.portions):
        return
    more = in_billionths(exactly(written)) - in_billionths(
        open_one.filled if open_one else Decimal(0)
    )
    if open_one is not None and not more:
        return
    yield ContainerChange(
        stream=stream.stream,
        what=ContainerWhat.OPENING_AMOUNT if is_new else ContainerWhat.MEASURED,
        unit=kind,
        container=open_one.label if open_one else "",
        billionths=more,
        written=str(written),
        was=None if open_one else "",
        now=None if open_one else ContainerState.OPEN,
    )


def _counted(
    stream: Any,  # noqa: ANN401 - a fact
    number: int | None,
    *,
    is_new: bool,
) -> Iterator[ContainerChange]:
    found = stream.empty_containers
    if found is not None and found != number:
        yield ContainerChange(
            stream=stream.stream,
            what=ContainerWhat.OPENING_AMOUNT if is_new else ContainerWhat.COUNTED,
            unit=stream.measure.kind,
            empty=found - (number or 0),
        )


def _says_otherwise(row: WrittenRow, old: WrittenRow, change: ContainerChange) -> Problem:
    column = "empty_containers" if change.what is ContainerWhat.COUNTED else "part_full"
    nothing = "no open container" if column == "part_full" else "no number of them"
    held = old.text.get(column) or nothing
    what = f"is not what the store has of this stream, {held}."
    remedy = "Write that, leave the cell blank, or record the difference with load --count."
    return at(row, column, "container-differs", what, remedy)


def _other_measure(row: WrittenRow, old: WrittenRow, held: ContainersHeld) -> Iterator[Problem]:
    """Yield a problem where a stream of which containers are there is measured otherwise."""
    if "measure" in row.text and held.of(row.key[0]) and kind_of(row.text) != kind_of(old.text):
        what = f"is another measure than {old.text.get('measure', '')}, by which containers that "
        what += "are there were filled."
        remedy = "Leave it, or have these containers collected first."
        yield at(row, "measure", "container-measure", what, remedy)


def streams_told(rows: Iterable[WrittenRow]) -> Iterator[str]:
    """Yield what each stream has now of which a load recorded another amount or number."""
    for row in rows:
        open_one, empty = row.text.get("part_full"), row.text.get("empty_containers")
        said = [f"{open_one} in the open container"] if open_one else []
        said += [f"{empty} empty ones"] if empty else []
        yield f"waste stream {row.text['stream']} has {' and '.join(said)} now"
