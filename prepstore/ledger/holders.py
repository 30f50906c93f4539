"""Who holds a store: the processes that have it locked, in words."""

import os
import re
import sys
from contextlib import suppress
from pathlib import Path
from typing import Final

UNKNOWN: Final = "another program"

_LOCK = re.compile(
    r"^\d+: +POSIX +\S+ +(?P<kind>READ|WRITE) +(?P<process>[1-9]\d*) "
    r"+(?P<device>[0-9a-f]+:[0-9a-f]+):(?P<file>\d+) ",
    re.MULTILINE,
)
"""A line of Linux's list of locks.

One that waits for a lock has an arrow and is left out; so is a process out of sight, which is 0.
"""

File = tuple[int, int, int]
"""A file's device, in two numbers, and its number there."""


def holders(path: Path) -> str:
    """Return who holds a store, or that it is another program where the system does not tell.

    The file is not opened for it, since closing it would drop the locks of this process on it.
    """
    if sys.platform != "linux":
        return UNKNOWN
    files = set()
    place = Path(os.path.realpath(path))
    for file in (place, place.with_name(f"{place.name}-shm")):
        with suppress(OSError):
            there = file.stat()
            files.add((os.major(there.st_dev), os.minor(there.st_dev), there.st_ino))
    try:
        locks = Path("/proc/locks").read_text(encoding="ascii")
    except OSError:
        return UNKNOWN
    return " and ".join(map(_in_words, processes_among(locks, files, os.getpid()))) or UNKNOWN


def processes_among(locks: str, files: set[File], own: int) -> list[int]:
    r"""Return which other processes hold some files: those that write; if none, that read.

    Args:
        locks: As Linux prints them in `/proc/locks`.
        files: What they hold.
        own: The number of this process.

    Source:
        The manual page proc_locks(5).

    >>> processes_among("1: POSIX  ADVISORY  WRITE 31 08:01:7 120 120\n", {(8, 1, 7)}, own=5)
    [31]
    """
    found: dict[str, list[int]] = {"READ": [], "WRITE": []}
    for lock in _LOCK.finditer(locks):
        major, minor = (int(number, 16) for number in lock["device"].split(":"))
        process = int(lock["process"])
        if (major, minor, int(lock["file"])) in files and process != own:
            found[lock["kind"]].append(process)
    return sorted(set(found["WRITE"] or found["READ"]))


def _in_words(process: int) -> str:
    """Return a process by its program's name, its number and its user."""
    about = Path(f"/proc/{process}")
    try:
        called = (about / "comm").read_text(encoding="utf-8", errors="replace").strip()
        user = user_name(about.stat().st_uid)
    except OSError:
        return f"process {process}"
    # A program may give itself any name, and one that a terminal would obey.
    name = "".join(sign if sign.isprintable() else "?" for sign in called)
    return f"{name} (process {process} of {user})"


def owner_of(file: Path) -> str:
    """Return who a file belongs to, by login name or number."""
    if sys.platform == "win32":
        return "its owner"
    return user_name(file.lstat().st_uid)


def user_name(number: int) -> str:
    """Return the login name of a user, or the number where there is none."""
    import pwd  # noqa: PLC0415 - Windows has no such module

    try:
        return pwd.getpwuid(number).pw_name
    except KeyError:
        return f"user {number}"
