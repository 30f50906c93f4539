"""Files in the making, named after who makes them, so that a dead process's can be cleared."""

import os
import platform
import re
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path
from typing import Final

BESIDE: Final = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file, by the end of its name."""

_NAME: Final = re.compile(
    r"\.?prepstore-(?P<machine>\w+)-(?P<process>\d+)-(?P<began>\d+)-\w+(\.part(-\w+)?)?"
)
_A_DAY_IN_SECONDS: Final = 86_400

_numbers = count(1)


@contextmanager
def part_beside(path: Path) -> Iterator[Path]:
    """Give a name under which a file can be made beside its place; what is left there is removed.

    Parts that dead processes left in that folder are removed as well.
    """
    clear_parts(path.parent)
    part = path.with_name(f".{_maker()}-{next(_numbers)}.part")
    try:
        yield part
    finally:
        for end in ("", *BESIDE):
            with suppress(OSError):
                part.with_name(part.name + end).unlink()


@contextmanager
def private_folder() -> Iterator[Path]:
    """Make a folder for temporary files and remove it at the end.

    Those that this user's dead processes left are removed as well.
    """
    clear_parts(Path(tempfile.gettempdir()))
    with tempfile.TemporaryDirectory(prefix=f"{_maker()}-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def _maker() -> str:
    process = os.getpid()
    _, began = _state_and_beginning(process) or ("", "0")
    return f"prepstore-{_machine()}-{process}-{began}"


def _machine() -> str:
    """Return this machine's name, with the number of the space that its process numbers are in."""
    name = re.sub(r"\W", "_", platform.node(), flags=re.ASCII)[:40] or "unnamed"
    try:
        # Two containers may have one machine's name, and the same process numbers.
        space = Path("/proc/self/ns/pid").readlink().name
    except OSError:
        return name
    return f"{name}_{''.join(filter(str.isdigit, space))}"


def _state_and_beginning(process: int) -> tuple[str, str] | None:
    """Return the state of a process and when it began, in ticks; None where that is not told.

    Source:
        The manual page proc_pid_stat(5): field 3 is the state, field 22 when it began.
    """
    try:
        told = Path(f"/proc/{process}/stat").read_text(encoding="utf-8", errors="replace")
    except OSError:
        return None
    # The name stands in brackets, and may have spaces and brackets of its own.
    fields = told.rpartition(")")[2].split()
    return fields[0], fields[19]


def clear_parts(folder: Path) -> None:
    """Remove what dead processes left of their work in a folder."""
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            found = _NAME.fullmatch(entry.name)
            if found is not None:
                with suppress(OSError):
                    _clear_one(entry, found)


def _clear_one(entry: "os.DirEntry[str]", found: re.Match[str]) -> None:
    there = entry.stat(follow_symlinks=False)
    is_here = sys.platform != "win32" and found["machine"] == _machine()
    if is_here and _lives(int(found["process"]), found["began"]):
        return
    # Of another machine one cannot know.
    if not is_here and time.time() - there.st_mtime < _A_DAY_IN_SECONDS:
        return
    if not entry.is_dir(follow_symlinks=False):
        Path(entry).unlink()
    elif sys.platform == "win32" or there.st_uid == os.geteuid():
        # Where everybody keeps temporary files, only one's own.
        shutil.rmtree(entry, ignore_errors=True)


def _lives(process: int, began: str) -> bool:
    """Return whether the process that began then still works; never called on Windows."""
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        pass  # it is somebody else's
    found = _state_and_beginning(process)
    # A number is given again, and a dead process keeps it until its parent has taken notice.
    return found is None or (found[0] not in "ZX" and found[1] == began)
