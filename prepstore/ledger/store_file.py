"""The store's file: all that is SQLite's alone.

Opening it so that nothing is lost, its schema steps, copies of it, and what SQLite says in words.
"""

import os
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any, Final

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError

from prepstore.ledger.drives import network_kind
from prepstore.ledger.errors import StoreError
from prepstore.ledger.schema import STEPS

APPLICATION_ID: Final = 0x70726570
"""What a store's file is known by (SQLite's `application_id`; the letters prep)."""

_WAIT_SECONDS: Final = 30
"""How long one waits for another's transaction, each of which takes a moment."""

_BESIDE: Final = ("-wal", "-shm", "-journal")
"""What SQLite keeps beside a file, by the end of its name."""


class NewerStoreError(Exception):
    """The store was written by a newer prepstore than this one."""


class NotAStoreError(Exception):
    """The file is a database of another program, or empty where a store is to be read."""


# Opening


@contextmanager
def reading(path: Path) -> Iterator[Connection]:
    """Open a store to read it, in one state however long that takes.

    Where the file or its folder may not be written, which SQLite needs even for reading, a private
    copy is read.

    Raises:
        StoreError: There is none, or it cannot be read.
    """
    if not path.exists():
        raise StoreError(
            f"There is no store at {path}. Make one with: prepstore load FOLDER_OR_WORKBOOK"
        )
    with (
        _sentences(path),
        _where_it_can_be_read(path) as place,
        _disposed(_engine(place, may_begin=False)) as engine,
        engine.connect().execution_options(prepstore_reads=True) as connection,
    ):
        yield connection


@contextmanager
def writing(path: Path) -> Iterator[Connection]:
    """Open a store, made if need be, for one transaction: all of it or nothing is kept.

    A store that is made for a transaction that fails is not left behind.

    Raises:
        StoreError: It cannot be read or written.
    """
    is_new = not path.exists()
    try:
        with (
            _sentences(path),
            _disposed(_engine(path, may_begin=True)) as engine,
            engine.begin() as connection,
        ):
            yield connection
    except BaseException:
        if is_new:
            path.unlink(missing_ok=True)
        raise


@contextmanager
def _disposed(engine: Engine) -> Iterator[Engine]:
    try:
        yield engine
    finally:
        engine.dispose()


def _engine(path: Path, *, may_begin: bool) -> Engine:
    bring_up_to_date(path, may_begin=may_begin)
    engine = create_engine(
        URL.create("sqlite", database=str(path)), connect_args={"timeout": _WAIT_SECONDS}
    )
    journal = journal_for(path)
    event.listen(engine, "connect", lambda connection, _: _set_up(connection, journal))
    event.listen(engine, "begin", _on_begin)
    return engine


def journal_for(path: Path) -> str:
    """Return the journal that is safe where a file lies: `wal`, or `delete` on a network drive.

    Source:
        sqlite.org/wal.html: all who use a write-ahead log must be on the same machine, since they
        share memory; it does not work over a network file system.
    """
    return "wal" if network_kind(path) is None else "delete"


def _set_up(connection: Any, journal: str) -> None:  # noqa: ANN401 - the driver's own type
    # Without this the driver begins transactions by itself, and too late.
    connection.isolation_level = None
    for pragma, wanted in (("foreign_keys", 1), ("journal_mode", journal), ("synchronous", 2)):
        connection.execute(f"PRAGMA {pragma} = {wanted}")
        (found,) = connection.execute(f"PRAGMA {pragma}").fetchone()
        if found != wanted:
            raise StoreError(
                f"The store cannot be opened safely: SQLite keeps {pragma} at {found} where it "
                f"must be {wanted}. Close other programs that use it, and try again."
            )


def _on_begin(connection: Connection) -> None:
    # A deferred transaction that turns into a writer loses updates or fails under load.
    reads = connection.get_execution_options().get("prepstore_reads", False)
    connection.exec_driver_sql("BEGIN" if reads else "BEGIN IMMEDIATE")


# Reading where one may not write

_TRIES: Final = 50


@contextmanager
def _where_it_can_be_read(path: Path) -> Iterator[Path]:
    if os.access(path, os.W_OK) and os.access(path.parent, os.W_OK):
        yield path
        return
    with tempfile.TemporaryDirectory(prefix="prepstore-") as folder:
        yield _private_copy(path, Path(folder))


def _private_copy(path: Path, folder: Path) -> Path:
    """Return a copy of a store and what lies beside it, taken while nobody wrote.

    Raises:
        StoreError: Somebody wrote all the time.
    """
    parts = [path, *(path.with_name(path.name + end) for end in ("-wal", "-journal"))]
    copy = folder / path.name
    for _ in range(_TRIES):
        before = [_seen(part) for part in parts]
        for part in parts:
            beside = folder / part.name
            beside.unlink(missing_ok=True)
            with suppress(FileNotFoundError):
                shutil.copyfile(part, beside)
        if [_seen(part) for part in parts] == before:
            return copy
        time.sleep(0.02)
    raise StoreError(
        f"The store {path} may only be read here, and somebody writes to it all the time. "
        "Try again in a moment."
    )


