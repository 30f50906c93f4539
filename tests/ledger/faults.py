"""Child processes that work on a store, to be killed at any moment, or to be refused."""

import os
import signal
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

if sys.platform != "win32":
    import resource

from prepstore.ledger.copies import back_up, restore
from prepstore.ledger.errors import StoreError
from prepstore.movements import Signed, What
from tests.ledger.rows_of import book, movement

LOTS = {f"L{number}": "1000000" for number in range(50)}


def signed(by: str) -> Signed:
    """Return a signature of a day in February 2027."""
    return Signed(by=by, on_day=date(2027, 2, 1), at_utc="2027-02-01T09:00:00.000000+00:00")


def record_for_ever(path: Path, out: int, by: str) -> None:
    """Use 1 g of a lot and receive 1 g in another, over and over; tell each entry that is kept."""
    turn = 0
    while True:
        used = movement(f"L{turn % 50}", "-1", What.USED)
        came = movement(f"L{(turn * 7 + 3) % 50}", "1", What.RECEIVED)
        entry = book(path, used, came, signed=signed(by))
        os.write(out, f"{entry}\n".encode())
        turn += 1


def back_up_for_ever(path: Path, out: int, target: Path) -> None:
    """Back a store up, over and over; tell each one that is done."""
    while True:
        aside = back_up(path, target)
        if aside is not None:
            aside.unlink()
        os.write(out, b"1\n")


def restore_for_ever(path: Path, out: int, backups: tuple[Path, Path]) -> None:
    """Restore one backup after the other, over and over; tell each one that is done."""
    turn = 0
    while True:
        aside = restore(path, backups[turn % 2])
        if aside is not None:
            aside.unlink()
        turn += 1
        os.write(out, f"{turn}\n".encode())


def child(work: Callable[[int], None]) -> tuple[int, int]:
    """Start a child process that does some work; return its number and what it tells."""
    told, out = os.pipe()
    pid = os.fork()
    if not pid:
        os.close(told)
        # Quiet: a child that is killed or refused says nothing on our screen.
        with suppress(BaseException):
            work(out)
        os._exit(0)
    os.close(out)
    return pid, told


def killed(work: Callable[[int], None], after_seconds: float) -> list[int]:
    """Let a child work, kill it after a while, and return the numbers that it told."""
    pid, told = child(work)
    # Not time.sleep: what the child tells must not fill the pipe.
    os.set_blocking(told, True)
    signal.sigtimedwait([], after_seconds)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    return _all_told(told)


def _all_told(told: int) -> list[int]:
    with os.fdopen(told) as lines:
        whole = [line for line in lines if line.endswith("\n")]
    return [int(line) for line in whole]


def refused(
    work: Callable[[], object], *, largest_file: int | None = None, user: int | None = None
) -> str:
    """Return the sentence with which some work is refused in a child process; blank if done.

    Args:
        work: What is done.
        largest_file: Bytes beyond which the child can write no file, as on a full disk.
        user: The number of the user that the child becomes.
    """

    def limited(out: int) -> None:
        if largest_file is not None:
            signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
            resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file))
        if user is not None:
            os.setgroups([])
            os.setgid(user)
            os.setuid(user)
        try:
            work()
        except StoreError as error:
            os.write(out, str(error).encode())
        except BaseException as error:
            os.write(out, f"not a sentence: {error!r}".encode())
            raise

    pid, told = child(limited)
    with os.fdopen(told) as lines:
        said = lines.read()
    os.waitpid(pid, 0)
    return said


IS_ADMINISTRATOR = sys.platform != "win32" and os.geteuid() == 0
NOBODY = 65534
ORDINARY_USER = NOBODY if IS_ADMINISTRATOR else None
"""Whom a child becomes so that leave to write counts; nobody else where one is no administrator."""


def device(folder: Path) -> Path:
    """Return a device that takes anything; never that of the machine where a test could harm it."""
    if not IS_ADMINISTRATOR:
        return Path(os.devnull)
    made = folder / "null"
    try:
        os.mknod(made, 0o666 | stat.S_IFCHR, os.makedev(1, 3))
    except OSError:
        pytest.skip("no device can be made here")
    return made


@contextmanager
def small_disk(kibibytes: int) -> Iterator[Path]:
    """Mount a small disk, which only an administrator can."""
    if not IS_ADMINISTRATOR:
        pytest.skip("only an administrator can mount a small disk")
    with TemporaryDirectory() as name:
        disk = Path(name)
        disk.chmod(0o755)
        what = ["mount", "-t", "tmpfs", "-o", f"size={kibibytes}k", "tmpfs", name]
        if subprocess.run(what, capture_output=True, check=False).returncode:
            pytest.skip("no small disk can be mounted here")
        try:
            yield disk
        finally:
            subprocess.run(["umount", name], check=True)


def fill(disk: Path, *, but_kibibytes: int = 0) -> Path:
    """Fill a disk up to some room; return the file that does it."""
    filling = disk / "filling"
    filling.write_bytes(b"")
    with filling.open("ab", buffering=0) as file, suppress(OSError):
        while True:
            file.write(b"x" * 4096)
    os.truncate(filling, filling.stat().st_size - but_kibibytes * 1024)
    return filling
