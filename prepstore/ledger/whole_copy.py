"""A whole store copied from one place to another, row for row, and compared before it is kept."""

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Connection, TableClause, insert, select

from prepstore.columns import TABLES
from prepstore.ledger.containers import CONTAINER_CHANGES, CONTAINERS, EMPTY_CONTAINERS
from prepstore.ledger.errors import StoreError
from prepstore.ledger.keeper import Keeper
from prepstore.ledger.kept_rows import is_blank
from prepstore.ledger.light import table_of_a_set
from prepstore.ledger.lots import BALANCES
from prepstore.ledger.movements import ENTRIES, MOVEMENTS, SESSION_USES
from prepstore.ledger.names import NAME_CHANGES
from prepstore.ledger.orders import ORDER_CHANGES
from prepstore.ledger.timetable import TIMETABLE_CHANGES

_COPIED: Final[tuple[TableClause, ...]] = (
    *map(table_of_a_set, TABLES),
    ENTRIES,
    MOVEMENTS,
    SESSION_USES,
    ORDER_CHANGES,
    NAME_CHANGES,
    TIMETABLE_CHANGES,
    CONTAINER_CHANGES,
)
_FOLLOW: Final = (BALANCES, CONTAINERS, EMPTY_CONTAINERS)
"""What triggers add up from the rows of other tables; compared, and not copied."""

_AT_ONCE: Final = 1000
"""Rows that are held in memory."""


@dataclass(frozen=True, slots=True)
class Sum:
    """What a table comes to: how many rows, and a digest of all that stands in them."""

    rows: int
    digest: str


def copy_whole(source: Keeper, target: Keeper) -> Mapping[str, Sum]:
    """Copy a store into a place without one, in one transaction.

    Every table is read back from its new place and compared before anything is kept.

    Returns:
        What each table comes to, by its name.

    Raises:
        StoreError: There is no store to copy, there is one in the new place, either cannot be
            used, or what was read back is not what was copied.
    """

    def act(connection: Connection) -> Mapping[str, Sum]:
        if not is_blank(connection):
            raise StoreError(
                "Somebody else recorded something in the new place in the meantime, so nothing "
                "was copied."
            )
        with source.reading() as kept:
            for table in _COPIED:
                _copy(kept, connection, table)
            wanted = sums_of(kept)
        found = sums_of(connection)
        wrong = [table for table in wanted if wanted[table] != found[table]]
        if wrong:
            raise StoreError(
                f"What was copied is not what was there ({', '.join(wrong)}), so nothing was "
                "kept. See what is wrong with the store: prepstore check"
            )
        return wanted

    return target.all_or_nothing(act)


def sums_of(connection: Connection) -> dict[str, Sum]:
    """Return what each table of a store comes to, by its name."""
    return {table.name: _sum(connection, table) for table in (*_COPIED, *_FOLLOW)}


def _copy(source: Connection, target: Connection, table: TableClause) -> None:
    words = str(insert(table).compile(target))
    for rows in _rows(source, table):
        # Rows as they are, without SQLAlchemy's work on each.
        target.exec_driver_sql(words, rows)


def _sum(connection: Connection, table: TableClause) -> Sum:
    digest = hashlib.sha256()
    number = 0
    for rows in _rows(connection, table):
        number += len(rows)
        for row in rows:
            digest.update(f"{row!r}\n".encode())
    return Sum(number, digest.hexdigest())


def _rows(connection: Connection, table: TableClause) -> Iterator[list[tuple[Any, ...]]]:
    """Yield the rows of a table in the order of what names them, some at a time."""
    first, *_ = table.c
    above: Any = None
    while True:
        some = select(table).order_by(first).limit(_AT_ONCE)
        if above is not None:
            some = some.where(first > above)
        rows = [tuple(row) for row in connection.execute(some)]
        if not rows:
            return
        yield rows
        above = rows[-1][0]