def _seen(part: Path) -> tuple[int, int] | None:
    try:
        found = part.stat()
    except FileNotFoundError:
        return None
    return found.st_size, found.st_mtime_ns


# Schema steps


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
    with closing(_plain_connection(path)) as ledger:
        done = _steps_taken(ledger)
        _refuse_other_files(ledger, path, may_begin=may_begin and done == 0)
        if done > len(STEPS):
            raise NewerStoreError(str(path))
        if 0 < done < len(STEPS):
            _copy_to(ledger, path.with_name(f"{path.name}.before-step-{done + 1}"))
        if done < len(STEPS):
            _take_steps(ledger)


def _plain_connection(path: Path | str) -> sqlite3.Connection:
    return sqlite3.connect(path, isolation_level=None, timeout=_WAIT_SECONDS)


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


def _take_steps(ledger: sqlite3.Connection) -> None:
    """Take all steps that are wanting, and their number with them, or none."""
    ledger.execute("BEGIN IMMEDIATE")
    try:
        # Asked again, since another process may have taken them meanwhile.
        for step in STEPS[_steps_taken(ledger) :]:
            step(ledger)
        ledger.execute(f"PRAGMA user_version = {len(STEPS)}")
        ledger.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        ledger.execute("COMMIT")
    except BaseException:
        with suppress(sqlite3.Error):  # a full disk has rolled it back already
            ledger.execute("ROLLBACK")
        raise


def _steps_taken(ledger: sqlite3.Connection) -> int:
    return int(ledger.execute("PRAGMA user_version").fetchone()[0])


# Copies


def back_up(path: Path, target: Path) -> None:
    """Copy a store, as it is at one moment, to a file that is whole or not there.

    The copy is made beside its place, checked and synced before it takes the name. A store that
    is there already is replaced.

    Raises:
        StoreError: There is no store, it cannot be read or the copy written, or the target is
            some other file.
    """
    if target.exists():
        _refuse_what_is_no_store(target)
        if target.samefile(path):
            raise StoreError(f"{target} is the store itself. Give the backup another name.")
    with reading(path) as connection, _sentences(target):
        faults = _copy_to(_driver(connection), target)
    if faults:
        raise StoreError(
            f"The store {path} is damaged ({faults[0]}), so no backup was made of it. Go back to "
            "an earlier one (prepstore restore FILE)."
        )


def _driver(connection: Connection) -> sqlite3.Connection:
    found = connection.connection.dbapi_connection
    assert isinstance(found, sqlite3.Connection)
    return found


def _refuse_what_is_no_store(target: Path) -> None:
    with _sentences(target), closing(_plain_connection(target)) as other:
        _refuse_other_files(other, target, may_begin=False)


def _copy_to(ledger: sqlite3.Connection, target: Path) -> list[str]:
    """Copy by the database's own online backup to a file that is whole or not there.

    Returns:
        What is wrong with the copy, which is then not kept; empty if nothing.
    """
    beside = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with closing(_plain_connection(beside)) as copy:
            copy.execute("PRAGMA synchronous = FULL")
            ledger.backup(copy)
            # One file that can be carried off; a log beside it would be left behind.
            copy.execute("PRAGMA journal_mode = DELETE")
            faults = damage(copy)
        if not faults:
            beside.replace(target)
            _sync_folder(target.parent)
        return faults
    finally:
        for end in ("", *_BESIDE):
            beside.with_name(beside.name + end).unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    """Let a new name in a folder outlast a power cut; Windows has no such call."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def restore(path: Path, backup: Path) -> Path | None:
    """Put a backup in place of the store; the present store is kept aside.

    A store that is sound is overwritten in one transaction, so that who has it open sees the one
    or the other, and so does who pulls the plug.

    Returns:
        Where the present store was put; None where there was none.

    Raises:
        StoreError: The backup is no sound store, or the store cannot be kept aside or written.
    """
    if not backup.exists():
        raise StoreError(f"There is no backup at {backup}. Check the path.")
    if path.exists() and path.samefile(backup):
        raise StoreError(f"{backup} is the store itself. Name a backup.")
    with _sentences(backup), closing(_plain_connection(backup)) as kept:
        _refuse_other_files(kept, backup, may_begin=False)
        if _steps_taken(kept) > len(STEPS):
            raise NewerStoreError(str(backup))
        faults = damage(kept)
        if faults:
            raise StoreError(f"The backup {backup} is damaged: {faults[0]}. Nothing was changed.")
        aside = _keep_aside(path)
        with _sentences(path):
            _put_in_place(kept, path)
    return aside


def _keep_aside(path: Path) -> Path | None:
    """Copy the present store aside; one that cannot be read any more is moved as it is."""
    if not path.exists():
        return None
    aside = _free_name(path)
    with _sentences(path):
        try:
            with closing(_plain_connection(path)) as ledger:
                is_whole = not _copy_to(ledger, aside)
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorcode & 0xFF not in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB):
                raise
            is_whole = False
    for end in () if is_whole else ("", *_BESIDE):
        part = path.with_name(path.name + end)
        if part.exists():
            part.rename(aside.with_name(aside.name + end))
    return aside


def _free_name(path: Path) -> Path:
    now = time.strftime("%Y-%m-%dT%H%M%SZ", time.gmtime())
    names = (
        f"{path.name}.before-restore-{now}{end}" for end in ("", *map("-{}".format, range(2, 100)))
    )
    return next(aside for name in names if not (aside := path.with_name(name)).exists())


def _put_in_place(kept: sqlite3.Connection, path: Path) -> None:
    with closing(_plain_connection(path)) as ledger:
        ledger.execute("PRAGMA synchronous = FULL")
        kept.backup(ledger)


# Soundness


def damage(ledger: sqlite3.Connection) -> list[str]:
    """Return what SQLite's own check finds wrong with a file's pages; empty if nothing."""
    try:
        found = [str(row[0]) for row in ledger.execute("PRAGMA integrity_check(10)")]
    except sqlite3.DatabaseError as error:
        return [str(error)]
    found = [" ".join(line.replace("*** in database main ***", "").split()) for line in found]
    return [line for line in found if line != "ok"]


def damage_of(connection: Connection) -> list[str]:
    """Return what SQLite's own check finds wrong with an open store; empty if nothing."""
    return damage(_driver(connection))


