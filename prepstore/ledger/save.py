"""Rows of a set of tables into the store: only what differs is written."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table, bindparam, delete, func, insert, select, update
from sqlmodel import SQLModel

from prepstore.columns import TABLES
from prepstore.ledger.load import stored_key
from prepstore.ledger.lots import forget_gone
from prepstore.ledger.rows import ROW_CLASSES
from prepstore.written import WrittenRow, WrittenSet

_FIRST_ROW = 2
"""Rows are numbered as a spreadsheet numbers them, below the heading."""


def save_rows(connection: Connection, before: WrittenSet, after: WrittenSet) -> None:
    """Bring the tables named in `after` from what they hold to what they are to hold.

    Args:
        connection: Of `writing`.
        before: What the store holds now.
        after: Rows by table; those of a table with a key keep their place in the order.

    Raises:
        sqlalchemy.exc.IntegrityError: Two rows of a table have one key.
    """
    for name, rows in after.items():
        table = SQLModel.metadata.tables[ROW_CLASSES[name].__name__]
        held = before.get(name, [])
        if name == "stock":
            forget_gone(connection, [stored_key(row.key) or "" for row in rows])
        if TABLES[name].key:
            _save_named(connection, table, held, rows)
        else:
            _save_in_order(connection, table, held, rows)


def _save_named(
    connection: Connection, table: Table, before: Sequence[WrittenRow], after: Sequence[WrittenRow]
) -> None:
    held = {row.key: row.text for row in before}
    wanted = {row.key for row in after}
    _remove(connection, table, [stored_key(key) for key in held if key not in wanted])
    changed = [row for row in after if row.key in held and row.text != held[row.key]]
    if changed:
        to_change = update(table).where(table.c.key == bindparam("of_key"))
        columns = TABLES[table.name].columns
        connection.execute(
            to_change.values({column: bindparam(f"to_{column}") for column in columns}),
            [
                {
                    "of_key": stored_key(row.key),
                    **{f"to_{one}": row.text.get(one) for one in columns},
                }
                for row in changed
            ],
        )
    _add(connection, table, [row for row in after if row.key not in held])


def _save_in_order(
    connection: Connection, table: Table, before: Sequence[WrittenRow], after: Sequence[WrittenRow]
) -> None:
    """Keep the rows that stand first in both, and write those behind them anew."""
    same = 0
    for old, new in zip(before, after, strict=False):
        if old.text != new.text:
            break
        same += 1
    kept = select(table.c.position).order_by(table.c.position).limit(same).subquery()
    if len(before) > same:
        last = select(func.coalesce(func.max(kept.c.position), 0)).scalar_subquery()
        connection.execute(delete(table).where(table.c.position > last))
    _add(connection, table, after[same:])


def _remove(connection: Connection, table: Table, keys: Sequence[str | None]) -> None:
    if keys:
        gone = delete(table).where(table.c.key == bindparam("of_key"))
        connection.execute(gone, [{"of_key": key} for key in keys])


def _add(connection: Connection, table: Table, rows: Sequence[WrittenRow]) -> None:
    if not rows:
        return
    last = connection.execute(select(func.max(table.c.position))).scalar_one()
    first = _FIRST_ROW if last is None else last + 1
    # Rows as they are, without SQLAlchemy's work on each: twice as fast.
    connection.exec_driver_sql(
        str(insert(table).compile(connection)), list(_cells(table.name, rows, first))
    )


def _cells(table: str, rows: Sequence[WrittenRow], first: int) -> Iterator[tuple[Any, ...]]:
    """Yield each row's position, key and cells, in the order of its row class."""
    columns = tuple(TABLES[table].columns)
    for position, row in enumerate(rows, start=first):
        cells: Mapping[str, str] = row.text
        yield (position, stored_key(row.key), *map(cells.get, columns))
