"""What is wrong with the pages, the references and the tables of a store's file."""

import sqlite3
from contextlib import closing
from typing import Final

from sqlalchemy import Connection

from prepstore.ledger.schema import STEPS
from prepstore.ledger.sentences import code_of

KEPT_IN: Final = "file"
"""What a sentence calls that which keeps the store."""

GO_BACK: Final = "Go back to a backup (prepstore restore FILE)."
"""What a sentence advises where something in it is wrong."""


def driver_of(connection: Connection) -> sqlite3.Connection:
    """Return SQLite's own connection behind an open store's."""
    found = connection.connection.dbapi_connection
    assert isinstance(found, sqlite3.Connection)
    return found


def damage(ledger: sqlite3.Connection) -> list[str]:
    """Return what SQLite's own check finds wrong with a file's pages; empty if nothing."""
    try:
        found = [str(row[0]) for row in ledger.execute("PRAGMA integrity_check(10)")]
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
        return [str(error)]
    found = [" ".join(line.replace("*** in database main ***", "").split()) for line in found]
    return [line for line in found if line != "ok"]


def damage_of(connection: Connection) -> list[str]:
    """Return what SQLite's own check finds wrong with an open store; empty if nothing."""
    return damage(driver_of(connection))


def is_damage(error: sqlite3.Error) -> bool:
    """Return whether an error says that a file is damaged, or no database at all."""
    return code_of(error) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def broken_references(connection: Connection) -> list[tuple[str, str]]:
    """Return table and table for each row that refers to one that is not there."""
    found = driver_of(connection).execute("PRAGMA foreign_key_check").fetchall()
    return [(str(table), str(parent)) for table, _, parent, _ in found]


def strange_parts(connection: Connection) -> list[str]:
    """Return tables, indexes and triggers that are not as the steps make them, or are missing."""
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as fresh:
        for step in STEPS:
            step(fresh)
        wanted = _parts(fresh)
    found = _parts(driver_of(connection))
    names = {name for name in wanted.keys() | found.keys() if wanted.get(name) != found.get(name)}
    return sorted(f"{kind} {name}" for kind, name in names)


def _parts(ledger: sqlite3.Connection) -> dict[tuple[str, str], str]:
    rows = ledger.execute("SELECT type, name, coalesce(sql, '') FROM sqlite_master")
    return {(kind, name): sql for kind, name, sql in rows if not name.startswith("sqlite_stat")}
