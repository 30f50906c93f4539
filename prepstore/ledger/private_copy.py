"""A copy of a store's files to read where the store itself may not be written beside."""

import os
import stat
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import zip_longest
from pathlib import Path
from typing import Final

from prepstore.ledger.errors import StoreError
from prepstore.parts import BESIDE, private_folder

_TRIES: Final = 50
_PAUSE_SECONDS: Final = 0.02
_AT_ONCE_BYTES: Final = 1 << 20


def may_write(path: Path) -> bool:
    """Return whether this user may write a store, its folder and what lies beside it.

    SQLite writes there even to read, and what a stranger makes there locks the owner out.
    """
    return os.access(path.parent, os.W_OK) and barred(path) is None


def barred(path: Path) -> Path | None:
    """Return which of a store's files is there and is not this user's to write; None if none is."""
    files = (path.with_name(path.name + end) for end in ("", *BESIDE))
    # lexists, since a link that leads nowhere bars the way as well.
    found = (file for file in files if os.path.lexists(file))
    return next((file for file in found if not os.access(file, os.R_OK | os.W_OK)), None)


@contextmanager
def private_copy(path: Path) -> Iterator[Path]:
    """Copy a store and what lies beside it into a folder of one's own, as they are at one moment.

    Raises:
        StoreError: It may not be read, there is no room, or somebody writes all the time.
    """
    with private_folder() as folder:
        copy = folder / path.name
        try:
            _copy(path, copy)
        except OSError as error:
            raise StoreError(
                f"You can read the store {path} here only through a copy in {folder.parent}, and "
                f"that copy cannot be made: {error.strerror or error}."
            ) from error
        yield copy


def _copy(path: Path, copy: Path) -> None:
    # The index of the log (-shm) is made anew from the log.
    pairs = [
        (path.with_name(path.name + end), copy.with_name(copy.name + end))
        for end in ("", "-wal", "-journal")
    ]
    for _ in range(_TRIES):
        for source, target in pairs:
            _copy_one(source, target)
        # Read twice: times of change are too coarse to tell that nobody wrote in between.
        if all(_is_same(source, target) for source, target in pairs):
            return
        time.sleep(_PAUSE_SECONDS)
    raise StoreError(
        f"You can only read the store {path} here, and somebody writes to it all the time. "
        "Try again in a moment."
    )


def _copy_one(source: Path, target: Path) -> None:
    target.unlink(missing_ok=True)
    with suppress(FileNotFoundError):  # it has gone meanwhile
        size = _size(source)
        if size is not None:
            with target.open("wb") as copy:
                copy.writelines(_read(source) if size else ())


def _size(source: Path) -> int | None:
    """Return how many bytes a file has; None where it is not there."""
    try:
        found = source.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(found.st_mode):
        raise OSError(0, f"{source.name} is not a plain file")
    return found.st_size


def _is_same(source: Path, target: Path) -> bool:
    # An empty file is not opened, since a stranger may have made it for himself.
    if not _size(source):
        return not _size(target)
    try:
        return all(one == other for one, other in zip_longest(_read(source), _read(target)))
    except FileNotFoundError:
        return False


def _read(file: Path) -> Iterator[bytes]:
    with file.open("rb") as opened:
        while part := opened.read(_AT_ONCE_BYTES):
            yield part
