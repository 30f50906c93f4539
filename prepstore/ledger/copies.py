"""Copies of a store: backups, and back to them; what is overwritten is kept aside first."""

import os
import shutil
import sqlite3
import time
from contextlib import AbstractContextManager, closing, suppress
from pathlib import Path

from sqlalchemy import Connection

from prepstore.ledger.connections import alone, connected
from prepstore.ledger.damage import damage, damage_of, driver_of, is_damage
from prepstore.ledger.errors import StoreError
from prepstore.ledger.keeper import Look
from prepstore.ledger.page_copy import copy_pages, keep_aside, name_aside
from prepstore.ledger.sentences import sentences
from prepstore.ledger.store_file import (
    looked_at,
    new_store,
    reading,
    real_place,
    refuse_who_may_only_read,
    steps_of_a_store,
    take_steps,
)
from prepstore.ledger.waiting import Patience
from prepstore.parts import BESIDE, part_beside
from prepstore.whole_file import found_at, sync_folder


def refuse_damaged(connection: Connection) -> None:
    """Refuse a backup whose pages are damaged.

    Raises:
        StoreError: They are.
    """
    faults = damage_of(connection)
    if faults:
        raise StoreError(f"The backup is damaged: {faults[0]}. Nothing was changed.")


def back_up(path: Path, target: Path) -> Path | None:
    """Copy a store, as it is at one moment, to a file that is whole or not there.

    A store that is there is taken from others for that time, kept aside, and overwritten in one
    transaction. The copy is checked under its name.

    Returns:
        Where what was there is kept; None where there was nothing.

    Raises:
        StoreError: There is no store, it cannot be read or the copy written, the target is some
            other file or a store of a newer version, or somebody works with it.
    """
    is_there = found_at(target) is not None
    if _is_one_file(path, target):
        raise StoreError(f"{target} is the store itself. Give the backup another name.")
    place = real_place(target)
    if is_there:
        refuse_who_may_only_read(place)
        with sentences(target), looked_at(target, steps_of_a_store):
            pass
    with _part_for(place, is_there=is_there) as part, sentences(target):
        # Closed before the target is taken: who holds one store and waits for another, waits long.
        with reading(path) as connection:
            copy_pages(driver_of(connection), part)
        faults = _damage_in(part)
        if faults:
            raise StoreError(
                f"The store {path} is damaged ({faults[0]}), so no backup was made of it. Go back "
                "to an earlier one (prepstore restore FILE)."
            )
        aside = _overwrite(part, place, "before-backup") if is_there else None
    _refuse_unless_as_wanted(target, faults, aside)
    return aside


def restore(path: Path, backup: Path, look: Look = refuse_damaged) -> Path | None:
    """Put a backup in place of the store; the present store is kept aside.

    The store is taken from others for that time and overwritten in one transaction, so that who
    pulls the plug finds the one or the other.

    Args:
        path: The store.
        backup: A store, of this version or an older one; it is not changed.
        look: Called with a copy of the backup, brought up to date, before anything is changed.

    Returns:
        Where the present store was put; None where there was none.

    Raises:
        StoreError: The backup is no store, the store cannot be kept aside or written, somebody
            works with it, or it is of a newer version. And whatever `look` raises.
    """
    if found_at(backup) is None:
        raise StoreError(f"There is no backup at {backup}. Check the path.")
    if _is_one_file(path, backup):
        raise StoreError(f"{backup} is the store itself. Name a backup.")
    is_there = found_at(path) is not None
    place = real_place(path)
    if is_there:
        refuse_who_may_only_read(place)
    with _part_for(place, is_there=is_there) as part:
        _copy_backup(backup, part)
        with reading(part, called=backup) as connection:
            look(connection)
        faults = _damage_in(part)
        with sentences(path):
            aside = _overwrite(part, place, "before-restore") if is_there else None
    _refuse_unless_as_wanted(path, faults, aside)
    return aside


def _is_one_file(path: Path, other: Path) -> bool:
    one, two = found_at(path), found_at(other)
    return one is not None and two is not None and os.path.samestat(one, two)


def _part_for(place: Path, *, is_there: bool) -> AbstractContextManager[Path]:
    """Return where a copy is made: what is there is overwritten with it, or it gets the name."""
    return part_beside(place) if is_there else new_store(place)


def _copy_backup(backup: Path, part: Path) -> None:
    """Copy a backup as it stands, and bring the copy up to date."""
    with sentences(backup):
        with looked_at(backup, steps_of_a_store) as kept:
            copy_pages(kept, part)
        with closing(connected(part)) as copy:
            take_steps(copy)


def _damage_in(file: Path) -> list[str]:
    with closing(connected(file)) as ledger:
        return Patience(file).until_done(lambda: damage(ledger))


def _refuse_unless_as_wanted(path: Path, faults: list[str], aside: Path | None) -> None:
    """Check a copy under its name, as whoever opens it next will find it."""
    with sentences(path):
        found = _damage_in(path)
    # What SQLite says of a damaged page is not the same each time; whether it is damaged is.
    if bool(found) != bool(faults):
        kept = f" What was there before is kept as {aside}." if aside else ""
        raise StoreError(
            f"{path} was written, but is not whole ({(found or faults)[0]}): its disk may be "
            f"broken. Do not rely on it.{kept}"
        )


# Overwriting


def _overwrite(part: Path, place: Path, why: str) -> Path:
    """Overwrite a store with a copy while nobody else has it open; return where it is kept."""
    name = f"{why}-{time.strftime('%Y-%m-%dT%H%M%SZ', time.gmtime())}"
    try:
        with alone(place) as ledger:
            steps_of_a_store(ledger, place, may_begin=True)
            aside = keep_aside(ledger, place, name)
            _write_over(ledger, part, aside)
            return aside
    except sqlite3.DatabaseError as error:
        if not is_damage(error):
            raise
    return _replace(part, place, name)


def _write_over(ledger: sqlite3.Connection, part: Path, aside: Path) -> None:
    try:
        # In this mode a full disk leaves the store as it was, and there is one file at the end.
        ledger.execute("PRAGMA journal_mode = DELETE")
        ledger.execute("PRAGMA synchronous = FULL")
        with closing(connected(part)) as copy:
            copy.backup(ledger)
    except sqlite3.Error:
        if not damage(ledger):
            aside.unlink()  # the store is as it was
        raise


def _replace(part: Path, place: Path, name: str) -> Path:
    """Put a copy in place of a file that SQLite cannot open any more, so that nobody else can."""
    with part_beside(place) as copy:
        with place.open("rb") as file, copy.open("wb") as bytes_of_it:
            shutil.copyfileobj(file, bytes_of_it)
            bytes_of_it.flush()
            os.fsync(bytes_of_it.fileno())
        aside = name_aside(copy, place, name)
    for end in BESIDE:  # a log left here would be taken for that of the copy
        with suppress(FileNotFoundError):
            place.with_name(place.name + end).rename(aside.with_name(aside.name + end))
    part.replace(place)
    sync_folder(place.parent)
    return aside
