"""What happens to lots: entries and movements, only ever added, and the balances they come to."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from sqlalchemy import (
    Connection,
    Row,
    Select,
    func,
    insert,
    or_,
    select,
)

from prepstore.amounts import Kind
from prepstore.cell_types import fold
from prepstore.ledger.ahead import ask_ahead
from prepstore.ledger.containers import record_containers
from prepstore.ledger.entries import ENTRIES, told_of, with_entries_and_undoing
from prepstore.ledger.light import largest, light_table, next_number
from prepstore.ledger.lots import (
    BALANCES,
    add_lots,
    as_they_stand,
    asked_for,
    let_rows_follow,
    swap_rows,
)
from prepstore.ledger.names import Renames, record_names, recorded_names
from prepstore.ledger.orders import record_orders
from prepstore.ledger.reserved_labels import record_labels
from prepstore.ledger.timetable import record_timetable
from prepstore.movements import Booking, Change, Movement, Recorded, SessionUse, Signed, What

MOVEMENTS: Final = light_table(
    "movements",
    "movement entry lot what billionths unit written changed was now stream order_line reverses "
    "item note paid supplier delivery_note",
)
SESSION_USES: Final = light_table(
    "session_uses",
    "session_use entry session session_date practical item unit planned used lacked",
)


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
        ValueError: There is nothing in it; an entry to which nothing belongs is never written.
        sqlalchemy.exc.IntegrityError: A lot would hold less than nothing, or is not known.
    """
    if booking.is_empty:
        raise ValueError("an entry without anything in it")
    entry = next_number(connection, ENTRIES.c.entry)
    connection.execute(
        insert(ENTRIES).values(
            entry=entry,
            on_day=signed.on_day.isoformat(),
            at_utc=signed.at_utc,
            by=signed.by,
            taken_in=signed.taken_in,
            taken_from=signed.taken_from,
            session=booking.session,
            reason=booking.reason,
        )
    )
    if booking.new_lots:
        add_lots(connection, booking.new_lots, entry)
    undone = [one.reverses for one in booking.movements if one.reverses is not None]
    if undone:
        swap_rows(connection, booking, entry, _entry_of(connection, undone[0]))
    movements = as_they_stand(connection, booking.movements) if rows_follow else booking.movements
    if movements:
        connection.execute(insert(MOVEMENTS), [_row(movement, entry) for movement in movements])
    if booking.uses:
        connection.execute(insert(SESSION_USES), [_use_row(use, entry) for use in booking.uses])
    if booking.orders:
        record_orders(connection, booking.orders, entry, rows_follow=rows_follow)
    record_names(connection, booking.names, entry)
    record_timetable(connection, booking.timetable, entry)
    record_containers(connection, booking.containers, entry)
    record_labels(connection, booking.labels, entry)
    if rows_follow:
        let_rows_follow(connection, booking)
    return entry


def _entry_of(connection: Connection, movement: int) -> int:
    moves = MOVEMENTS.c
    found = connection.execute(select(moves.entry).where(moves.movement == movement)).scalar()
    return int(found or 0)


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
        "item": movement.item,
        "note": movement.note,
        "paid": movement.paid,
        "supplier": movement.supplier,
        "delivery_note": movement.delivery_note,
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
        "lacked": use.lacked,
    }


def booked_among(connection: Connection, sessions: Sequence[str]) -> dict[str, date]:
    """Return those of some sessions that have been booked out, with the day they had then.

    By folded name. A session stays booked out when the timetable moves it.
    """
    some = [sessions[first : first + _AT_ONCE] for first in range(0, len(sessions), _AT_ONCE)]
    questions = [_booked_of(those) for those in some]
    ask_ahead(connection, questions)
    found: dict[str, date] = {}
    for question in questions:
        booked = connection.execute(question)
        found |= {fold(row.session): date.fromisoformat(row.day) for row in booked}
    return found


def _booked_of(sessions: Sequence[str]) -> Select[Any]:
    uses = SESSION_USES.c
    return (
        select(uses.session, func.max(uses.session_date).label("day"))
        .where(uses.session.in_(sessions))
        .group_by(uses.session)
        .having(func.sum(uses.planned) > 0)
    )


def session_uses(
    connection: Connection, *, session: str | None = None, entry: int | None = None
) -> list[SessionUse]:
    """Return what sessions were planned to use and used: of all, of one, or of one entry.

    Items and practicals bear the names that they have by now.
    """
    rows = uses_of(session)
    if entry is not None:
        rows = rows.where(SESSION_USES.c.entry == entry)
    renames = Renames(recorded_names(connection))
    return [_session_use(row, renames) for row in connection.execute(rows)]


def uses_of(session: str | None) -> Select[Any]:
    """Return what `session_uses` asks of a session, or of all."""
    uses = SESSION_USES.c
    rows = select(SESSION_USES).order_by(uses.session_use)
    return rows if session is None else rows.where(uses.session == session)


def asked_to_record(booking: Booking) -> list[Select[Any]]:
    """Return what `record` asks of a booking before it writes."""
    return [largest(ENTRIES.c.entry), *asked_for(booking)]


def entries_of_session(connection: Connection, session: str) -> list[tuple[int, str]]:
    """Return entry and reason of all that was recorded of a session's use, in order."""
    uses = SESSION_USES.c
    rows = (
        select(ENTRIES.c.entry, ENTRIES.c.reason)
        .where(ENTRIES.c.entry.in_(select(uses.entry).where(uses.session == session)))
        .order_by(ENTRIES.c.entry)
    )
    return [(row.entry, row.reason or "") for row in connection.execute(rows)]


