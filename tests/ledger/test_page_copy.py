import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.ledger.connections import connected
from prepstore.ledger.page_copy import copy_pages, keep_aside, name_aside
from tests.ledger.rows_of import store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="5")


def _lots(path: Path) -> list[tuple[str]]:
    with closing(sqlite3.connect(path)) as ledger:
        return ledger.execute("SELECT lot FROM stock").fetchall()


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def test_a_copy_is_one_file_that_can_be_carried_off(store: Path, tmp_path: Path) -> None:
    copy = tmp_path / "elsewhere" / "copy.db"
    copy.parent.mkdir()
    with closing(connected(store)) as ledger:
        ledger.execute("INSERT INTO stock (position, key, lot) VALUES (9, 'l9', 'L9')")
        copy_pages(ledger, copy)
    copy.parent.chmod(0o500)
    try:
        assert _lots(copy) == [("L1",), ("L9",)]
        assert _names(copy.parent) == {"copy.db"}
        # No program that reads it leaves a log beside it.
        with closing(sqlite3.connect(copy)) as ledger:
            assert ledger.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    finally:
        copy.parent.chmod(0o700)


def test_what_is_kept_aside_takes_no_name_that_is_taken(store: Path, tmp_path: Path) -> None:
    with closing(connected(store)) as ledger:
        names = [keep_aside(ledger, store, "before-step-3").name for _ in range(3)]
    first = "prepstore.db.before-step-3"
    assert names == [first, f"{first}-2", f"{first}-3"]
    assert [_lots(tmp_path / name) for name in names] == [[("L1",)]] * 3
    assert _names(tmp_path) == {"prepstore.db", *names}


def test_a_file_gets_the_first_free_name(tmp_path: Path) -> None:
    (tmp_path / "a.old").write_bytes(b"taken")
    part = tmp_path / "part"
    part.write_bytes(b"content")
    aside = name_aside(part, tmp_path / "a", "old")
    assert (aside.name, aside.read_bytes()) == ("a.old-2", b"content")
    assert (tmp_path / "a.old").read_bytes() == b"taken"
    assert not part.exists()
