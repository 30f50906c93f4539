"""Rows into the store, and what a load does to lots as movements."""

from collections.abc import Iterable

from sqlalchemy import Connection, delete, insert
from sqlmodel import SQLModel

from prepstore.columns import TABLES
from prepstore.ledger.rows import ROW_CLASSES, Movement
from prepstore.written import WrittenRow, WrittenSet


def replace_rows(connection: Connection, rows: WrittenSet) -> None:
    """Put these rows in place of all rows of the tables named."""
    for name, of_table in rows.items():
        table = SQLModel.metadata.tables[name]
        columns = tuple(TABLES[name].columns)
        connection.execute(delete(table))
        if of_table:
            # Rows as they are, without SQLAlchemy's work on each: twice as fast.
            connection.exec_driver_sql(
                str(insert(table).compile(connection)),
                [_cells(columns, number, row) for number, row in enumerate(of_table, start=2)],
            )


def _cells(columns: tuple[str, ...], number: int, row: WrittenRow) -> tuple[object, ...]:
    """Return a row's position, key and cells, in the order of its row class."""
    key = "\x1f".join(row.key) or None
    return (number, key, *map(row.text.get, columns))


def add_movements(connection: Connection, movements: Iterable[Movement]) -> None:
    """Record what happened to lots."""
    rows = [movement.model_dump(exclude={"movement"}) for movement in movements]
    if rows:
        connection.execute(insert(SQLModel.metadata.tables["movements"]), rows)


__all__ = ["ROW_CLASSES", "add_movements", "replace_rows"]