def use_of_entries(connection: Connection) -> dict[int, SessionUse]:
    """Return of each entry that is of a session one of its uses, which names the session.

    Items and practicals bear the names that they have by now.
    """
    uses = SESSION_USES.c
    first = select(func.min(uses.session_use)).group_by(uses.entry)
    rows = select(SESSION_USES).where(uses.session_use.in_(first)).order_by(uses.session_use)
    renames = Renames(recorded_names(connection))
    return {row.entry: _session_use(row, renames) for row in connection.execute(rows)}


def _session_use(row: Row[Any], renames: Renames) -> SessionUse:
    return SessionUse(
        session=row.session,
        session_date=date.fromisoformat(row.session_date),
        practical=renames.now(row.practical, row.entry, "practicals"),
        item=renames.now(row.item, row.entry, "items", "solutions"),
        unit=Kind(row.unit),
        planned=row.planned,
        used=row.used,
        lacked=row.lacked,
    )


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


def recorded_of(connection: Connection, lots: Iterable[str]) -> dict[str, list[Recorded]]:
    """Return all movements of each of some lots, by folded label, in the order of recording."""
    labels = [fold(lot) for lot in lots]
    found: dict[str, list[Recorded]] = {label: [] for label in labels}
    for first in range(0, len(labels), _AT_ONCE):
        some = tuple(labels[first : first + _AT_ONCE])
        for one in recorded(connection, Asked(lots=some)):
            found[one.movement.lot].append(one)
    return found


_AT_ONCE: Final = 500
"""Lots asked for in one go; SQLite takes 999 parameters at least."""


def _history() -> Select[Any]:
    return with_entries_and_undoing(MOVEMENTS, MOVEMENTS.c.movement)


def _conditions(rows: Select[Any], asked: Asked) -> Select[Any]:
    entries = ENTRIES.c
    equal = (
        (MOVEMENTS.c.entry, asked.entry),
        (entries.session, asked.session),
    )
    for cell, wanted in equal:
        if wanted is not None:
            rows = rows.where(cell == wanted)
    if asked.by is not None:
        rows = rows.where(or_(entries.by == asked.by, entries.database_user == asked.by))
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
            item=row.item,
            note=row.note,
            paid=row.paid,
            supplier=row.supplier,
            delivery_note=row.delivery_note,
        ),
        session=row.of_session,
        undone_by=row.undone_by,
        **told_of(row),
    )


def emptied_on(connection: Connection) -> dict[str, date]:
    """Return the day of the last movement of each lot that holds nothing, by folded label."""
    last = MOVEMENTS.c.movement == BALANCES.c.last_movement
    rows = select(BALANCES.c.lot, ENTRIES.c.on_day).select_from(
        BALANCES.join(MOVEMENTS, last).join(ENTRIES, ENTRIES.c.entry == MOVEMENTS.c.entry)
    )
    found = connection.execute(rows.where(BALANCES.c.billionths == 0))
    return {row.lot: date.fromisoformat(row.on_day) for row in found}


_USED_OR_CAME: Final = (
    What.OPENING_AMOUNT, What.RECEIVED, What.MADE, What.USED, What.RETURNED,
)  # fmt: skip


def last_used_or_came(connection: Connection) -> dict[str, date]:
    """Return the day on which each lot was last used, or else came, by folded label.

    What was undone does not count, nor does what leaves it as it is, as a count does.
    """
    undone = select(MOVEMENTS.c.reverses).where(MOVEMENTS.c.reverses.is_not(None))
    rows = (
        select(MOVEMENTS.c.lot, func.max(ENTRIES.c.on_day).label("on_day"))
        .select_from(MOVEMENTS.join(ENTRIES, ENTRIES.c.entry == MOVEMENTS.c.entry))
        .where(MOVEMENTS.c.what.in_([str(what) for what in _USED_OR_CAME]))
        .where(MOVEMENTS.c.movement.not_in(undone))
        .group_by(MOVEMENTS.c.lot)
    )
    return {row.lot: date.fromisoformat(row.on_day) for row in connection.execute(rows)}


def people_and_sessions(connection: Connection) -> tuple[set[str], set[str]]:
    """Return who has recorded anything, and the sessions that anything was recorded for.

    People by the names that they gave, and by those that a server knew them as.
    """
    named = select(ENTRIES.c.by).union(select(ENTRIES.c.database_user))
    people = connection.execute(named).scalars()
    sessions = connection.execute(select(ENTRIES.c.session).distinct()).scalars()
    return set(filter(None, people)), {session for session in sessions if session is not None}


def last_movement(connection: Connection) -> int:
    """Return the number of the last movement; 0 where there is none."""
    return next_number(connection, MOVEMENTS.c.movement) - 1


def first_day(connection: Connection) -> date | None:
    """Return the day of the first entry, with which the store began; None where there is none."""
    entries = ENTRIES.c
    first = select(entries.on_day).order_by(entries.entry).limit(1)
    day = connection.execute(first).scalar()
    return None if day is None else date.fromisoformat(day)


def moved_after(connection: Connection, movement: int) -> frozenset[str]:
    """Return the folded labels of lots whose amount changed after a movement."""
    moves = MOVEMENTS.c
    rows = select(moves.lot).distinct()
    rows = rows.where(moves.movement > movement, moves.billionths != 0)
    return frozenset(lot for (lot,) in connection.execute(rows))
