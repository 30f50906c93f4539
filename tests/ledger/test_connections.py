import os
import sqlite3
import time
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.ledger import waiting
from prepstore.ledger.connections import alone, connected
from tests.ledger.faults import child
from tests.ledger.rows_of import store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="5")


def _is_locked(store: Path, question: str) -> bool:
    """Return whether a process of its own is locked out."""

    def ask(out: int) -> None:
        with closing(sqlite3.connect(store, timeout=0, isolation_level=None)) as ledger:
            try:
                ledger.execute(question).fetchone()
            except sqlite3.OperationalError as error:
                os.write(out, str(error).encode())

    pid, told = child(ask)
    with os.fdopen(told) as lines:
        said = lines.read()
    os.waitpid(pid, 0)
    return "locked" in said


def test_a_file_that_is_not_there_is_made_only_if_it_may_be(tmp_path: Path) -> None:
    path = tmp_path / "per%20cent #1?.db"
    with pytest.raises(sqlite3.OperationalError, match="unable to open"):
        connected(path)
    assert list(tmp_path.iterdir()) == []
    with closing(connected(path, may_make=True)) as ledger:
        ledger.execute("CREATE TABLE a (b)")
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("journal", ["WAL", "DELETE"])
def test_nobody_else_reads_or_writes_while_one_is_alone(journal: str, store: Path) -> None:
    with closing(sqlite3.connect(store)) as ledger:
        ledger.execute(f"PRAGMA journal_mode = {journal}")
    questions = ("SELECT * FROM stock", "BEGIN IMMEDIATE")
    with alone(store) as ledger:
        assert [_is_locked(store, question) for question in questions] == [True, True]
        ledger.execute("UPDATE stock SET place = 'shelf'")
        assert [_is_locked(store, question) for question in questions] == [True, True]
    assert [_is_locked(store, question) for question in questions] == [False, False]


def test_who_would_be_alone_waits_for_those_who_read(store: Path) -> None:
    def read(out: int) -> None:
        with closing(sqlite3.connect(store, isolation_level=None)) as ledger:
            ledger.execute("BEGIN")
            ledger.execute("SELECT * FROM stock").fetchone()
            os.write(out, b"reads\n")
            time.sleep(0.6)
            os.write(out, b"has read\n")

    pid, told = child(read)
    with os.fdopen(told) as lines:
        assert lines.readline() == "reads\n"
        begun = time.monotonic()
        with alone(store):
            assert time.monotonic() - begun > 0.4
            assert lines.readline() == "has read\n"
    os.waitpid(pid, 0)


def test_who_cannot_be_alone_is_told_after_the_wait(
    store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(waiting, "WAIT_SECONDS", 0.1)
    with closing(sqlite3.connect(store, isolation_level=None)) as reader:
        reader.execute("BEGIN")
        reader.execute("SELECT * FROM stock").fetchone()
        with pytest.raises(sqlite3.OperationalError, match="locked"), alone(store):
            pass
