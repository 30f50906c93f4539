"""What a store holds, asked past all of our own code, whichever database keeps it."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from prepstore.ledger.place import Place


def answered(place: Place, question: str) -> list[tuple[Any, ...]]:
    """Return the rows that a question in words of both databases is answered with."""
    if isinstance(place, Path):
        with closing(sqlite3.connect(place)) as opened:
            return opened.execute(question).fetchall()
    from tests.servers import asked  # noqa: PLC0415 - needs an extra that files do not

    return asked(place, question)


def whole_content(place: Place) -> str:
    """Return all that a store holds, as text: the statements that make a file, or every row."""
    if isinstance(place, Path):
        with closing(sqlite3.connect(place)) as opened:
            return "\n".join(opened.iterdump())
    tables = answered(place, "SELECT tablename FROM pg_tables WHERE schemaname = 'prepstore'")
    return "\n".join(
        f"{table}: {sorted(map(repr, answered(place, f'SELECT * FROM {table}')))}"
        for (table,) in sorted(tables)
    )
