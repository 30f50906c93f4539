"""What happens to sessions of the timetable: changes only ever added, and the rows follow."""

from collections.abc import Iterable
from typing import Any, Final

from sqlalchemy import Connection, delete, insert, select, update

from prepstore.cell_types import fold
from prepstore.columns import TABLES
from prepstore.ledger.entries import told_of, with_entries
from prepstore.ledger.light import light_table, next_number, table_of_a_set
from prepstore.ledger.load import stored_key
from prepstore.movements import RecordedTimetable, TimetableChange

TIMETABLE_CHANGES: Final = light_table(
    "timetable_changes", "timetable_change entry session changed was now"
)
_TIMETABLE: Final = table_of_a_set("timetable")
_FIRST_ROW: Final = 2
"""Rows are numbered as a spreadsheet numbers them, below the heading."""


def record_timetable(
    connection: Connection, changes: Iterable[TimetableChange], entry: int
) -> None:
    """Record changes of sessions with an entry of the running transaction, and let rows follow.

    A session that has no row gets one; one of which no cell is left has none any more. What a cell
    was is recorded letter for letter, so that an undo writes it back so.
    """
    for change in changes:
        this = _TIMETABLE.c.key == stored_key((fold(change.session),))
        cells = connection.execute(select(_TIMETABLE).where(this)).mappings().one_or_none()
        was = (cells[change.column] if cells else None) or ""
        connection.execute(
            insert(TIMETABLE_CHANGES).values(
                entry=entry,
                session=change.session,
                changed=change.column,
                was=was,
                now=change.now,
            )
        )
        _let_row_follow(connection, change, cells)


def _let_row_follow(connection: Connection, change: TimetableChange, cells: Any) -> None:  # noqa: ANN401 - a row or None
    key = stored_key((fold(change.session),))
    values = {change.column: change.now or None}
    if cells is None:
        position = max(next_number(connection, _TIMETABLE.c.position), _FIRST_ROW)
        connection.execute(insert(_TIMETABLE).values(position=position, key=key, **values))
        return
    this = _TIMETABLE.c.key == key
    left = {**{name: cells[name] for name in TABLES["timetable"].columns}, **values}
    if any(left.values()):
        connection.execute(update(_TIMETABLE).where(this).values(values))
    else:
        connection.execute(delete(_TIMETABLE).where(this))


def recorded_timetable(
    connection: Connection, *, entry: int | None = None
) -> list[RecordedTimetable]:
    """Return the changes of sessions, all or with one entry, in the order they were recorded."""
    rows = with_entries(TIMETABLE_CHANGES).order_by(TIMETABLE_CHANGES.c.timetable_change)
    if entry is not None:
        rows = rows.where(TIMETABLE_CHANGES.c.entry == entry)
    return [
        RecordedTimetable(
            change=TimetableChange(
                session=row.session, column=row.changed, was=row.was, now=row.now
            ),
            **told_of(row),
        )
        for row in connection.execute(rows).all()
    ]


def session_cells(connection: Connection, sessions: Iterable[str]) -> dict[str, dict[str, str]]:
    """Return the cells of some sessions as they stand, by folded name, blank ones left out."""
    found = {}
    for session in sessions:
        this = _TIMETABLE.c.key == stored_key((fold(session),))
        row = connection.execute(select(_TIMETABLE).where(this)).mappings().one_or_none()
        columns = TABLES["timetable"].columns
        found[fold(session)] = (
            {name: row[name] for name in columns if row[name]} if row is not None else {}
        )
    return found
