"""What is wrong with the references and the parts of a store on a server."""

from typing import Final

from sqlalchemy import Connection

from prepstore.ledger.server.connections import SCHEMA, Ledger
from prepstore.ledger.server.line import Line
from prepstore.ledger.server.roles import strange_rights
from prepstore.ledger.server.steps import parts_of

KEPT_IN: Final = "database"
GO_BACK: Final = "Go back to a backup that the server's own tools made, or ask who looks after it."


def _driver_of(connection: Connection) -> Ledger:
    found = connection.connection.dbapi_connection
    assert isinstance(found, Line)
    return found.ledger


def damage_of(connection: Connection) -> list[str]:  # noqa: ARG001 - as `Checks`
    """Return nothing: pages are the server's own affair, and its tools check them."""
    return []


_REFERENCES: Final = f"""
SELECT c.conrelid::regclass::text, a.attname, c.confrelid::regclass::text, b.attname
FROM pg_constraint c
    JOIN pg_attribute a ON a.attrelid = c.conrelid AND a.attnum = c.conkey[1]
    JOIN pg_attribute b ON b.attrelid = c.confrelid AND b.attnum = c.confkey[1]
WHERE c.contype = 'f' AND c.connamespace = '{SCHEMA}'::regnamespace
ORDER BY 1, 2
"""


def broken_references(connection: Connection) -> list[tuple[str, str]]:
    """Return table and table for each row that refers to one that is not there."""
    ledger = _driver_of(connection)
    found = []
    for table, column, parent, of_parent in ledger.execute(_REFERENCES).fetchall():
        broken = (
            f'SELECT 1 FROM {table} AS one WHERE one."{column}" IS NOT NULL AND NOT EXISTS '
            f'(SELECT FROM {parent} AS other WHERE other."{of_parent}" = one."{column}")'
        )
        rows = ledger.execute(broken).fetchall()
        found += [(str(table), str(parent))] * len(rows)
    return found


def strange_parts(connection: Connection) -> list[str]:
    """Return columns, rules, indexes and triggers that are not as made, or are missing.

    And rights to write that somebody has to whom they were given by hand.
    """
    ledger = _driver_of(connection)
    wanted: dict[str, str] = dict(ledger.execute("SELECT part, definition FROM made_as").fetchall())
    found = parts_of(ledger)
    others = [part for part in wanted.keys() | found.keys() if wanted.get(part) != found.get(part)]
    return sorted([*others, *strange_rights(ledger)])
