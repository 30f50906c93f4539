import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.columns import TABLES
from prepstore.ledger import store_file
from prepstore.ledger.containers import CONTAINER_CHANGES, CONTAINERS, EMPTY_CONTAINERS
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.errors import NewerStoreError, NotAStoreError
from prepstore.ledger.ledger import Ledger
from prepstore.ledger.lots import BALANCES
from prepstore.ledger.movements import MOVEMENTS, SESSION_USES
from prepstore.ledger.names import NAME_CHANGES
from prepstore.ledger.orders import ORDER_CHANGES
from prepstore.ledger.reserved_labels import LABEL_CHANGES
from prepstore.ledger.schema import STEPS
from prepstore.ledger.store_file import bring_up_to_date
from prepstore.ledger.timetable import TIMETABLE_CHANGES

LIGHT = (
    ENTRIES, MOVEMENTS, BALANCES, SESSION_USES, ORDER_CHANGES, NAME_CHANGES, TIMETABLE_CHANGES,
    CONTAINER_CHANGES, CONTAINERS, EMPTY_CONTAINERS, LABEL_CHANGES,
)  # fmt: skip
OF_ITS_OWN = {"stock": {"gone"}}
"""Columns of the store that are no columns of a set of tables."""
EVERY_TABLE = {*TABLES, *(light.name for light in LIGHT)}


def _ask(path: Path, question: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as ledger:
        return ledger.execute(question).fetchall()


def _columns(path: Path, table: str) -> list[object]:
    return [name for _, name, *_ in _ask(path, f'PRAGMA table_info("{table}")')]


def _tables(path: Path) -> set[object]:
    return {name for (name,) in _ask(path, "SELECT name FROM sqlite_master WHERE type = 'table'")}


def test_steps_from_nothing_give_the_columns_of_the_tables(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    assert _tables(path) == EVERY_TABLE
    for name, table in TABLES.items():
        assert set(_columns(path, name)) == {"position", "key", *table.columns} | OF_ITS_OWN.get(
            name, set()
        )
    for light in LIGHT:
        assert _columns(path, light.name) == list(light.columns.keys())
    assert _ask(path, "PRAGMA user_version") == [(len(STEPS),)]


def test_the_steps_again_change_nothing(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    before = path.read_bytes()
    bring_up_to_date(path, may_begin=True)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_has_had_the_first_step_only_is_copied_and_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    with monkeypatch.context() as old:
        old.setattr(store_file, "STEPS", STEPS[:1])
        bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger, ledger:
        ledger.execute("INSERT INTO items (position, item) VALUES (2, 'salt')")
    bring_up_to_date(path, may_begin=True)
    assert _ask(path, "SELECT position, item FROM items") == [(2, "salt")]
    assert "movements" in _tables(path)
    copy = tmp_path / "prepstore.db.before-step-2"
    assert _ask(copy, "PRAGMA user_version") == [(1,)]
    assert _ask(copy, "SELECT item FROM items") == [("salt",)]
    assert "movements" not in _tables(copy)


def test_a_step_that_fails_leaves_no_trace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails_half_way(ledger: Ledger) -> None:
        ledger.execute("CREATE TABLE half (a TEXT)")
        ledger.execute("INSERT INTO items (position, item) VALUES (2, 'half')")
        raise sqlite3.IntegrityError("half way")

    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    monkeypatch.setattr(store_file, "STEPS", (*STEPS, fails_half_way))
    with pytest.raises(sqlite3.IntegrityError, match="half way"):
        bring_up_to_date(path, may_begin=True)
    assert _tables(path) == EVERY_TABLE
    assert _ask(path, "SELECT count(*) FROM items") == [(0,)]
    assert _ask(path, "PRAGMA user_version") == [(len(STEPS),)]


def test_a_newer_file_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    before = path.read_bytes()
    with pytest.raises(NewerStoreError):
        bring_up_to_date(path, may_begin=True)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("makes", "begins"),
    [("CREATE TABLE items (name TEXT)", "may"), ("PRAGMA page_count", "may not")],
)
def test_a_file_that_is_no_store_is_refused_and_left_alone(
    makes: str, begins: str, tmp_path: Path
) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute(makes)
    before = path.read_bytes()
    with pytest.raises(NotAStoreError):
        bring_up_to_date(path, may_begin=begins == "may")
    assert path.read_bytes() == before


def test_several_at_once_may_make_one_store(tmp_path: Path) -> None:
    failed: list[Exception] = []

    def make(path: Path) -> None:
        try:
            bring_up_to_date(path, may_begin=True)
        except (sqlite3.Error, NotAStoreError) as error:
            failed.append(error)

    for attempt in range(50):
        path = tmp_path / f"{attempt}.db"
        makers = [threading.Thread(target=make, args=(path,)) for _ in range(4)]
        for maker in makers:
            maker.start()
        for maker in makers:
            maker.join()
        assert _tables(path) == EVERY_TABLE, failed
    assert failed == []


@pytest.mark.parametrize("table", ["movements", "entries", "session_uses"])
@pytest.mark.parametrize("change", ["UPDATE {} SET entry = 7", "DELETE FROM {}"])
def test_what_happened_is_only_added_to(table: str, change: str, tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    _with_a_session_booked_out(path)
    with closing(sqlite3.connect(path)) as ledger:
        with pytest.raises(sqlite3.IntegrityError, match=f"{table} are only added"):
            ledger.execute(change.format(table))
        assert ledger.execute(f"SELECT entry FROM {table}").fetchall() == [(1,)]


def _with_a_session_booked_out(path: Path) -> None:
    bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger, ledger:
        ledger.execute("INSERT INTO stock (position, key, lot, item) VALUES (2, 'l1', 'L1', 'i')")
        ledger.execute(
            "INSERT INTO entries (entry, on_day, at_utc, by, session) "
            "VALUES (1, '2027-01-25', '', 'somebody', 'S')"
        )
        ledger.execute(
            "INSERT INTO movements (entry, lot, what, billionths, unit) "
            "VALUES (1, 'l1', 'received', 5, 'g')"
        )
        ledger.execute(
            "INSERT INTO session_uses VALUES (1, 1, 'S', '2027-01-25', 'P', 'i', 'g', 5, 5, 0)"
        )


REFUSED = {
    "less than nothing": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'used', -6, 'g')",
    "a use that adds": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'used', 1, 'g')",
    "a receipt that takes": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'received', -1, 'g')",
    "a broken number": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'received', 0.5, 'g')",
    "another unit": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'received', 1, 'mol')",
    "a lot that is not there": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l2', 'received', 1, 'g')",
    "an entry that is not there": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (2, 'l1', 'received', 1, 'g')",
    "nobody": "INSERT INTO entries (entry, on_day, at_utc, by) VALUES (2, '2027-01-25', '', '')",
    "no day": "INSERT INTO entries (entry, on_day, at_utc, by) "
    "VALUES (2, '2027-02-30', '', 'somebody')",
    "a lot taken away": "DELETE FROM stock",
}


