"""What SQLite says of a store's file, in sentences for a technician."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from sqlalchemy.exc import DatabaseError

from prepstore.ledger.errors import NewerStoreError, NotAStoreError, StoreError
from prepstore.ledger.holders import holders


@contextmanager
def sentences(path: Path) -> Iterator[None]:
    """Say in a sentence what is wrong with a file while something is done with it.

    Raises:
        StoreError: In place of what SQLite and SQLAlchemy raise.
    """
    try:
        yield
    except NewerStoreError as error:
        raise StoreError(
            f"{path} was written by a newer prepstore than this one. Install the newer one."
        ) from error
    except NotAStoreError as error:
        raise StoreError(
            f"{path} is not a prepstore store. Name the right file with --db, or load tables into "
            "a new one."
        ) from error
    except (sqlite3.Error, DatabaseError) as error:
        raise StoreError(_sentence(path, error)) from error


_HELD = "is in use by {holders}. Close it, or wait until it is done, and try again"
MAY_ONLY_BE_READ: Final = (
    "can be read by you but not written. Ask for permission to write the file and its folder"
)
_SENTENCES: Final = {
    sqlite3.SQLITE_BUSY: _HELD,
    sqlite3.SQLITE_LOCKED: _HELD,
    sqlite3.SQLITE_FULL: "has no room left on its disk. Make room, and try again",
    sqlite3.SQLITE_IOERR: "cannot be read or written ({reason}): its disk is full, over its "
    "limit or broken. Make room or ask who looks after it, and try again",
    sqlite3.SQLITE_READONLY: MAY_ONLY_BE_READ,
    sqlite3.SQLITE_PERM: "cannot be opened by you. Ask for permission to write the file and its "
    "folder",
    sqlite3.SQLITE_NOTADB: "cannot be used: it is not a prepstore file. Name the right file with "
    "--db, or go back to a backup (prepstore restore FILE)",
    sqlite3.SQLITE_CORRUPT: "cannot be used: it is damaged. Go back to a backup (prepstore "
    "restore FILE)",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened. Check that it is a file, that its folder is there "
    "and that its folder can be written",
}
"""What each of SQLite's result codes (sqlite.org/rescode.html) means for a technician."""


def _sentence(path: Path, error: sqlite3.Error | DatabaseError) -> str:
    reason = error.orig if isinstance(error, DatabaseError) else error
    words = _SENTENCES.get(code_of(reason))
    if words is None:
        words = "cannot be used: {reason}. To see what is wrong: prepstore check"
    return f"The store {path} {words.format(reason=reason, holders=holders(path))}."


def code_of(reason: BaseException | None) -> int:
    """Return SQLite's primary result code of an error."""
    code: int = getattr(reason, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    return code & 0xFF
