"""SQLite's own connections to a file: as it comes, or with everybody else kept out."""

import os
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import quote

from prepstore.ledger.waiting import AT_A_TIME_SECONDS, Patience


def connected(path: Path, *, may_make: bool = False) -> sqlite3.Connection:
    """Connect to a file; transactions are begun and ended by word alone.

    Args:
        path: The file.
        may_make: Whether it is made where it is not there.

    Raises:
        sqlite3.OperationalError: It is not there, or cannot be opened.
    """
    # Not as_uri, in which a share's machine stands where SQLite takes none.
    place = quote(os.fsencode(path.absolute().as_posix()), safe="/:")
    uri = f"file:///{place.removeprefix('/')}?mode={'rwc' if may_make else 'rw'}"
    return sqlite3.connect(uri, uri=True, isolation_level=None, timeout=AT_A_TIME_SECONDS)


@contextmanager
def alone(path: Path) -> Iterator[sqlite3.Connection]:
    """Keep everybody else out of a store for as long as one works with it.

    Raises:
        sqlite3.OperationalError: Others have it open, and do not close it while one waits.
    """
    with closing(connected(path)) as ledger:
        ledger.execute("PRAGMA locking_mode = EXCLUSIVE")
        Patience(path).until_done(lambda: ledger.execute("BEGIN EXCLUSIVE"))
        ledger.execute("COMMIT")
        yield ledger
