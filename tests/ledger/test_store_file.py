import os
import sqlite3
import threading
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Integer, Select, literal_column, select, text
from sqlalchemy.engine.interfaces import CacheStats

from prepstore.amounts import of_billionths
from prepstore.ledger import drives
from prepstore.ledger.errors import StoreError
from prepstore.ledger.load import written_rows
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import Asked, record, recorded
from prepstore.ledger.schema import STEPS
from prepstore.ledger.store_file import reading, writing
from prepstore.movements import Booking
from tests.ledger.rows_of import SIGNED, movement, put, row, store_with_lots

BILLION = 1_000_000_000


def _store(path: Path, *items: str) -> Path:
    rows = [row("items", item=item, notes="n" * 2000) for item in items]
    with writing(path) as connection:
        put(connection, {"items": rows})
    return path


def _sentence(error: pytest.ExceptionInfo[StoreError]) -> str:
    said = str(error.value)
    assert "\n" not in said
    assert said.endswith(".")
    return said


def _items(path: Path) -> list[str]:
    with reading(path) as connection:
        return [found.text["item"] for found in written_rows(connection, "items")["items"]]


@pytest.mark.parametrize(
    ("pragma", "value"), [("foreign_keys", 1), ("synchronous", 2), ("journal_mode", "wal")]
)
def test_a_store_is_opened_so_that_nothing_is_lost(
    pragma: str, value: object, tmp_path: Path
) -> None:
    path = _store(tmp_path / "prepstore.db")
    for opened in (reading, writing):
        with opened(path) as connection:
            assert connection.execute(text(f"PRAGMA {pragma}")).scalar() == value


def test_a_statement_is_compiled_once_however_often_a_store_is_opened(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db")
    asked: Select[Any] = select(literal_column("7", Integer).label("asked_only_here"))
    hits = []
    for opened in (reading, writing, reading):
        with opened(path) as connection:
            result = connection.execute(asked)
            assert result.scalar() == 7
            hits.append(result.context.cache_hit)
    assert hits == [CacheStats.CACHE_MISS, CacheStats.CACHE_HIT, CacheStats.CACHE_HIT]


def test_a_writer_holds_the_store_from_its_first_moment(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db")
    with (
        writing(path),
        closing(sqlite3.connect(path, timeout=0)) as other,
        pytest.raises(sqlite3.OperationalError, match="locked"),
    ):
        other.execute("BEGIN IMMEDIATE")


def test_a_reader_holds_nobody_up_and_sees_one_state(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db", "before")
    with reading(path) as connection:
        assert len(written_rows(connection, "items")["items"]) == 1
        _store(path, "after", "and more")
        assert len(written_rows(connection, "items")["items"]) == 1
    assert _items(path) == ["after", "and more"]


def test_no_update_of_several_writers_is_lost(tmp_path: Path) -> None:
    path = store_with_lots(tmp_path / "prepstore.db", L1="0")

    def add_one() -> None:
        for _ in range(10):
            with writing(path) as connection:
                held = of_billionths(balances(connection, "l1")["l1"])
                # As a count does: what is read decides what is written.
                counted = movement(number=str(held + 1 - held))
                record(connection, Booking(movements=(counted,)), SIGNED)

    writers = [threading.Thread(target=add_one) for _ in range(4)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    with reading(path) as connection:
        assert balances(connection) == {"l1": 40 * BILLION}
        assert len(recorded(connection, Asked())) == 41


def _fails_half_way(path: Path) -> None:
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="after")]})
        raise KeyError


def test_a_transaction_that_fails_leaves_the_store_as_it_was(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db", "before")
    with pytest.raises(KeyError):
        _fails_half_way(path)
    assert _items(path) == ["before"]


def test_a_new_store_whose_first_transaction_fails_is_not_left_behind(tmp_path: Path) -> None:
    with pytest.raises(KeyError):
        _fails_half_way(tmp_path / "prepstore.db")
    assert list(tmp_path.iterdir()) == []


def test_a_new_store_is_there_once_all_is_well_and_not_before(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="salt")]})
        assert not path.exists()
    assert [file.name for file in tmp_path.iterdir()] == ["prepstore.db"]
    assert _items(path) == ["salt"]


def _made_while_another_makes(path: Path, *, fails: bool = False) -> None:
    with writing(path) as connection:
        put(connection, {"items": [row("items", item="second")]})
        _store(path, "first")
        if fails:
            raise KeyError


