"""The store's file: all that is SQLite's alone."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.exc import DatabaseError

from prepstore.ledger.errors import StoreError
from prepstore.ledger.schema import NewerStoreError, NotAStoreError, bring_up_to_date


@contextmanager
def reading(path: Path) -> Iterator[Connection]:
    """Open a store to read it.

    Raises:
        StoreError: There is none, or it cannot be read.
    """
    if not path.exists():
        raise StoreError(
            f"There is no store at {path}. Make one with: prepstore load FOLDER_OR_WORKBOOK"
        )
    with (
        _sentences(path),
        _disposed(_engine(path, may_begin=False)) as engine,
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


@contextmanager
def _sentences(path: Path) -> Iterator[None]:
    """Turn what SQLite says into a sentence."""
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
        reason = error.orig if isinstance(error, DatabaseError) else error
        raise StoreError(
            f"The store {path} cannot be used: {reason}. Check that it is a prepstore file, that "
            "its folder can be written, and that no other program holds it."
        ) from error


def _engine(path: Path, *, may_begin: bool) -> Engine:
    bring_up_to_date(path, may_begin=may_begin)
    engine = create_engine(URL.create("sqlite", database=str(path)), connect_args={"timeout": 30})
    event.listen(engine, "connect", _on_connect)
    event.listen(engine, "begin", _on_begin)
    return engine


def _on_connect(connection: Any, _record: object) -> None:  # noqa: ANN401 - SQLAlchemy's own type
    # Without this the driver begins transactions by itself, and too late.
    connection.isolation_level = None
    for pragma in ("foreign_keys = ON", "journal_mode = WAL", "synchronous = FULL"):
        connection.execute(f"PRAGMA {pragma}")


def _on_begin(connection: Connection) -> None:
    # A deferred transaction that turns into a writer loses updates or fails under load.
    reads = connection.get_execution_options().get("prepstore_reads", False)
    connection.exec_driver_sql("BEGIN" if reads else "BEGIN IMMEDIATE")
