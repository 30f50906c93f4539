"""A server whose disk is full: a sentence, and all is there that was confirmed before."""

import shutil
import sys
import time
from collections import Counter
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.errors import StoreError
from prepstore.ledger.movements import Asked, recorded
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import is_there, reading
from prepstore.movements import What
from tests.bad_input.small_set import folder_of
from tests.journeys.department import rows_of
from tests.ledger.faults import IS_ADMINISTRATOR, fill, small_disk
from tests.ledger.rows_of import book, movement, store_with_lots
from tests.past_our_code import whole_content
from tests.servers import Server, asked, running

pytestmark = [pytest.mark.server, pytest.mark.slow]

SAMPLE = Path(__file__).parents[3] / "sample_inventory"
LITTLE_LOG = {"min_wal_size": "32MB", "max_wal_size": "32MB", "synchronous_commit": "on"}
FULL = "has no room left, so nothing was recorded. Ask who looks after the server to make room"
GOES_DOWN = ("was lost", "cannot be reached", "is just starting or stopping")
"""What is said as well where a server without room ends, and begins again by itself."""

ROWS = 200
NOTE = 1_900
"""Rows of an entry and signs of each one's note, so that the disk is soon full."""


def _move(store: ServerPlace) -> int:
    pair = movement("L1", "-1", What.USED), movement("L2", "1", What.RECEIVED)
    told = [replace(one, note="x" * NOTE) for one in pair]
    return book(store, *(told * (ROWS // 2)))


def _moved_until_refused(store: ServerPlace, confirmed: set[int]) -> str:
    """Move from lot to lot; note which entries are confirmed, and return the refusal."""
    for _ in range(2_000):
        try:
            confirmed.add(_move(store))
        except StoreError as error:
            return str(error)
    raise AssertionError("nothing was refused")


def _assert_whole(store: ServerPlace, confirmed: set[int], perhaps: int) -> None:
    """Hold to it that all confirmed entries are there, those that may be, and none in half."""
    with reading(store) as connection:
        rows = recorded(connection, Asked())
        assert list(faults(connection)) == []
    of_entry = Counter(one.entry for one in rows)
    assert of_entry.pop(1) == 2
    assert set(of_entry) >= confirmed
    assert len(of_entry) <= len(confirmed) + perhaps
    assert set(of_entry.values()) == {ROWS}


def _up_again(own: Server, store: ServerPlace) -> int:
    """Make an entry as soon as there is a server again, started anew where it ended."""
    for _ in range(60):
        with suppress(StoreError):
            return _move(store)
        if own.process.poll() is not None:
            own.kill()
        time.sleep(0.5)
    raise AssertionError("it did not come up again")


def test_of_a_server_on_a_full_disk_all_is_there_that_was_confirmed() -> None:
    confirmed: set[int] = set()
    with small_disk(200 * 1024) as disk, running(LITTLE_LOG, disk) as own:
        store = store_with_lots(own.fresh(), L1="1000000", L2="0")
        confirmed.add(_move(store))
        filling = fill(disk, but_kibibytes=2_000)
        told = [_moved_until_refused(store, confirmed)]
        for _ in range(10):
            told.append(_moved_until_refused(store, confirmed))
            time.sleep(0.1)
        filling.unlink()
        confirmed.add(_up_again(own, store))
        _assert_whole(store, confirmed, perhaps=len(told))
    assert [one for one in told if not any(way in one for way in (FULL, *GOES_DOWN))] == []


@pytest.mark.skipif(sys.platform == "win32", reason="only a POSIX shell limits files")
def test_of_a_server_whose_files_may_not_grow_all_is_there_that_was_confirmed() -> None:
    """As by a quota: for this (EFBIG) PostgreSQL has no code of its own."""
    confirmed: set[int] = set()
    # More than a piece of its log, which are 16 MiB each.
    with running(LITTLE_LOG, largest_file=17 * 2**20) as own:
        store = store_with_lots(own.fresh(), L1="1000000", L2="0")
        told = [_moved_until_refused(store, confirmed) for _ in range(3)]
        _assert_whole(store, confirmed, perhaps=0)
    assert len(confirmed) > 10
    assert [one for one in told if FULL not in one] == []


def test_a_load_for_which_there_is_no_room_leaves_nothing(tmp_path: Path) -> None:
    """The disk is that of the databases alone: where there is none for its log, a server ends."""
    with small_disk(40 * 1024) as disk, running(LITTLE_LOG) as own:
        store, empty = (_on_disk(own, disk, name) for name in ("one", "other"))
        store_with_lots(store, L1="10", L2="0")
        before = whole_content(store)
        lots = [{"lot": f"N{n}", "item": "salt", "amount": "1 g"} for n in range(3_000)]
        folder_of(rows_of("stock", *lots), tmp_path / "more")
        loads = [("--db", str(store), "load", str(tmp_path / "more"))]
        loads.append(("--db", str(empty), "load", str(SAMPLE)))
        filling = fill(disk, but_kibibytes=100)
        for words in loads:
            result = CliRunner().invoke(app, words)
            assert (result.exit_code, result.stdout) == (1, "")
            (said,) = result.stderr.splitlines()
            assert FULL in said
        # Where there is no room at all, nobody is let in to look.
        filling.unlink()
        assert whole_content(store) == before
        assert not is_there(empty)
        for words in loads:
            result = CliRunner().invoke(app, words)
            assert result.exit_code == 0, result.output


def _on_disk(own: Server, disk: Path, name: str) -> ServerPlace:
    """Make a database that is kept on a disk of its own."""
    folder = disk / name
    folder.mkdir()
    if IS_ADMINISTRATOR:
        shutil.chown(folder, own.data.owner())
    for words in (
        f"CREATE TABLESPACE {name} LOCATION '{folder}'",
        f"CREATE DATABASE {name} TEMPLATE template0 TABLESPACE {name}",
    ):
        asked(own.place("postgres"), words)
    return own.place(name)
