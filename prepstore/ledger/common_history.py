"""How far the histories of two stores are the same, and what one recorded after that."""

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any, Final

from sqlalchemy import Connection, TableClause, func, select

from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.kept_rows import HISTORY_TABLES

_Cells = tuple[Any, ...]

_AT_ONCE: Final = 5000
"""Rows of each store that are held in memory."""

_ANOTHER_FOR_EACH: Final = "database_user"
"""What a server itself adds to an entry, so that it may differ where the entry is the same."""


def last_in_common(one: Connection, other: Connection) -> int:
    """Return the last entry up to which two stores have the same history, 0 where there is none.

    Compared is all that was recorded with each entry, and not its number alone.
    """
    apart = [_first_apart(one, other, table) for table in HISTORY_TABLES.values()]
    ends = [_last(one), _last(other), *(entry - 1 for entry in apart if entry is not None)]
    return min(ends)


def _last(connection: Connection) -> int:
    return int(connection.execute(select(func.coalesce(func.max(ENTRIES.c.entry), 0))).scalar_one())


def _first_apart(one: Connection, other: Connection, table: TableClause) -> int | None:
    """Return the first entry of which the rows of a table differ; None where none does."""
    none: list[_Cells] = []
    for mine, yours in zip_longest(_rows(one, table), _rows(other, table), fillvalue=none):
        if mine != yours:
            pairs = zip_longest(mine, yours)
            first = next(pair for pair in pairs if pair[0] != pair[1])
            return min(int(row[0]) for row in first if row is not None)
    return None


def _rows(connection: Connection, table: TableClause) -> Iterator[list[_Cells]]:
    """Yield the rows of a table in the order of recording, some at a time, the entry in front."""
    number, *others = table.c
    cells = [table.c.entry, number, *(one for one in others if one.name != _ANOTHER_FOR_EACH)]
    above = -1
    while True:
        some = select(*cells).where(number > above).order_by(number).limit(_AT_ONCE)
        rows = [tuple(row) for row in connection.execute(some)]
        if not rows:
            return
        yield rows
        above = rows[-1][1]
