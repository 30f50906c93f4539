"""Backups and restores: whole or not there, and nothing of the present store lost."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.ledger.errors import StoreError
from prepstore.ledger.lots import balances
from prepstore.ledger.schema import STEPS
from prepstore.ledger.store_file import back_up, reading, restore
from prepstore.movements import What
from tests.ledger.rows_of import book, movement, store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="500")


def _held(path: Path) -> int:
    with reading(path) as connection:
        return balances(connection)["l1"] // 10**9


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir() if not file.name.endswith(("-wal", "-shm"))}


def test_a_backup_is_the_store_as_it_was(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    book(store, movement("L1", "-100", What.USED))
    assert (_held(store), _held(backup)) == (400, 500)
    assert _names(tmp_path) == {"prepstore.db", "backup.db"}


def test_a_backup_holds_what_another_program_has_just_written(store: Path, tmp_path: Path) -> None:
    with reading(store):  # keeps the log beside the file
        book(store, movement("L1", "-100", What.USED))
        back_up(store, tmp_path / "backup.db")
    assert _held(tmp_path / "backup.db") == 400


def test_a_later_backup_takes_the_place_of_an_earlier_one(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    book(store, movement("L1", "-100", What.USED))
    back_up(store, backup)
    assert _held(backup) == 400


@pytest.mark.parametrize("content", [b"a letter", b""])
def test_a_file_that_is_no_store_is_not_overwritten(
    content: bytes, store: Path, tmp_path: Path
) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_bytes(content)
    with pytest.raises(StoreError):
        back_up(store, letter)
    assert letter.read_bytes() == content


def test_a_store_is_not_its_own_backup(store: Path) -> None:
    with pytest.raises(StoreError, match="is the store itself"):
        back_up(store, store)
    with pytest.raises(StoreError, match="is the store itself"):
        restore(store, store)


def test_a_backup_that_cannot_be_written_leaves_nothing(store: Path, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be opened"):
        back_up(store, tmp_path / "none" / "backup.db")
    assert _names(tmp_path) == {"prepstore.db"}


def test_a_restore_keeps_the_present_store_beside_it(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    book(store, movement("L1", "-100", What.USED))
    aside = restore(store, backup)
    assert aside is not None
    assert aside.name.startswith("prepstore.db.before-restore-")
    assert (_held(store), _held(aside)) == (500, 400)
    second = restore(store, aside)
    assert second is not None
    assert second != aside
    assert _held(store) == 400


def test_who_has_the_store_open_sees_the_one_or_the_other(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    book(store, movement("L1", "-100", What.USED))
    with reading(store) as connection:
        assert balances(connection)["l1"] == 400 * 10**9
        restore(store, backup)
        assert balances(connection)["l1"] == 400 * 10**9
    assert _held(store) == 500
    book(store, movement("L1", "-1", What.USED))
    assert _held(store) == 499


def test_a_store_that_is_gone_is_restored(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    store.unlink()
    assert restore(store, backup) is None
    assert _held(store) == 500


@pytest.mark.parametrize("damage", ["cut off", "overwritten", "no database"])
def test_a_damaged_store_is_moved_aside_and_restored(
    damage: str, store: Path, tmp_path: Path
) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    content = backup.read_bytes()
    damaged = {
        "cut off": content[: len(content) // 2],
        "overwritten": content[:8192] + b"\xff" * (len(content) - 8192),
        "no database": b"no database" * 500,
    }[damage]
    store.write_bytes(damaged)
    aside = restore(store, backup)
    assert aside is not None
    assert aside.read_bytes() == damaged
    assert _held(store) == 500


def _cut_off(path: Path) -> None:
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])


def _newer(path: Path) -> None:
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute(f"PRAGMA user_version = {len(STEPS) + 1}")


def _other(path: Path) -> None:
    path.unlink()
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute("CREATE TABLE items (a)")


@pytest.mark.parametrize(
    ("spoil", "says"),
    [
        (_cut_off, "damaged"),
        (_newer, "newer prepstore"),
        (_other, "is not a prepstore store"),
        (Path.unlink, "There is no backup at"),
    ],
)
def test_a_backup_that_cannot_serve_changes_nothing(
    spoil: object, says: str, store: Path, tmp_path: Path
) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    spoil(backup)  # type: ignore[operator]
    before = _names(tmp_path)
    with pytest.raises(StoreError, match=says):
        restore(store, backup)
    assert _held(store) == 500
    assert _names(tmp_path) == before


def test_a_damaged_store_is_not_backed_up(store: Path, tmp_path: Path) -> None:
    with closing(sqlite3.connect(store)) as ledger:
        ledger.execute("PRAGMA journal_mode = DELETE")
        (root,) = ledger.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'movements_by_lot'"
        ).fetchone()
        (size,) = ledger.execute("PRAGMA page_size").fetchone()
    content = bytearray(store.read_bytes())
    content[(root - 1) * size + 8 : (root - 1) * size + 200] = b"\xff" * 192
    store.write_bytes(content)
    with pytest.raises(StoreError, match=r"damaged .* no backup was made of it"):
        back_up(store, tmp_path / "backup.db")
    assert _names(tmp_path) == {"prepstore.db"}
