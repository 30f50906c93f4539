"""What the store holds, as rows in the order they were first loaded."""

from functools import cache
from typing import Any

# Without the row classes, which take longer to import than a week takes to plan.
from sqlalchemy import Connection, Select, select

from prepstore.columns import TABLES
from prepstore.ledger.ahead import ask_ahead
from prepstore.ledger.light import table_of_a_set
from prepstore.written import STORE, WrittenRow


def written_rows(connection: Connection, *tables: str) -> dict[str, list[WrittenRow]]:
    """Return the rows of the named tables (all if none is named), blank cells left out.

    Lots that are gone are not among them.
    """
    ask_ahead(connection, rows_of(*tables))
    return {name: _rows(connection, name) for name in tables or TABLES}


def rows_of(*tables: str) -> list[Select[Any]]:
    """Return what `written_rows` asks."""
    return [_all_rows(name) for name in tables or TABLES]


def stored_key(key: tuple[str, ...]) -> str | None:
    """Return the folded cells that name a row as the column `key` of its table has them."""
    return "\x1f".join(key) or None


def _rows(connection: Connection, name: str) -> list[WrittenRow]:
    columns = tuple(TABLES[name].columns)
    return [
        WrittenRow(
            name,
            number,
            STORE,
            {cell: text for cell, text in zip(columns, row, strict=True) if text is not None},
        )
        for number, row in enumerate(connection.execute(_all_rows(name)), start=2)
    ]


@cache
def _all_rows(name: str) -> Select[Any]:
    """Return the query for the rows of a table; to build it takes longer than to run it."""
    of_table = table_of_a_set(name)
    rows = select(*(of_table.c[cell] for cell in TABLES[name].columns)).order_by(
        of_table.c.position
    )
    return rows.where(of_table.c.gone.is_(None)) if name == "stock" else rows
