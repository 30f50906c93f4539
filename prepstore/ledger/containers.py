"""What happens to waste containers: changes only ever added, and what they come to."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from typing import Any, Final

from sqlalchemy import ColumnElement, Connection, Row, Select, func, insert, select

from prepstore.amounts import Kind, of_billionths
from prepstore.cell_types import fold
from prepstore.containers import (
    HERE,
    Called,
    ContainerChange,
    ContainersHeld,
    ContainerState,
    ContainerWhat,
    KeptContainer,
    RecordedContainer,
    called_of,
)
from prepstore.ledger.entries import ENTRIES, told_of, with_entries_and_undoing
from prepstore.ledger.light import light_table
from prepstore.ledger.names import Renames, all_names, recorded_names
from prepstore.recorded import standing

CONTAINER_CHANGES: Final = light_table(
    "container_changes",
    "container_change entry stream container what billionths unit written was now empty item "
    "item_billionths item_unit lot reverses expected",
)
CONTAINERS: Final = light_table("containers", "container stream state billionths")
EMPTY_CONTAINERS: Final = light_table("empty_containers", "stream number")


_OF_STATE: Final = (ContainerWhat.OPENED, ContainerWhat.SEALED, ContainerWhat.COLLECTED)

_AT_ONCE: Final = 500
"""Containers asked for in one go; SQLite takes 999 parameters at least."""


def record_containers(
    connection: Connection, changes: Iterable[ContainerChange], entry: int
) -> None:
    """Record what happened to containers with an entry of the running transaction.

    Raises:
        sqlalchemy.exc.IntegrityError: One would hold less than nothing, or a stream would have two
            open ones.
    """
    rows = [_row(change, entry) for change in changes]
    if rows:
        connection.execute(insert(CONTAINER_CHANGES), rows)


def _row(change: ContainerChange, entry: int) -> dict[str, Any]:
    return {
        "entry": entry,
        "stream": change.stream,
        "container": change.container or None,
        "what": str(change.what),
        "billionths": change.billionths,
        "unit": str(change.unit),
        "written": change.written or None,
        "was": change.was,
        "now": change.now,
        "empty": change.empty,
        "item": change.item,
        "item_billionths": change.item_billionths,
        "item_unit": change.item_unit and str(change.item_unit),
        "lot": change.lot,
        "expected": change.expected and change.expected.isoformat(),
        "reverses": change.reverses,
    }


def recorded_containers(
    connection: Connection,
    *,
    entry: int | None = None,
    session: str | None = None,
    containers: Sequence[str] | None = None,
) -> list[RecordedContainer]:
    """Return what happened to containers, in the order of recording.

    All of it, or that of an entry, of a session or of some containers (as spelled). Items bear the
    names that they have by now.
    """
    rows = _history()
    if entry is not None:
        rows = rows.where(CONTAINER_CHANGES.c.entry == entry)
    if session is not None:
        rows = rows.where(ENTRIES.c.session == session)
    if containers is None:
        return _read(connection, rows)
    found: list[RecordedContainer] = []
    for first in range(0, len(containers), _AT_ONCE):
        some = CONTAINER_CHANGES.c.container.in_(containers[first : first + _AT_ONCE])
        found += _read(connection, rows.where(some))
    return sorted(found, key=lambda one: one.number)


def recorded_empty(connection: Connection) -> list[RecordedContainer]:
    """Return what was told of the empty containers, and which collections were called.

    In the order of recording.
    """
    return _read(connection, _history_of_empty())


def recorded_of_open(connection: Connection) -> list[RecordedContainer]:
    """Return what happened to the containers that are open, in the order of recording."""
    return _read(connection, _history_of_open())


def _history_of_open() -> Select[Any]:
    is_open = CONTAINERS.c.state == str(ContainerState.OPEN)
    of_open = CONTAINER_CHANGES.c.container.in_(select(CONTAINERS.c.container).where(is_open))
    return _history().where(of_open)


def _history_of_empty() -> Select[Any]:
    return _history().where(CONTAINER_CHANGES.c.container.is_(None))


def _all_there() -> Select[Any]:
    return _listed(CONTAINERS.c.state != "")


def held_and_open() -> list[Select[Any]]:
    """Return what `containers_held` and `recorded_of_open` ask."""
    numbers = select(EMPTY_CONTAINERS)
    of_days = _all_days()
    return [_all_there(), of_days, numbers, all_names(), _history_of_empty(), _history_of_open()]


def of_a_session(session: str) -> Select[Any]:
    """Return what `recorded_containers` asks of a session."""
    return _history().where(ENTRIES.c.session == session)


def _called(connection: Connection, told: Sequence[RecordedContainer]) -> Mapping[str, Called]:
    """Return the collections that are to come, by folded stream.

    Args:
        connection: Of the store.
        told: What `recorded_empty` gives.
    """
    if not any(one.change.what is ContainerWhat.CALLED for one in told):
        return {}
    collected = [str(ContainerWhat.COLLECTED), str(ContainerWhat.UNDONE)]
    rows = _history().where(CONTAINER_CHANGES.c.container.is_not(None))
    found = _read(connection, rows.where(CONTAINER_CHANGES.c.what.in_(collected)))
    return called_of(sorted([*told, *found], key=lambda one: one.number))


def _history() -> Select[Any]:
    number = CONTAINER_CHANGES.c.container_change
    return with_entries_and_undoing(CONTAINER_CHANGES, number).order_by(number)


def _read(connection: Connection, rows: Select[Any]) -> list[RecordedContainer]:
    renames = Renames(recorded_names(connection))
    return [_recorded(row, renames) for row in connection.execute(rows)]


def _recorded(row: Row[Any], renames: Renames) -> RecordedContainer:
    item = row.item
    return RecordedContainer(
        number=row.container_change,
        change=ContainerChange(
            stream=row.stream,
            what=ContainerWhat(row.what),
            unit=Kind(row.unit),
            container=row.container or "",
            billionths=row.billionths,
            written=row.written or "",
            was=row.was,
            now=row.now,
            empty=row.empty,
            item=item and renames.now(item, row.entry, "items", "solutions"),
            item_billionths=row.item_billionths,
            item_unit=Kind(row.item_unit) if row.item_unit else None,
            lot=row.lot,
            expected=date.fromisoformat(row.expected) if row.expected else None,
            reverses=row.reverses,
        ),
        session=row.of_session,
        undone_by=row.undone_by,
        **told_of(row),
    )


def containers_held(connection: Connection) -> ContainersHeld:
    """Return the containers that are there, and how many empty ones are."""
    rows = connection.execute(_all_there()).all()
    here = [row for row in rows if row.state in HERE]
    days = _days(connection) if here else {}
    numbers = {row.stream: row.number for row in connection.execute(select(EMPTY_CONTAINERS))}
    of_streams = recorded_empty(connection)
    told = {
        one.change.stream
        for one in standing(of_streams)
        if one.change.what is not ContainerWhat.CALLED
    }
    return ContainersHeld(
        tuple(_kept(row, days) for row in here),
        {fold(stream): number for stream, number in numbers.items() if stream in told},
        frozenset(fold(row.container) for row in rows),
        called=_called(connection, of_streams),
    )


def _listed(wanted: ColumnElement[bool]) -> Select[Any]:
    return select(CONTAINERS).where(wanted).order_by(CONTAINERS.c.container)


def collected_containers(connection: Connection) -> tuple[KeptContainer, ...]:
    """Return the containers that were collected, in the order of their labels."""
    of_state = CONTAINERS.c.state == str(ContainerState.COLLECTED)
    rows = connection.execute(_listed(of_state)).all()
    days = _days(connection) if rows else {}
    return tuple(_kept(row, days) for row in rows)


def empty_numbers(connection: Connection) -> dict[str, int]:
    """Return the number of empty containers of each stream (as spelled), told or not."""
    return {row.stream: row.number for row in connection.execute(select(EMPTY_CONTAINERS))}


def _days(connection: Connection) -> Mapping[tuple[str, str], date]:
    """Return the day of each container's last change to a state, by its label and that state.

    When one that began with a load was opened is not known.
    """
    found = connection.execute(_all_days())
    return {(row.container, row.now): date.fromisoformat(row.on_day) for row in found}


def _all_days() -> Select[Any]:
    changes = CONTAINER_CHANGES.c
    told = [str(what) for what in _OF_STATE]
    last = (
        select(func.max(changes.container_change))
        .where(changes.now.is_not(None), changes.now != "", changes.what.in_(told))
        .group_by(changes.container, changes.now)
    )
    rows = select(changes.container, changes.now, ENTRIES.c.on_day).select_from(
        CONTAINER_CHANGES.join(ENTRIES, changes.entry == ENTRIES.c.entry)
    )
    return rows.where(changes.container_change.in_(last))


def _kept(row: Row[Any], days: Mapping[tuple[str, str], date]) -> KeptContainer:
    state = ContainerState(row.state)
    is_closed = state is not ContainerState.OPEN
    return KeptContainer(
        label=row.container,
        stream=row.stream,
        state=state,
        filled=of_billionths(row.billionths),
        opened_on=days.get((row.container, ContainerState.OPEN)),
        sealed_on=days.get((row.container, ContainerState.SEALED)) if is_closed else None,
        collected_on=days.get((row.container, ContainerState.COLLECTED))
        if state is ContainerState.COLLECTED
        else None,
    )
