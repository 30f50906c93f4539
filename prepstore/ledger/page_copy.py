"""Copies of an open store, page by page, by SQLite's own online backup."""

import sqlite3
from contextlib import closing
from itertools import chain, count
from pathlib import Path

from prepstore.ledger.connections import connected
from prepstore.parts import part_beside
from prepstore.whole_file import put_new


def copy_pages(ledger: sqlite3.Connection, part: Path) -> None:
    """Copy a store, as it is at one moment, to a new file, synced.

    Raises:
        sqlite3.DatabaseError: It cannot be read, or the copy cannot be written.
    """
    with closing(connected(part, may_make=True)) as copy:
        copy.execute("PRAGMA synchronous = FULL")
        ledger.backup(copy)
        # One file that can be carried off; a log beside it would be left behind.
        copy.execute("PRAGMA journal_mode = DELETE")


def keep_aside(ledger: sqlite3.Connection, path: Path, why: str) -> Path:
    """Copy an open store to a file beside it that is whole or not there; return that file.

    Args:
        ledger: The store.
        path: Where it is.
        why: What the name of the copy ends with; a number follows where that is taken.
    """
    with part_beside(path) as part:
        copy_pages(ledger, part)
        return name_aside(part, path, why)


def name_aside(part: Path, path: Path, why: str) -> Path:
    """Give a finished copy the first name beside a store that is free; return it."""
    for end in chain([""], (f"-{number}" for number in count(2))):
        aside = path.with_name(f"{path.name}.{why}{end}")
        try:
            put_new(part, aside)
        except FileExistsError:
            continue
        return aside
    raise AssertionError  # there are numbers enough
