import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.ledger.soundness import counts, faults
from prepstore.ledger.store_file import reading
from prepstore.movements import What
from tests.ledger.rows_of import book, movement, store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = store_with_lots(tmp_path / "prepstore.db", L1="500", L2="20")
    book(path, movement("L1", "-5", What.USED))
    return path


def _tamper(path: Path, *statements: str) -> None:
    """Do to a store what prepstore itself never does."""
    with closing(sqlite3.connect(path, isolation_level=None)) as ledger:
        for statement in statements:
            ledger.execute(statement)


def _faults(path: Path) -> list[str]:
    with reading(path) as connection:
        return list(faults(connection))


def test_a_store_is_sound(store: Path) -> None:
    assert _faults(store) == []
    with reading(store) as connection:
        assert counts(connection) == (2, 3)


_LET_CHANGE = "DROP TRIGGER movements_no_update"


@pytest.mark.parametrize(
    ("statements", "says"),
    [
        (("UPDATE balances SET billionths = 1 WHERE lot = 'l2'",), "Lot l2: its movements come to"),
        (("DELETE FROM balances WHERE lot = 'l2'",), "but its balance is nothing at all"),
        (("DELETE FROM stock WHERE key = 'l2'",), "belongs to a row of stock that is not there"),
        (
            (
                "INSERT INTO entries (entry, on_day, at_utc, by) "
                "VALUES (9, '2027-01-25', '', 'somebody')",
            ),
            "Entry 9 has nothing that was recorded with it",
        ),
        (
            (
                "INSERT INTO session_uses VALUES "
                "(1, 1, 'S', '2027-01-25', 'P', 'salt', 'g', 0, -1, 0)",
            ),
            "Session S is recorded to have used less than 0 of salt",
        ),
        (
            (
                "INSERT INTO on_order (position, key, pack, packs, due) "
                "VALUES (2, 'a', 'H1', '3', '2027-02-05')",
            ),
            "3 of H1, due 2027-02-05, are on order, but its changes come to 0",
        ),
        (
            (
                "INSERT INTO order_changes (entry, what, pack, packs, due, reference) "
                "VALUES (1, 'placed', 'H1', 3, '2027-02-05', 'PO 1')",
            ),
            "Nothing is on order as po 1, h1, 2027-02-05, but its changes come to 3",
        ),
        (
            (
                "INSERT INTO container_changes (entry, stream, container, what, billionths, unit, "
                "was, now, empty, item_billionths) "
                "VALUES (1, 'acid', 'W1', 'opened', 5, 'mL', '', 'open', 0, 0)",
                "UPDATE containers SET billionths = 6",
            ),
            "Container W1: its changes come to 0.000000005, open, but it holds 0.000000006, open",
        ),
        (
            ("INSERT INTO containers VALUES ('W1', 'acid', 'sealed', 0)",),
            "Container W1: its changes come to nothing at all, but it holds 0, sealed",
        ),
        (
            ("INSERT INTO empty_containers VALUES ('acid', 2)",),
            "Waste stream acid: its changes come to 0 empty containers, but the store keeps 2",
        ),
        ((_LET_CHANGE,), "The trigger movements_no_update of the file is not as this version"),
        (("CREATE TABLE mine (a)",), "The table mine of the file is not as this version"),
    ],
)
def test_what_is_wrong_is_said_in_a_sentence(
    statements: tuple[str, ...], says: str, store: Path
) -> None:
    _tamper(store, *statements)
    found = _faults(store)
    assert any(says in sentence for sentence in found), found
    assert all(sentence.endswith(".") for sentence in found)


def test_a_damaged_page_is_found_and_nothing_is_read_from_it(store: Path) -> None:
    _tamper(store, "PRAGMA wal_checkpoint(TRUNCATE)", "PRAGMA journal_mode = DELETE")
    with closing(sqlite3.connect(store)) as ledger:
        (root,) = ledger.execute(
            "SELECT rootpage FROM sqlite_master WHERE name = 'movements_by_lot'"
        ).fetchone()
        (size,) = ledger.execute("PRAGMA page_size").fetchone()
    content = bytearray(store.read_bytes())
    content[(root - 1) * size + 8 : (root - 1) * size + 200] = b"\xff" * 192
    store.write_bytes(content)
    found = _faults(store)
    assert found
    assert all(sentence.startswith("The file is damaged: ") for sentence in found)
    assert "prepstore restore" in found[0]
