"""What a copy of a store recorded by itself, entry by entry, and what it held at each."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, Final

from sqlalchemy import ColumnElement, Connection, Row, TableClause, func, select

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.copied import CopiedEntry, Key, Past, Uses, key_of
from prepstore.ledger.containers import CONTAINER_CHANGES, recorded_containers
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.lots import lot_cells
from prepstore.ledger.movements import MOVEMENTS, SESSION_USES, Asked, recorded, session_uses
from prepstore.ledger.names import recorded_names
from prepstore.ledger.orders import ORDER_CHANGES, recorded_orders
from prepstore.ledger.reserved_labels import recorded_labels
from prepstore.ledger.timetable import TIMETABLE_CHANGES, recorded_timetable
from prepstore.movements import Booking, Movement, Signed

_LOT_CELLS: Final = TABLES["stock"].columns


def copied_entries(connection: Connection, after: int) -> Iterator[CopiedEntry]:
    """Yield what a copy recorded after an entry, in the order of recording."""
    entries = select(ENTRIES).where(ENTRIES.c.entry > after).order_by(ENTRIES.c.entry)
    for row in connection.execute(entries).all():
        booking = _booking(connection, row)
        yield CopiedEntry(
            row.entry,
            _signed(row),
            booking,
            past_of(connection, booking, before=row.entry),
        )


def taken_in_before(connection: Connection) -> dict[Key, int]:
    """Return the entries of a store that were taken in from copies, by who recorded them when."""
    rows = connection.execute(select(ENTRIES).where(ENTRIES.c.taken_in.is_not(None)))
    return {key_of(_signed(row)): row.entry for row in rows}


def _signed(row: Row[Any]) -> Signed:
    return Signed(by=row.by, on_day=date.fromisoformat(row.on_day), at_utc=row.at_utc)


def _booking(connection: Connection, row: Row[Any]) -> Booking:
    entry = row.entry
    movements = _movements(connection, entry)
    return Booking(
        movements=movements,
        new_lots=tuple(_new_lots(connection, movements, entry)),
        uses=tuple(session_uses(connection, entry=entry)),
        orders=tuple(one.change for one in recorded_orders(connection, entry=entry)),
        names=tuple(one.change for one in recorded_names(connection, entry=entry)),
        timetable=tuple(one.change for one in recorded_timetable(connection, entry=entry)),
        containers=tuple(one.change for one in recorded_containers(connection, entry=entry)),
        labels=tuple(one.change for one in recorded_labels(connection) if one.entry == entry),
        session=row.session,
        reason=row.reason,
    )


def _movements(connection: Connection, entry: int) -> tuple[Movement, ...]:
    """Return the movements of an entry, with the labels of lots as their rows spell them."""
    found = [one.movement for one in recorded(connection, Asked(entry=entry))]
    cells = lot_cells(connection, {one.lot for one in found})
    labels = {lot: row["lot"] for lot, row in cells.items()}
    return tuple(replace(one, lot=labels.get(one.lot, one.lot)) for one in found)


def _new_lots(
    connection: Connection, movements: Sequence[Movement], entry: int
) -> Iterator[dict[str, str]]:
    """Yield the cells of the lots that began with an entry, as they were then."""
    for movement in movements:
        if movement.item is None:
            continue
        lot = fold(movement.lot)
        cells = dict(lot_cells(connection, [lot]).get(lot, {"lot": movement.lot}))
        later = [one for one in recorded(connection, Asked(lots=(lot,))) if one.entry > entry]
        for one in reversed(later):
            change = one.movement.change
            if change is not None and change.column in _LOT_CELLS:
                cells[change.column] = change.was
        cells |= {"item": movement.item}
        if movement.written:
            cells["amount"] = movement.written
        yield {column: cell for column, cell in cells.items() if cell}


def past_of(connection: Connection, booking: Booking, before: int | None = None) -> Past:
    """Return what a store held of all that a booking touches: now, or before an entry.

    Args:
        connection: Of the store.
        booking: What is looked at.
        before: The entry; None for now.
    """
    containers = {one.container for one in booking.containers if one.container}
    sessions = booking.sessions
    streams = {one.stream for one in booking.containers}
    moves, changes = MOVEMENTS.c, CONTAINER_CHANGES.c
    of_lots = _asked(MOVEMENTS, moves.lot, booking.lots, before)
    of_containers = _asked(CONTAINER_CHANGES, changes.container, containers, before)
    of_session = TIMETABLE_CHANGES.c
    new_sessions = _asked(TIMETABLE_CHANGES, of_session.session, sessions, before)
    return Past(
        lots=_sums(connection, moves.lot, moves.billionths, of_lots),
        lots_began=_began(connection, moves.lot, moves.entry, [*of_lots, moves.item.is_not(None)]),
        containers=_sums(connection, changes.container, changes.billionths, of_containers),
        empty=_sums(
            connection,
            changes.stream,
            changes.empty,
            _asked(CONTAINER_CHANGES, changes.stream, streams, before),
        ),
        states=_states(connection, of_containers),
        containers_began=_began(
            connection, changes.container, changes.entry, [*of_containers, changes.was == ""]
        ),
        sessions=_uses(connection, {one.session for one in booking.uses}, before),
        sessions_began=_began(
            connection,
            of_session.session,
            of_session.entry,
            [*new_sessions, of_session.changed == "session", of_session.now != ""],
        ),
        orders=_orders(connection, {one.pack for one in booking.orders}, before),
    )


_Conditions = list[ColumnElement[bool]]


def _asked(
    table: TableClause, cell: ColumnElement[Any], among: Collection[str], before: int | None
) -> _Conditions:
    earlier = [] if before is None else [table.c.entry < before]
    return [cell.in_(sorted(among)), *earlier]


def _sums(
    connection: Connection,
    name: ColumnElement[Any],
    number: ColumnElement[Any],
    conditions: _Conditions,
) -> dict[str, int]:
    rows = select(name, func.sum(number)).where(*conditions).group_by(name)
    return {row[0]: int(row[1]) for row in connection.execute(rows)}


def _began(
    connection: Connection,
    name: ColumnElement[Any],
    entry: ColumnElement[Any],
    conditions: _Conditions,
) -> dict[str, int]:
    rows = select(name, func.max(entry)).where(*conditions).group_by(name)
    return {row[0]: int(row[1]) for row in connection.execute(rows)}


def _states(connection: Connection, conditions: _Conditions) -> dict[str, str]:
    changes = CONTAINER_CHANGES.c
    rows = select(changes.container, changes.now).where(*conditions, changes.now.is_not(None))
    found = connection.execute(rows.order_by(changes.container_change))
    return {row.container: row.now for row in found}


def _uses(connection: Connection, sessions: Collection[str], before: int | None) -> Uses:
    uses = SESSION_USES.c
    numbers = [func.sum(one) for one in (uses.planned, uses.used, uses.lacked)]
    rows = (
        select(uses.session, func.count(uses.session_use), *numbers)
        .where(*_asked(SESSION_USES, uses.session, sessions, before))
        .group_by(uses.session)
    )
    found = connection.execute(rows)
    return {row[0]: tuple(map(int, row[1:])) for row in found}


def _orders(
    connection: Connection, packs: Collection[str], before: int | None
) -> Mapping[tuple[str, str, str], int]:
    changes = ORDER_CHANGES.c
    rows = select(changes.reference, changes.pack, changes.due, changes.packs).where(
        *_asked(ORDER_CHANGES, changes.pack, packs, before)
    )
    found: dict[tuple[str, str, str], int] = {}
    for row in connection.execute(rows):
        key = fold(row.reference), fold(row.pack), row.due
        found[key] = found.get(key, 0) + row.packs
    return found
