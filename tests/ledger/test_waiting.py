import os
import signal
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path

import pytest

from prepstore.ledger import drives, waiting
from prepstore.ledger.connections import connected
from prepstore.ledger.store_file import reading, writing
from prepstore.ledger.teller import TOLD_BY
from prepstore.ledger.waiting import Patience
from tests.ledger.faults import child
from tests.ledger.rows_of import book, movement, store_with_lots

ROOT = Path(__file__).parents[2]


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="5")


@pytest.fixture
def told() -> Iterator[list[str]]:
    lines: list[str] = []
    before = TOLD_BY.set(lines.append)
    yield lines
    TOLD_BY.reset(before)


@pytest.fixture
def sooner(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(waiting, "_SILENT_SECONDS", 0.3)


ALL_OUT = ("PRAGMA locking_mode = EXCLUSIVE", "BEGIN EXCLUSIVE")


def _held_for(store: Path, seconds: float, *statements: str) -> int:
    """Let a child hold a store for a while, as a writer if not otherwise; return its number."""

    def hold(out: int) -> None:
        with closing(sqlite3.connect(store, isolation_level=None)) as ledger:
            for statement in statements or ["BEGIN IMMEDIATE"]:
                ledger.execute(statement).fetchone()
            os.write(out, b"held\n")
            time.sleep(seconds)

    pid, pipe = child(hold)
    with os.fdopen(pipe) as lines:
        assert lines.readline() == "held\n"
    return pid


@pytest.mark.usefixtures("sooner")
@pytest.mark.parametrize("opened", [reading, writing])
def test_whom_one_waits_for_is_told_once_and_then_one_goes_on(
    opened: object, store: Path, told: list[str]
) -> None:
    pid = _held_for(store, 1.2, *ALL_OUT)
    with opened(store):  # type: ignore[operator]
        pass
    os.waitpid(pid, 0)
    (line,) = told
    assert line.startswith(f"{store} is in use by ")
    assert line.endswith(
        "Waiting until it is free, at most 30 seconds; press Ctrl-C to stop waiting."
    )
    if sys.platform == "linux":
        assert f"(process {pid} of " in line


def test_a_short_wait_is_not_worth_a_word(store: Path, told: list[str]) -> None:
    pid = _held_for(store, 0.5)
    book(store, movement("L1", "1"))
    os.waitpid(pid, 0)
    assert told == []


@pytest.mark.usefixtures("sooner")
def test_a_reader_who_holds_up_the_end_of_a_transaction_is_told_of(
    store: Path, told: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Only where nobody keeps a log does a reader hold anybody up.
    monkeypatch.setattr(drives, "_mounts", lambda: "server:/all / nfs4 rw 0 0")
    book(store, movement("L1", "1"))
    pid = _held_for(store, 1.0, "BEGIN", "SELECT * FROM stock")
    book(store, movement("L1", "1"))
    os.waitpid(pid, 0)
    (line,) = told
    assert f"{store} is in use by " in line
    assert not list(store.parent.glob("*-wal"))


def test_what_is_not_a_matter_of_waiting_is_raised_at_once(store: Path) -> None:
    tried: list[int] = []

    def fails() -> None:
        tried.append(1)
        with closing(connected(store)) as ledger:
            ledger.execute("SELECT * FROM none")

    with pytest.raises(sqlite3.OperationalError, match="no such table"):
        Patience(store).until_done(fails)
    assert tried == [1]


def test_the_wait_ends_after_all_of_it_whatever_it_was_for(
    store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(waiting, "WAIT_SECONDS", 0.5)
    pid = _held_for(store, 30)
    patience = Patience(store)
    begun = time.monotonic()
    with closing(connected(store)) as ledger:
        for _ in range(2):
            with pytest.raises(sqlite3.OperationalError, match="locked"):
                patience.until_done(lambda: ledger.execute("BEGIN IMMEDIATE"))
    assert 0.5 < time.monotonic() - begun < 2
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)


def test_ctrl_c_ends_the_wait(store: Path) -> None:
    pid = _held_for(store, 30)
    words = ["--db", str(store), "stock", "use", "L1", "1 g"]
    # Whoever is started in the background by a shell would not hear of it otherwise.
    program = (
        "import signal, sys\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        f"sys.argv[1:] = {words!r}\n"
        "from prepstore.cli.main import run\n"
        "run()\n"
    )
    with subprocess.Popen(
        [sys.executable, "-c", program], stderr=subprocess.PIPE, text=True, cwd=ROOT
    ) as waiter:
        assert waiter.stderr is not None
        line = waiter.stderr.readline()
        assert f"{store} is in use by " in line
        begun = time.monotonic()
        waiter.send_signal(signal.SIGINT)
        waiter.wait()
        assert time.monotonic() - begun < 2
        assert "Traceback" not in waiter.stderr.read()
    assert waiter.returncode != 0
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