@pytest.mark.parametrize("what", REFUSED)
def test_the_file_itself_refuses_what_cannot_be(what: str, tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    _with_a_session_booked_out(path)
    with closing(sqlite3.connect(path, isolation_level=None)) as ledger:
        ledger.execute("PRAGMA foreign_keys = ON")
        ledger.execute("BEGIN")
        with pytest.raises(sqlite3.IntegrityError):  # noqa: PT012 - some are found at the end only
            ledger.execute(REFUSED[what])
            ledger.execute("COMMIT")


def test_movements_in_digits_are_taken_over_to_a_billionth(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    with monkeypatch.context() as old:
        old.setattr(store_file, "STEPS", STEPS[:2])
        bring_up_to_date(path, may_begin=True)
    thirds = ["0.3333333333333333333", "0.3333333333333333333", "0.3333333333333333334"]
    with closing(sqlite3.connect(path)) as ledger, ledger:
        ledger.execute("INSERT INTO stock (position, key, lot, item) VALUES (2, 'l1', 'L1', 'i')")
        ledger.executemany(
            "INSERT INTO movements (lot, what, number, unit, written, on_day, at_utc, by) "
            "VALUES ('L1', 'counted', ?, 'g', '', '2027-01-25', 'then', 'somebody')",
            [(digits,) for digits in thirds],
        )
    bring_up_to_date(path, may_begin=True)
    assert _ask(path, "SELECT * FROM balances") == [("l1", 1_000_000_000, 3)]
    found = _ask(path, "SELECT entry, lot, billionths FROM movements")
    assert found == [(1, "l1", 333_333_333), (2, "l1", 333_333_334), (3, "l1", 333_333_333)]
    assert _ask(path, "SELECT DISTINCT by, on_day, at_utc FROM entries") == [
        ("somebody", "2027-01-25", "then")
    ]
