"""What happens to lots: entries and movements, only ever added, and the balances they come to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from sqlalchemy import (
    Connection,
    Row,
    Select,
    func,
    insert,
    select,
    update,
)

from prepstore.amounts import Kind, of_billionths, plain
from prepstore.columns import TABLES
from prepstore.facts import fold
from prepstore.ledger.light import light_table, next_number, table_of_a_set
from prepstore.ledger.names import Renames, record_names, recorded_names
from prepstore.ledger.orders import record_orders
from prepstore.movements import Booking, Change, Movement, Recorded, SessionUse, Signed, What

ENTRIES: Final = light_table("entries", "entry on_day at_utc by session reason")
MOVEMENTS: Final = light_table(
    "movements",
    "movement entry lot what billionths unit written changed was now stream order_line reverses",
)
BALANCES: Final = light_table("balances", "lot billionths")
SESSION_USES: Final = light_table(
    "session_uses", "session_use entry session session_date practical item unit planned used"
)
_STOCK: Final = table_of_a_set("stock")

_AS_TYPED: Final = frozenset({What.OPENING_AMOUNT, What.COUNTED})
"""After these a lot holds what was typed, so its row says it in those words."""


def record(
    connection: Connection, booking: Booking, signed: Signed, *, rows_follow: bool = True
) -> int:
    """Record a booking in the running transaction.

    Args:
        connection: Of `writing`, so that nobody else's movement comes in between.
        booking: What happened; a lot that is new stands in `new_lots`, or in the store already.
        signed: Who records it, and when.
        rows_follow: Whether the rows of lots are to follow; not where a load has saved them.

    Returns:
        The number of the entry.

    Raises:
        sqlalchemy.exc.IntegrityError: A lot would hold less than nothing, or is not known.
    """
    entry = next_number(connection, ENTRIES.c.entry)
    connection.execute(
        insert(ENTRIES).values(
            entry=entry,
            on_day=signed.on_day.isoformat(),
            at_utc=signed.at_utc,
            by=signed.by,
            session=booking.session,
            reason=booking.reason,
        )
    )
    if booking.new_lots:
        _add_lots(connection, booking.new_lots)
    if booking.movements:
        connection.execute(
            insert(MOVEMENTS), [_row(movement, entry) for movement in booking.movements]
        )
    if booking.uses:
        connection.execute(insert(SESSION_USES), [_use_row(use, entry) for use in booking.uses])
    if booking.orders:
        record_orders(connection, booking.orders, entry, rows_follow=rows_follow)
    record_names(connection, booking.names, entry)
    if rows_follow:
        _let_rows_follow(connection, booking)
    return entry


def _add_lots(connection: Connection, lots: Iterable[Mapping[str, str]]) -> None:
    blank = dict.fromkeys(TABLES["stock"].columns)
    # Rows of a table of a set are numbered as a spreadsheet's, below the heading.
    first = max(next_number(connection, _STOCK.c.position), 2)
    connection.execute(
        insert(_STOCK),
        [
            {**blank, **cells, "position": position, "key": fold(cells["lot"])}
            for position, cells in enumerate(lots, start=first)
        ],
    )


def _row(movement: Movement, entry: int) -> dict[str, Any]:
    change = movement.change
    return {
        "entry": entry,
        "lot": fold(movement.lot),
        "what": str(movement.what),
        "billionths": movement.billionths,
        "unit": str(movement.unit),
        "written": movement.written or None,
        "changed": change and change.column,
        "was": change and change.was,
        "now": change and change.now,
        "stream": movement.stream,
        "order_line": movement.order_line,
        "reverses": movement.reverses,
    }


def _use_row(use: SessionUse, entry: int) -> dict[str, Any]:
    return {
        "entry": entry,
        "session": use.session,
        "session_date": use.session_date.isoformat(),
        "practical": use.practical,
        "item": use.item,
        "unit": str(use.unit),
        "planned": use.planned,
        "used": use.used,
    }


def _let_rows_follow(connection: Connection, booking: Booking) -> None:
    """Let the rows of lots say what their movements came to."""
    for movement in booking.movements:
        if movement.change is not None:
            cells = {movement.change.column: movement.change.now or None}
            connection.execute(
                update(_STOCK).where(_STOCK.c.key == fold(movement.lot)).values(cells)
            )
    # A new lot's row says already what came into it, as it was typed.
    new = {fold(cells["lot"]) for cells in booking.new_lots}
    moved = {
        lot: one
        for one in booking.movements
        if (lot := fold(one.lot)) not in new and (one.billionths or one.written)
    }
    held = balances(connection, *moved) if moved else {}
    for lot, billionths in held.items():
        last = moved[lot]
        typed = last.written if last.what in _AS_TYPED else ""
        amount = typed or f"{plain(of_billionths(billionths))} {last.unit}"
        connection.execute(update(_STOCK).where(_STOCK.c.key == lot).values(amount=amount))


_AT_ONCE: Final = 500
"""Lots asked for in one go; SQLite takes 999 parameters at least."""


def balances(connection: Connection, *lots: str) -> dict[str, int]:
    """Return what lots hold, in billionths, by folded label; all lots if none is named."""
    everything = select(BALANCES.c.lot, BALANCES.c.billionths)
    if not lots:
        return _by_lot(connection.execute(everything))
    found: dict[str, int] = {}
    for first in range(0, len(lots), _AT_ONCE):
        some = everything.where(BALANCES.c.lot.in_(lots[first : first + _AT_ONCE]))
        found.update(_by_lot(connection.execute(some)))
    return found


def _by_lot(rows: Iterable[Row[Any]]) -> dict[str, int]:
    return {row.lot: row.billionths for row in rows}


def booked_sessions(connection: Connection, first_day: date) -> frozenset[str]:
    """Return the folded names of sessions from a day on that have been booked out."""
    uses = SESSION_USES.c
    found = connection.execute(
        select(uses.session)
        .where(uses.session_date >= first_day.isoformat())
        .group_by(uses.session)
        .having(func.sum(uses.planned) > 0)
    )
    return frozenset(fold(session) for (session,) in found)


def session_uses(
    connection: Connection, *, session: str | None = None, entry: int | None = None
) -> list[SessionUse]:
    """Return what sessions were planned to use and used: of all, of one, or of one entry.

    Items and practicals bear the names that they have by now.
    """
    uses = SESSION_USES.c
    rows = select(SESSION_USES).order_by(uses.session_use)
    if session is not None:
        rows = rows.where(uses.session == session)
    if entry is not None:
        rows = rows.where(uses.entry == entry)
    renames = Renames(recorded_names(connection))
    return [
        SessionUse(
            session=row.session,
            session_date=date.fromisoformat(row.session_date),
            practical=renames.now(row.practical, row.entry, "practicals"),
            item=renames.now(row.item, row.entry, "items", "solutions"),
            unit=Kind(row.unit),
            planned=row.planned,
            used=row.used,
        )
        for row in connection.execute(rows)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """Which movements are asked for; what is None does not matter.

    `lots` are folded labels; `newest` is how many of the last ones are wanted.
    """

    lots: tuple[str, ...] | None = None
    entry: int | None = None
    session: str | None = None
    by: str | None = None
    first_day: date | None = None
    last_day: date | None = None
    newest: int | None = None


def recorded(connection: Connection, asked: Asked) -> list[Recorded]:
    """Return the movements asked for, in the order they were recorded."""
    rows = _conditions(_history(), asked)
    if asked.newest is not None:
        newest = rows.order_by(MOVEMENTS.c.movement.desc()).limit(asked.newest)
        return [_recorded(row) for row in connection.execute(newest)][::-1]
    return [_recorded(row) for row in connection.execute(rows.order_by(MOVEMENTS.c.movement))]


def _history() -> Select[Any]:
    reversal = MOVEMENTS.alias("reversal")
    entries = ENTRIES.c
    return select(
        *MOVEMENTS.c,
        entries.on_day,
        entries.at_utc,
        entries.by,
        entries.session,
        entries.reason,
        reversal.c.entry.label("undone_by"),
    ).select_from(
        MOVEMENTS.join(ENTRIES, MOVEMENTS.c.entry == entries.entry).outerjoin(
            reversal, reversal.c.reverses == MOVEMENTS.c.movement
        )
    )


def _conditions(rows: Select[Any], asked: Asked) -> Select[Any]:
    entries = ENTRIES.c
    equal = (
        (MOVEMENTS.c.entry, asked.entry),
        (entries.session, asked.session),
        (entries.by, asked.by),
    )
    for cell, wanted in equal:
        if wanted is not None:
            rows = rows.where(cell == wanted)
    if asked.lots is not None:
        rows = rows.where(MOVEMENTS.c.lot.in_(asked.lots))
    if asked.first_day is not None:
        rows = rows.where(entries.on_day >= asked.first_day.isoformat())
    if asked.last_day is not None:
        rows = rows.where(entries.on_day <= asked.last_day.isoformat())
    return rows


def _recorded(row: Row[Any]) -> Recorded:
    change = Change(column=row.changed, was=row.was, now=row.now) if row.changed else None
    return Recorded(
        number=row.movement,
        entry=row.entry,
        movement=Movement(
            lot=row.lot,
            what=What(row.what),
            billionths=row.billionths,
            unit=Kind(row.unit),
            written=row.written or "",
            change=change,
            stream=row.stream,
            order_line=row.order_line,
            reverses=row.reverses,
        ),
        on_day=date.fromisoformat(row.on_day),
        at_utc=row.at_utc,
        by=row.by,
        session=row.session,
        reason=row.reason,
        undone_by=row.undone_by,
    )


def last_movement(connection: Connection) -> int:
    """Return the number of the last movement; 0 where there is none."""
    return next_number(connection, MOVEMENTS.c.movement) - 1


def moved_after(connection: Connection, movement: int) -> frozenset[str]:
    """Return the folded labels of lots whose amount changed after a movement."""
    moves = MOVEMENTS.c
    rows = select(moves.lot).distinct()
    rows = rows.where(moves.movement > movement, moves.billionths != 0)
    return frozenset(lot for (lot,) in connection.execute(rows))
