import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.ledger.connections import connected
from prepstore.ledger.damage import broken_references, damage, damage_of, is_damage, strange_parts
from prepstore.ledger.store_file import reading
from tests.ledger.rows_of import store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="5")


def _damage(path: Path) -> list[str]:
    with closing(connected(path)) as ledger:
        return damage(ledger)


def test_a_store_that_is_whole_has_nothing_wrong(store: Path) -> None:
    with reading(store) as connection:
        assert damage_of(connection) == []
        assert broken_references(connection) == []
        assert strange_parts(connection) == []


@pytest.mark.parametrize(("kept", "filling"), [(0, b"no database" * 400), (4096, b"\xff" * 20000)])
def test_a_file_that_is_not_whole_is_said_to_be_damaged(
    kept: int, filling: bytes, store: Path
) -> None:
    store.write_bytes(store.read_bytes()[:kept] + filling)
    assert _damage(store)


def test_a_file_that_somebody_holds_is_not_damaged(store: Path) -> None:
    with closing(sqlite3.connect(store, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(sqlite3.OperationalError, match="locked") as error:
            _damage(store)
    assert not is_damage(error.value)


def test_what_refers_to_nothing_and_what_another_program_changed_is_found(store: Path) -> None:
    with closing(sqlite3.connect(store, isolation_level=None)) as other:
        other.execute("INSERT INTO balances (lot, billionths) VALUES ('none', 1)")
        other.execute("DROP INDEX movements_by_lot")
        other.execute("CREATE TABLE mine (a)")
    with reading(store) as connection:
        assert broken_references(connection) == [("balances", "stock")]
        assert strange_parts(connection) == ["index movements_by_lot", "table mine"]
