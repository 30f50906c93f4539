"""Numbered steps that bring a store up to date; a shipped step is never edited."""

import sqlite3
from collections.abc import Callable
from pathlib import Path
from typing import Final

APPLICATION_ID: Final = 0x70726570
"""What a store's file is known by (SQLite's `application_id`; the letters prep)."""

Step = Callable[[sqlite3.Connection], None]


class NewerStoreError(Exception):
    """The store was written by a newer prepstore than this one."""


class NotAStoreError(Exception):
    """The file is a database of another program, or empty where a store is to be read."""


def _tables_of_a_set(ledger: sqlite3.Connection) -> None:
    columns = {
        "items": "item kind unit cas formula strength density measures minimum restock_to "
        "opened_life supply daily_capacity turnaround minutes_per_use hazards storage notes",
        "solutions": "solution shelf_life step largest_batch density minimum restock_to hazards "
        "storage instructions",
        "solution_parts": "solution item amount as",
        "practicals": "practical title group_size notes",
        "practical_lines": "practical stage item amount per spare optional to within shared_by "
        "container notes",
        "timetable": "session practical date start end room students group_size "
        "demonstrator_sets leave_out",
        "stock": "lot item amount expiry opened state containers place",
        "suppliers": "supplier lead_days delivery_charge minimum_order",
        "packs": "pack item supplier size price",
        "on_order": "pack packs due reference",
        "waste_streams": "stream measure container fill_limit empty_containers part_full "
        "list_code notes",
        "replacements": "item replaced_by factor to reason",
        "settings": "setting value",
    }
    for table, names in columns.items():
        cells = ", ".join(f'"{name}" TEXT' for name in names.split())
        ledger.execute(
            f'CREATE TABLE "{table}" (position INTEGER PRIMARY KEY, key TEXT UNIQUE, {cells})'
        )


def _movements(ledger: sqlite3.Connection) -> None:
    ledger.execute(
        "CREATE TABLE movements (movement INTEGER PRIMARY KEY, lot TEXT NOT NULL, "
        "what TEXT NOT NULL, number TEXT NOT NULL, unit TEXT NOT NULL, written TEXT NOT NULL, "
        "on_day TEXT NOT NULL, at_utc TEXT NOT NULL, by TEXT NOT NULL, "
        "reason TEXT NOT NULL DEFAULT '')"
    )
    ledger.execute("CREATE INDEX movements_of_lot ON movements (lot)")
    for change in ("UPDATE", "DELETE"):
        ledger.execute(
            f"CREATE TRIGGER movements_no_{change.lower()} BEFORE {change} ON movements "
            "BEGIN SELECT RAISE(ABORT, 'movements are only added'); END"
        )


STEPS: Final[tuple[Step, ...]] = (_tables_of_a_set, _movements)


def bring_up_to_date(path: Path, *, may_begin: bool) -> None:
    """Take a store's file through the steps it has not had; the file is copied aside first.

    Args:
        path: The file.
        may_begin: Whether a file without anything in it may become a store.

    Raises:
        NotAStoreError: It is no store, and may not become one.
        NewerStoreError: The file has had more steps than this version knows.
        sqlite3.DatabaseError: The file is not a store, or cannot be written.
    """
    ledger = sqlite3.connect(path, isolation_level=None, timeout=30)
    try:
        done = _steps_taken(ledger)
        _refuse_other_files(ledger, path, may_begin=may_begin and done == 0)
        if done > len(STEPS):
            raise NewerStoreError(str(path))
        if 0 < done < len(STEPS):
            _copy_aside(ledger, path, done)
        for number, step in enumerate(STEPS[done:], start=done + 1):
            _take(ledger, number, step)
    finally:
        ledger.close()


def _refuse_other_files(ledger: sqlite3.Connection, path: Path, *, may_begin: bool) -> None:
    # Both in one transaction, so that a store in the making is seen whole or not at all.
    ledger.execute("BEGIN")
    try:
        application = ledger.execute("PRAGMA application_id").fetchone()[0]
        tables = ledger.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    finally:
        ledger.execute("COMMIT")
    if application != APPLICATION_ID and (tables or not may_begin):
        raise NotAStoreError(str(path))


def _take(ledger: sqlite3.Connection, number: int, step: Step) -> None:
    """Take one step, and its number with it, or neither."""
    ledger.execute("BEGIN IMMEDIATE")
    try:
        if _steps_taken(ledger) < number:  # another process may have taken it meanwhile
            step(ledger)
            ledger.execute(f"PRAGMA user_version = {number}")
            ledger.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        ledger.execute("COMMIT")
    except BaseException:
        ledger.execute("ROLLBACK")
        raise


def _steps_taken(ledger: sqlite3.Connection) -> int:
    return int(ledger.execute("PRAGMA user_version").fetchone()[0])


def _copy_aside(ledger: sqlite3.Connection, path: Path, done: int) -> None:
    copy = sqlite3.connect(path.with_name(f"{path.name}.before-step-{done + 1}"))
    try:
        ledger.backup(copy)
    finally:
        copy.close()
