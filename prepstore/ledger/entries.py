"""Entries, with which all is recorded, and what each of them says of what belongs to it."""

from datetime import date
from typing import Any, Final

from sqlalchemy import ColumnElement, Row, Select, TableClause, select

from prepstore.ledger.light import light_table

ENTRIES: Final = light_table(
    "entries", "entry on_day at_utc by session reason database_user taken_in taken_from"
)
"""`database_user` is given by a server itself, so that no client says it; a file has none."""


def with_entries(table: TableClause) -> Select[Any]:
    """Return the rows of a table (its column `entry` says of which entry) with what that says."""
    return select(*table.c, *_told()).select_from(table.join(ENTRIES, _is_of(table)))


def with_entries_and_undoing(table: TableClause, number: ColumnElement[Any]) -> Select[Any]:
    """Return the same rows with the entry, `undone_by`, of what undid each.

    Args:
        table: Its column `reverses` has the number of what a row undoes.
        number: Its column of numbers.
    """
    reversal = table.alias("reversal")
    return select(*table.c, *_told(), reversal.c.entry.label("undone_by")).select_from(
        table.join(ENTRIES, _is_of(table)).outerjoin(reversal, reversal.c.reverses == number)
    )


def _told() -> tuple[ColumnElement[Any], ...]:
    told = ENTRIES.c
    # A table may have a column `session` of its own.
    return (
        told.on_day,
        told.at_utc,
        told.by,
        told.session.label("of_session"),
        told.reason,
        told.database_user,
        told.taken_in,
        told.taken_from,
    )


def _is_of(table: TableClause) -> ColumnElement[bool]:
    return table.c.entry == ENTRIES.c.entry


def told_of(row: Row[Any]) -> dict[str, Any]:
    """Return what an entry says of a row, as the fields of `OfEntry`."""
    return {
        "entry": row.entry,
        "on_day": date.fromisoformat(row.on_day),
        "at_utc": row.at_utc,
        "by": row.by,
        "reason": row.reason,
        "database_user": row.database_user,
        "taken_in": row.taken_in,
        "taken_from": row.taken_from,
    }
