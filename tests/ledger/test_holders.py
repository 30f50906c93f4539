import os
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from prepstore.ledger.holders import UNKNOWN, holders, owner_of, processes_among, user_name
from tests.ledger.faults import child
from tests.ledger.rows_of import store_with_lots

ON_LINUX = pytest.mark.skipif(sys.platform != "linux", reason="only Linux tells who locks a file")

FILES = {(0xFE, 0, 700), (0xFE, 0, 701)}
READS = "1: POSIX  ADVISORY  READ 11 fe:00:700 1073741826 1073742335\n"
WRITES = "2: POSIX  ADVISORY  WRITE 12 fe:00:701 120 120\n"


@pytest.mark.parametrize(
    ("locks", "found"),
    [
        (READS, [11]),
        (READS + WRITES, [12]),
        (READS + READS.replace("11", "3"), [3, 11]),
        (READS.replace(" 700 ", " 999 ").replace(":700 ", ":999 "), []),
        (READS.replace("fe:00", "fe:01"), []),
        (READS.replace("fe:00", "0e:00"), []),
        ("2: -> POSIX  ADVISORY  WRITE 13 fe:00:701 120 120\n", []),
        ("3: FLOCK  ADVISORY  WRITE 14 fe:00:701 0 EOF\n", []),
        ("4: POSIX  ADVISORY  WRITE 0 fe:00:701 120 120\n", []),
        (WRITES.replace(" 12 ", " 5 ") + READS, [11]),
        ("", []),
    ],
)
def test_those_that_write_are_named_before_those_that_read(locks: str, found: list[int]) -> None:
    assert processes_among(locks, FILES, own=5) == found


def test_nobody_but_oneself_is_another_program(tmp_path: Path) -> None:
    store = store_with_lots(tmp_path / "prepstore.db", L1="5")
    with closing(sqlite3.connect(store, isolation_level=None)) as ledger:
        ledger.execute("BEGIN IMMEDIATE")
        assert holders(store) == UNKNOWN
    assert holders(tmp_path / "none.db") == UNKNOWN


@contextmanager
def _held(store: Path, *statements: str, name: str = "prep\x1broom") -> Iterator[int]:
    """Let a child of some name hold a store; give its number."""
    go_on, to_child = os.pipe()

    def hold(out: int) -> None:
        Path("/proc/self/comm").write_text(name)
        with closing(sqlite3.connect(store, isolation_level=None)) as ledger:
            for statement in statements:
                ledger.execute(statement).fetchone()
            os.write(out, b"held\n")
            os.read(go_on, 1)

    pid, told = child(hold)
    with os.fdopen(told) as lines:
        lines.readline()
        try:
            yield pid
        finally:
            os.write(to_child, b".")
            os.waitpid(pid, 0)


@ON_LINUX
@pytest.mark.parametrize("begin", ["BEGIN IMMEDIATE", "BEGIN EXCLUSIVE"])
def test_the_process_that_writes_is_named_with_its_user(begin: str, tmp_path: Path) -> None:
    store, link = store_with_lots(tmp_path / "prepstore.db", L1="5"), tmp_path / "link.db"
    link.symlink_to(store)
    user = user_name(os.geteuid())
    with _held(store, "BEGIN", "SELECT * FROM stock") as reader:
        assert holders(store) == f"prep?room (process {reader} of {user})"
        with _held(store, begin) as writer:
            expected = f"prep?room (process {writer} of {user})"
            assert holders(store) == holders(link) == expected
    assert holders(store) == UNKNOWN


@ON_LINUX
def test_all_who_read_are_named(tmp_path: Path) -> None:
    store = store_with_lots(tmp_path / "prepstore.db", L1="5")
    read = ("BEGIN", "SELECT * FROM stock")
    with _held(store, *read, name="one") as one, _held(store, *read, name="two") as two:
        assert f"one (process {one} of " in holders(store)
        assert f" and two (process {two} of " in holders(store)


@ON_LINUX
def test_a_user_without_a_name_is_told_by_number() -> None:
    assert user_name(0) == "root"
    assert user_name(4_000_123) == "user 4000123"


@ON_LINUX
def test_the_owner_of_a_link_is_not_that_of_its_target(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to("/none")
    assert owner_of(tmp_path / "link") == user_name(os.geteuid())