def test_who_makes_a_store_second_is_refused_and_the_first_one_stays(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with pytest.raises(StoreError) as error:
        _made_while_another_makes(path)
    assert f"Somebody else made {path} in the meantime" in _sentence(error)
    assert _items(path) == ["first"]
    assert {file.name for file in tmp_path.iterdir()} == {"prepstore.db"}


def test_who_fails_to_make_a_store_leaves_what_another_made_meanwhile(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    with pytest.raises(KeyError):
        _made_while_another_makes(path, fails=True)
    assert _items(path) == ["first"]


@pytest.mark.parametrize("end", ["-wal", "-journal"])
def test_no_store_is_made_where_the_log_of_another_lies(end: str, tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    left = tmp_path / f"prepstore.db{end}"
    left.write_bytes(b"what was recorded last")
    with pytest.raises(StoreError) as error, writing(path):
        pass
    assert f"{left} is there, which belongs to one" in _sentence(error)
    assert [file.name for file in tmp_path.iterdir()] == [left.name]
    left.write_bytes(b"")
    _store(path, "salt")
    assert _items(path) == ["salt"]


def test_a_link_to_a_store_is_the_store(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    path, link = tmp_path / "elsewhere" / "prepstore.db", tmp_path / "link.db"
    link.symlink_to(path)
    _store(link, "salt")
    assert link.is_symlink()
    assert _items(path) == ["salt"]
    with reading(link), writing(link) as connection:
        put(connection, {"items": [row("items", item="sugar")]})
    assert _items(path) == _items(link) == ["sugar"]
    assert {file.name for file in tmp_path.iterdir()} == {"elsewhere", "link.db"}


@pytest.mark.parametrize("opened", [reading, writing])
def test_a_link_that_leads_back_to_itself_is_no_store(opened: object, tmp_path: Path) -> None:
    loop = tmp_path / "loop.db"
    loop.symlink_to("loop.db")
    with pytest.raises(OSError, match="leads back to itself"), opened(loop):  # type: ignore[operator]
        pass


def test_a_backup_that_is_looked_at_stays_one_file(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db", "salt")
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute("PRAGMA journal_mode = DELETE")
    before = path.read_bytes()
    assert _items(path) == ["salt"]
    assert path.read_bytes() == before
    _store(path, "sugar")
    with reading(path) as connection:
        assert connection.execute(text("PRAGMA journal_mode")).scalar() == "wal"


def test_on_a_network_drive_nobody_keeps_a_log(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = _store(tmp_path / "prepstore.db", "salt")
    monkeypatch.setattr(drives, "_mounts", lambda: "server:/all / nfs4 rw 0 0")
    for opened in (reading, writing):
        with opened(path) as connection:
            assert connection.execute(text("PRAGMA journal_mode")).scalar() == "delete"


def test_what_a_reader_sees_is_of_the_moment_in_which_it_opened_the_store(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db", "before")
    with reading(path) as connection:
        _store(path, "after")
        assert [found.text["item"] for found in written_rows(connection, "items")["items"]] == [
            "before"
        ]


def test_reading_where_there_is_no_store_says_how_to_make_one(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="prepstore load") as error, reading(tmp_path / "none.db"):
        pass
    assert "There is no store at" in str(error.value)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("opened", [reading, writing])
@pytest.mark.parametrize(
    "content",
    [b"not a database, but long enough to look at" * 100, b"SQLite format 3\0" + b"x" * 500],
)
def test_a_file_that_is_no_store_is_refused_and_left_alone(
    opened: object, content: bytes, tmp_path: Path
) -> None:
    path = tmp_path / "notes.txt"
    path.write_bytes(content)
    with pytest.raises(StoreError) as error, opened(path):  # type: ignore[operator]
        pass
    assert "cannot be used: it is not a prepstore file" in _sentence(error)
    assert path.read_bytes() == content


def test_a_store_that_is_cut_off_is_refused(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db", *map(str, range(200)))
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    with pytest.raises(StoreError) as error, reading(path) as connection:
        written_rows(connection)
    assert "cannot be used" in _sentence(error)


def test_a_newer_store_is_refused(tmp_path: Path) -> None:
    path = _store(tmp_path / "prepstore.db", "salt")
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    for opened in (reading, writing):
        with pytest.raises(StoreError) as error, opened(path):
            pass
        assert "newer prepstore" in _sentence(error)


def test_a_folder_is_no_store(tmp_path: Path) -> None:
    for opened in (reading, writing):
        with pytest.raises(StoreError) as error, opened(tmp_path):
            pass
        assert "Check that it is a file" in _sentence(error)


def test_a_folder_that_is_not_there_is_said_to_be_the_reason(tmp_path: Path) -> None:
    with pytest.raises(StoreError) as error, writing(tmp_path / "none" / "prepstore.db"):
        pass
    assert "its folder can be written" in _sentence(error)


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0,
    reason="the administrator may write anywhere, so there is nothing to refuse",
)
def test_a_folder_that_cannot_be_written_is_said_to_be_the_reason(tmp_path: Path) -> None:
    folder = tmp_path / "locked"
    folder.mkdir()
    folder.chmod(0o500)
    try:
        with pytest.raises(StoreError) as error, writing(folder / "prepstore.db"):
            pass
        assert "its folder can be written" in _sentence(error)
    finally:
        folder.chmod(0o700)


def test_a_store_that_another_program_made_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other, other:
        other.execute("CREATE TABLE items (name TEXT)")
    before = path.read_bytes()
    with pytest.raises(StoreError) as error, writing(path):
        pass
    assert "is not a prepstore store" in _sentence(error)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "name",
    [
        "with space.db",
        "ha#sh.db",
        "per%20cent.db",
        "quest?ion.db",
    ],
)
def test_a_store_may_have_any_name(name: str, tmp_path: Path) -> None:
    path = _store(tmp_path / name, "salt")
    assert _items(path) == ["salt"]
    assert {file.name for file in tmp_path.iterdir()} <= {name, f"{name}-wal", f"{name}-shm"}