def broken_references(connection: Connection) -> list[tuple[str, str]]:
    """Return table and table for each row that refers to one that is not there."""
    found = _driver(connection).execute("PRAGMA foreign_key_check").fetchall()
    return [(str(table), str(parent)) for table, _, parent, _ in found]


def strange_parts(connection: Connection) -> list[str]:
    """Return tables, indexes and triggers that are not as the steps make them, or are missing."""
    with closing(_plain_connection(":memory:")) as fresh:
        for step in STEPS:
            step(fresh)
        wanted = _parts(fresh)
    found = _parts(_driver(connection))
    names = {name for name in wanted.keys() | found.keys() if wanted.get(name) != found.get(name)}
    return sorted(f"{kind} {name}" for kind, name in names)


def _parts(ledger: sqlite3.Connection) -> dict[tuple[str, str], str]:
    rows = ledger.execute("SELECT type, name, coalesce(sql, '') FROM sqlite_master")
    return {(kind, name): sql for kind, name, sql in rows if not name.startswith("sqlite_stat")}


# What SQLite says, in words


@contextmanager
def _sentences(path: Path) -> Iterator[None]:
    try:
        yield
    except NewerStoreError as error:
        raise StoreError(
            f"{path} was written by a newer prepstore than this one. Install the newer one."
        ) from error
    except NotAStoreError as error:
        raise StoreError(
            f"{path} is not a prepstore store. Name the right file with --db, or load tables into "
            "a new one."
        ) from error
    except (sqlite3.Error, DatabaseError) as error:
        raise StoreError(_sentence(path, error)) from error


_HELD = "is held by another program. Close it, or wait until it is done, and try again"
_SENTENCES: Final = {
    sqlite3.SQLITE_BUSY: _HELD,
    sqlite3.SQLITE_LOCKED: _HELD,
    sqlite3.SQLITE_FULL: "has no room left on its disk. Make room, and try again",
    sqlite3.SQLITE_IOERR: "cannot be read or written ({reason}): its disk is full, over its limit "
    "or failing. Make room or ask who looks after it, and try again",
    sqlite3.SQLITE_READONLY: "may only be read by you. Ask for leave to write the file and its "
    "folder",
    sqlite3.SQLITE_PERM: "may not be opened by you. Ask for leave to write the file and its folder",
    sqlite3.SQLITE_NOTADB: "cannot be used: it is not a prepstore file. Name the right file with "
    "--db, or go back to a backup (prepstore restore FILE)",
    sqlite3.SQLITE_CORRUPT: "cannot be used: it is damaged. Go back to a backup (prepstore "
    "restore FILE)",
    sqlite3.SQLITE_CANTOPEN: "cannot be opened. Check that it is a file, that its folder is there "
    "and that its folder can be written",
}
"""What each of SQLite's result codes (sqlite.org/rescode.html) means for a technician."""


def _sentence(path: Path, error: sqlite3.Error | DatabaseError) -> str:
    reason = error.orig if isinstance(error, DatabaseError) else error
    code = getattr(reason, "sqlite_errorcode", sqlite3.SQLITE_ERROR) & 0xFF
    words = _SENTENCES.get(code)
    if words is None:
        words = "cannot be used: {reason}. Look into it (prepstore check)"
    return f"The store {path} {words.format(reason=reason)}."
