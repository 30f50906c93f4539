"""Backups and restores: whole or not there, and nothing of the present store lost."""

import os
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from sqlalchemy import Connection

from prepstore.ledger import copies, store_file, waiting
from prepstore.ledger.copies import back_up, restore
from prepstore.ledger.errors import StoreError
from prepstore.ledger.lots import balances
from prepstore.ledger.schema import STEPS
from prepstore.ledger.store_file import reading
from prepstore.movements import What
from tests.ledger.faults import ORDINARY_USER, child, fill, refused, small_disk
from tests.ledger.rows_of import book, movement, store_with_lots

needs_fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="Windows has no fork")


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


def test_a_store_that_somebody_has_open_is_not_overwritten_under_his_hands(
    store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = store_with_lots(tmp_path / "other.db", L1="7")
    monkeypatch.setattr(waiting, "WAIT_SECONDS", 0.1)
    for overwrite in (restore, lambda path, copy: back_up(copy, path)):
        with reading(store) as connection:
            with pytest.raises(StoreError, match=r"prepstore.db is in use by .* try again"):
                overwrite(store, other)
            assert balances(connection)["l1"] == 500 * 10**9
        assert _held(store) == 500
        assert _names(tmp_path) == {"prepstore.db", "other.db"}


@needs_fork
def test_who_restores_waits_for_those_who_read_and_they_see_one_state(
    store: Path, tmp_path: Path
) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    book(store, movement("L1", "-100", What.USED))

    def read(out: int) -> None:
        with reading(store) as connection:
            for _ in range(2):
                os.write(out, f"{balances(connection)['l1'] // 10**9}\n".encode())
                time.sleep(0.4)

    pid, told = child(read)
    with os.fdopen(told) as lines:
        assert lines.readline() == "400\n"
        restore(store, backup)
        assert lines.readline() == "400\n"
    os.waitpid(pid, 0)
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


@needs_fork
def test_a_log_beside_a_store_that_cannot_be_opened_is_kept_with_it(
    store: Path, tmp_path: Path
) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    pid, told = child(lambda _: _records_and_dies(store))
    os.close(told)
    os.waitpid(pid, 0)
    log = tmp_path / f"{store.name}-wal"
    recorded_last = log.read_bytes()
    store.write_bytes(b"no database" * 900)
    aside = restore(store, backup)
    assert aside is not None
    assert (tmp_path / f"{aside.name}-wal").read_bytes() == recorded_last
    assert not log.exists()
    assert _held(store) == 500


def test_a_copy_that_its_disk_does_not_keep_is_not_told_as_checked(
    store: Path, tmp_path: Path
) -> None:
    aside = tmp_path / "aside.db"
    _spoil_an_index(store)
    refuse = copies._refuse_unless_as_wanted  # noqa: SLF001 - no disk here fails when it is told to
    with pytest.raises(StoreError, match=r"is not whole .* kept as .*aside\.db\."):
        refuse(store, [], aside)


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


def _spoil_an_index(store: Path) -> None:
    with closing(sqlite3.connect(store)) as ledger:
        ledger.execute("PRAGMA journal_mode = DELETE")
        (root,) = ledger.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'movements_by_lot'"
        ).fetchone()
        (size,) = ledger.execute("PRAGMA page_size").fetchone()
    content = bytearray(store.read_bytes())
    content[(root - 1) * size + 8 : (root - 1) * size + 200] = b"\xff" * 192
    store.write_bytes(content)


def test_a_damaged_store_is_not_backed_up(store: Path, tmp_path: Path) -> None:
    _spoil_an_index(store)
    with pytest.raises(StoreError, match=r"damaged .* no backup was made of it"):
        back_up(store, tmp_path / "backup.db")
    assert _names(tmp_path) == {"prepstore.db"}


def test_what_a_backup_overwrites_is_kept_aside_even_where_the_names_are_confused(
    store: Path, tmp_path: Path
) -> None:
    old = tmp_path / "old.db"
    back_up(store, old)
    with reading(old):  # whoever looks at it
        book(store, movement("L1", "-100", What.USED))
    assert back_up(store, tmp_path / "new.db") is None
    aside = back_up(old, store)
    assert aside is not None
    assert aside.name.startswith("prepstore.db.before-backup-")
    assert (_held(store), _held(aside)) == (500, 400)
    with closing(sqlite3.connect(store)) as ledger:  # one file that can be carried off
        assert ledger.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert restore(store, aside) is not None
    assert _held(store) == 400


def test_what_lies_in_the_log_is_kept_aside_as_well(store: Path, tmp_path: Path) -> None:
    old = tmp_path / "old.db"
    back_up(store, old)
    pid, told = child(lambda _: _records_and_dies(store))
    os.close(told)
    os.waitpid(pid, 0)
    assert (tmp_path / "prepstore.db-wal").stat().st_size
    aside = restore(store, old)
    assert aside is not None
    assert (_held(store), _held(aside)) == (500, 400)


def _records_and_dies(store: Path) -> None:
    with reading(store):
        book(store, movement("L1", "-100", What.USED))
        os._exit(9)


def test_a_backup_is_not_written_over_a_store_of_a_newer_version(
    store: Path, tmp_path: Path
) -> None:
    newer = store_with_lots(tmp_path / "newer.db", L1="7")
    _newer(newer)
    before = newer.read_bytes()
    with pytest.raises(StoreError, match="newer prepstore"):
        back_up(store, newer)
    with pytest.raises(StoreError, match="newer prepstore"):
        restore(newer, store)
    assert newer.read_bytes() == before
    assert _names(tmp_path) == {"prepstore.db", "newer.db"}


