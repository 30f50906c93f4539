"""Files that are whole or not there."""

import errno
import os
import stat
import sys
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO, Final

from prepstore.parts import part_beside

_DATABASE: Final = b"SQLite format 3\0"
"""What a database begins with (sqlite.org/fileformat.html)."""


def write_whole(path: Path, content: bytes | Iterable[bytes]) -> None:
    """Write a file beside its place and rename it; what is no plain file is written to as it is.

    So a link stays a link, and a device a device.

    Args:
        path: Where the file is to be; its folder must be there.
        content: All of it, at once or in parts.

    Raises:
        OSError: The folder cannot be written, the file is held open, or it is a folder; it names
            `path`. Or a store is there.
    """
    parts = [content] if isinstance(content, bytes) else content
    with _naming(path):
        if _is_replaced(path):
            _replace(Path(os.path.realpath(path)), parts)
        else:
            with _opened(path) as file:
                file.writelines(parts)


def make_folder(path: Path) -> None:
    """Make a folder, and those that it is in, where it is not there.

    Raises:
        OSError: Something else is there, or it cannot be made; it names `path`.
    """
    there = found_at(path)
    if there is not None and not stat.S_ISDIR(there.st_mode):
        raise NotADirectoryError(errno.ENOTDIR, "it is a file, not a folder", str(path))
    path.mkdir(parents=True, exist_ok=True)


def put_new(part: Path, path: Path) -> None:
    """Give a finished file its name, where nothing has that name.

    Raises:
        FileExistsError: Something has; the file stays where it is.
        OSError: The folder cannot be written; it names `path`.
    """
    with _naming(path):
        try:
            os.link(part, path)
        except FileExistsError:
            raise
        except OSError:
            # A file system without hard links; Windows refuses by itself to rename onto something.
            if os.path.lexists(path):
                raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
            part.rename(path)
    # Its other name; whoever made it removes that in any case.
    part.unlink(missing_ok=True)
    sync_folder(path.parent)


@contextmanager
def _naming(path: Path) -> Iterator[None]:
    """Let a mistake name the file that was asked for, and not the one in the making."""
    try:
        yield
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from error


def sync_folder(folder: Path) -> None:
    """Let a new name in a folder outlast a power cut; Windows has no such call."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def found_at(path: Path) -> os.stat_result | None:
    """Return what there is at a path, links followed; None where there is nothing.

    Raises:
        OSError: It is a link that leads back to itself, or one may not look; it names `path`.
    """
    try:
        return path.stat()
    except FileNotFoundError:
        return None
    except OSError as error:
        if error.errno == errno.ELOOP:
            what = "it is a link that leads back to itself"
            raise OSError(errno.ELOOP, what, str(path)) from None
        raise


def _is_replaced(path: Path) -> bool:
    """Return whether a file is a plain one or not there, and not where our own output goes."""
    there = found_at(path)
    if there is None:
        return True
    if stat.S_ISDIR(there.st_mode):
        raise IsADirectoryError(errno.EISDIR, "it is a folder, not a file", str(path))
    return stat.S_ISREG(there.st_mode) and _own_output(there) is None


def _refuse_a_database(path: Path) -> None:
    """Refuse to write a table or a plan over a store, whose name was given by mistake."""
    with suppress(FileNotFoundError), path.open("rb") as there:
        if there.read(len(_DATABASE)) == _DATABASE:
            raise OSError(errno.EEXIST, "it is a store, which is not written over", str(path))


def _own_output(there: os.stat_result) -> int | None:
    """Return which of our own outputs a file is, by number; None for any other file."""
    for number in (1, 2):
        with suppress(OSError):  # it is closed
            if os.path.samestat(there, os.fstat(number)):
                return number
    return None


def _opened(path: Path) -> BinaryIO:
    number = _own_output(path.stat())
    if number is None:
        return path.open("wb")
    # Opened a second time, it would be written over by what is printed later.
    sys.stdout.flush()
    return os.fdopen(os.dup(number), "wb")


def _replace(path: Path, parts: Iterable[bytes]) -> None:
    _refuse_a_database(path)
    with part_beside(path) as part:
        with part.open("wb") as file:
            file.writelines(parts)
        part.replace(path)