def test_a_backup_of_an_older_version_is_brought_up_to_date(
    store: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = tmp_path / "old.db"
    with monkeypatch.context() as before:
        before.setattr(store_file, "STEPS", STEPS[:3])
        store_file.bring_up_to_date(old, may_begin=True)
    content = old.read_bytes()
    restore(store, old)
    with closing(sqlite3.connect(store)) as ledger:
        assert ledger.execute("PRAGMA user_version").fetchone() == (len(STEPS),)
    assert old.read_bytes() == content
    assert not list(tmp_path.glob("*before-step*"))
    assert not list(tmp_path.glob(".*"))


def test_who_looks_at_a_backup_can_refuse_it(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    book(store, movement("L1", "-100", What.USED))
    seen: list[int] = []

    def look(connection: Connection) -> None:
        seen.append(balances(connection)["l1"] // 10**9)
        raise StoreError("not this one")

    for path in (store, tmp_path / "new.db"):
        with pytest.raises(StoreError, match="not this one"):
            restore(path, backup, look)
    assert seen == [500, 500]
    assert _held(store) == 400
    assert _names(tmp_path) == {"prepstore.db", "backup.db"}


def test_a_file_that_somebody_makes_meanwhile_is_not_overwritten(
    store: Path, tmp_path: Path
) -> None:
    path = tmp_path / "new.db"

    def write_meanwhile(_: Connection) -> None:
        path.write_bytes(b"a letter")

    with pytest.raises(StoreError, match="Somebody else made"):
        restore(path, store, write_meanwhile)
    assert path.read_bytes() == b"a letter"


def test_another_programs_database_is_not_overwritten(store: Path, tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    with closing(sqlite3.connect(other)) as ledger:
        ledger.execute("CREATE TABLE items (a)")
    before = other.read_bytes()
    for overwrite in (restore, lambda path, copy: back_up(copy, path)):
        with pytest.raises(StoreError, match="is not a prepstore store"):
            overwrite(other, store)
    assert other.read_bytes() == before
    assert _names(tmp_path) == {"prepstore.db", "other.db"}


def test_a_damaged_backup_is_put_in_place_if_who_looks_lets_it(store: Path, tmp_path: Path) -> None:
    backup = tmp_path / "backup.db"
    back_up(store, backup)
    _spoil_an_index(backup)
    with pytest.raises(StoreError, match="The backup is damaged"):
        restore(store, backup)
    restore(store, backup, lambda _: None)
    assert _held(store) == 500


@needs_fork
def test_a_backup_on_a_disk_that_may_only_be_read_is_gone_back_to() -> None:
    with TemporaryDirectory() as name:
        folder, stick = Path(name), Path(name) / "stick"
        folder.chmod(0o777)
        stick.mkdir()
        store = store_with_lots(folder / "prepstore.db", L1="500")
        backup = stick / "backup.db"
        back_up(store, backup)
        book(store, movement("L1", "-100", What.USED))
        for path, mode in ((store, 0o666), (backup, 0o444), (stick, 0o555)):
            path.chmod(mode)
        assert refused(lambda: restore(store, backup), user=ORDINARY_USER) == ""
        stick.chmod(0o755)
        assert _held(store) == 500
        assert _names(stick) == {"backup.db"}


@needs_fork
@pytest.mark.parametrize("overwrite", [restore, lambda path, copy: back_up(copy, path)])
def test_what_may_only_be_read_is_not_overwritten(
    overwrite: Callable[[Path, Path], Path | None],
) -> None:
    with TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o777)
        store = store_with_lots(folder / "prepstore.db", L1="500")
        other = store_with_lots(folder / "other.db", L1="7")
        store.chmod(0o444)
        other.chmod(0o444)
        said = refused(lambda: overwrite(store, other), user=ORDINARY_USER)
        assert said.startswith(f"The store {store} can be read by you but not written.")
        assert _names(folder) == {"prepstore.db", "other.db"}
        assert _held(store) == 500


def _said(overwrite: Callable[[Path, Path], Path | None], store: Path, other: Path) -> str:
    """Return the sentence with which a store is not overwritten; blank if it is."""
    try:
        overwrite(store, other)
    except StoreError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("overwrite", [restore, lambda path, copy: back_up(copy, path)])
def test_a_full_disk_leaves_what_was_to_be_overwritten(
    overwrite: Callable[[Path, Path], Path | None], tmp_path: Path
) -> None:
    many = {f"M{number}": "1" for number in range(900)}
    with small_disk(2000) as disk:
        store = store_with_lots(disk / "prepstore.db", L1="500")
        other = store_with_lots(tmp_path / "other.db", L1="7", **many)
        room = 0
        filling = fill(disk)
        while said := _said(overwrite, store, other):
            assert "Make room" in said
            assert _names(disk) == {"prepstore.db", "filling"}
            filling.unlink()
            assert _held(store) == 500
            room += 24
            filling = fill(disk, but_kibibytes=room)
        assert room > 2 * other.stat().st_size // 1024
        (aside,) = disk.glob("prepstore.db.before-*")
        assert (_held(store), _held(aside)) == (7, 500)
