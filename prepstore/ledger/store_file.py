"""The store's file, opened so that nothing is lost: to read, to write, and its schema's steps."""

import os
import sqlite3
from collections.abc import Callable, Iterator, MutableMapping
from contextlib import AbstractContextManager, ExitStack, closing, contextmanager, suppress
from functools import cache, partial
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Dialect, Engine, NullPool, StaticPool, create_engine, make_url

from prepstore.ledger.connections import connected
from prepstore.ledger.drives import network_kind
from prepstore.ledger.errors import NewerStoreError, NotAStoreError, StoreError
from prepstore.ledger.holders import owner_of
from prepstore.ledger.page_copy import keep_aside
from prepstore.ledger.private_copy import barred, may_write, private_copy
from prepstore.ledger.schema import STEPS
from prepstore.ledger.sentences import MAY_ONLY_BE_READ, code_of, sentences
from prepstore.ledger.waiting import Patience
from prepstore.parts import clear_parts, part_beside
from prepstore.whole_file import found_at, put_new

APPLICATION_ID: Final = 0x70726570
"""What a store's file is known by (SQLite's `application_id`; the letters prep)."""


# Reading


@contextmanager
def reading(path: Path, called: Path | None = None) -> Iterator[Connection]:
    """Open a store to read it, in one state however long that takes.

    SQLite writes beside a file even to read it; where that may not be, or there is no room, the
    store is read without.

    Args:
        path: The store.
        called: What an error calls it; itself, if left out.

    Raises:
        StoreError: There is none, or it cannot be read.
        OSError: The path is a link that leads back to itself.
    """
    if found_at(path) is None:
        raise StoreError(
            f"There is no store at {path}. Make one with: prepstore load FOLDER_OR_WORKBOOK"
        )
    with (
        sentences(called or path),
        looked_at(path, _brought_up) as ledger,
        _over(ledger) as connection,
    ):
        # A deferred transaction sees the state of its first read.
        ledger.execute("BEGIN")
        Patience(path).until_done(lambda: _steps_taken(ledger))
        yield connection


Prepare = Callable[[sqlite3.Connection, Path], object]
"""What is done with a store before it is read, where it lies."""

Way = Callable[[Path], AbstractContextManager[tuple[sqlite3.Connection, Path]]]


@contextmanager
def looked_at(path: Path, prepare: Prepare) -> Iterator[sqlite3.Connection]:
    """Open a file to read it, in the first way that works: in place, alone, by a private copy.

    Where it may not be written, only the last is tried, which leaves nothing behind.

    Raises:
        sqlite3.DatabaseError: It cannot be read, or is no database.
        StoreError: It may not be read.
        NewerStoreError, NotAStoreError: As `prepare` does.
    """
    place = real_place(path)
    ways = (_in_place, _without_room, _copied) if may_write(place) else (_copied,)
    with ExitStack() as opened:
        yield _opened_in(ways, place, prepare, opened)


def _opened_in(
    ways: tuple[Way, ...], path: Path, prepare: Prepare, opened: ExitStack
) -> sqlite3.Connection:
    failed: sqlite3.DatabaseError | StoreError | None = None
    for way in ways:
        with ExitStack() as attempt:
            try:
                ledger, place = attempt.enter_context(way(path))
                prepare(ledger, place)
            except (sqlite3.DatabaseError, StoreError) as error:
                failed = failed or error
                if code_of(failed) not in _FOR_WANT_OF_ROOM:
                    break
            else:
                opened.push(attempt.pop_all())
                return ledger
    assert failed is not None
    raise failed


_FOR_WANT_OF_ROOM: Final = {
    sqlite3.SQLITE_FULL,
    sqlite3.SQLITE_IOERR,
    sqlite3.SQLITE_CANTOPEN,
    sqlite3.SQLITE_READONLY,
}
"""What SQLite says where it cannot make the files beside a store with which it reads."""


@contextmanager
def _in_place(path: Path) -> Iterator[tuple[sqlite3.Connection, Path]]:
    with closing(connected(path)) as ledger:
        # The log of a reader would do no harm, but on a network drive nobody may keep one.
        journal = {} if journal_for(path) == "wal" else {"journal_mode": "delete"}
        _keep_safe(ledger, path, journal)
        ledger.execute("PRAGMA temp_store = MEMORY")
        yield ledger, path


@contextmanager
def _without_room(path: Path) -> Iterator[tuple[sqlite3.Connection, Path]]:
    """Read with the index of the log in memory, which keeps others out for that time."""
    with closing(connected(path)) as ledger:
        ledger.execute("PRAGMA locking_mode = EXCLUSIVE")
        ledger.execute("PRAGMA temp_store = MEMORY")
        yield ledger, path


@contextmanager
def _copied(path: Path) -> Iterator[tuple[sqlite3.Connection, Path]]:
    with private_copy(path) as copy, closing(connected(copy)) as ledger:
        yield ledger, copy


# Writing


@contextmanager
def writing(path: Path) -> Iterator[Connection]:
    """Open a store, made if need be, for one transaction: all of it or nothing is kept.

    A store that is made is there under its name once the transaction is done, and not before.

    Raises:
        StoreError: It cannot be read or written, or somebody else has made it meanwhile.
        OSError: The path is a link that leads back to itself.
    """
    is_there = found_at(path) is not None
    place = real_place(path)
    with sentences(path):
        if is_there:
            refuse_who_may_only_read(place)
            clear_parts(place.parent)
            with _to_write(place) as ledger, _recorded(ledger, place) as connection:
                yield connection
        else:
            with new_store(place) as part, _to_write(part, may_make=True) as ledger:
                with _recorded(ledger, part) as connection:
                    yield connection
                # All of it into the file itself, which alone gets the name.
                ledger.execute("PRAGMA wal_checkpoint(TRUNCATE)")


@contextmanager
def new_store(path: Path) -> Iterator[Path]:
    """Make a store under another name beside its place; it is put there at the end.

    Raises:
        StoreError: Something is there then; or now, of a store that is gone.
    """
    for left in (path.with_name(path.name + end) for end in ("-wal", "-journal")):
        there = found_at(left)
        if there is not None and there.st_size:
            raise StoreError(
                f"There is no store at {path}, but {left} is there, which belongs to one and may "
                "hold what was recorded last. Put that store back, or move this file away."
            )
    with part_beside(path) as part:
        yield part
        try:
            put_new(part, path)
        except FileExistsError as error:
            raise StoreError(
                f"Somebody else made {path} in the meantime, so nothing of this was saved. "
                "Run it again."
            ) from error


def refuse_who_may_only_read(path: Path) -> None:
    """Refuse to write a store whose files are not all this user's to write.

    Raises:
        StoreError: It says which, and what to do.
    """
    file = barred(path)
    if file is not None and file != path:
        raise StoreError(_of_a_stranger(path, file))
    if not may_write(path):
        raise StoreError(f"The store {path} {MAY_ONLY_BE_READ}.")


def _of_a_stranger(path: Path, file: Path) -> str:
    owner = owner_of(file)
    what = (
        f"{file} is in the folder of the store {path} and you cannot write it, so the store cannot"
    )
    if file.name.endswith("-shm") or not file.lstat().st_size:
        return f"{what} be used. Delete it when nobody works with the store, or ask {owner} to."
    return (
        f"{what} be used. It may hold what was recorded last, so do not delete it: ask "
        f"{owner} for permission to write it."
    )


@contextmanager
def _to_write(path: Path, *, may_make: bool = False) -> Iterator[sqlite3.Connection]:
    with closing(connected(path, may_make=may_make)) as ledger:
        _bring_up(ledger, path, may_begin=True)
        _keep_safe(ledger, path, {"journal_mode": journal_for(path)})
        yield ledger


@contextmanager
def _recorded(ledger: sqlite3.Connection, path: Path) -> Iterator[Connection]:
    with _over(ledger) as connection:
        # A deferred transaction that turns into a writer loses updates or fails under load.
        Patience(path).until_done(lambda: ledger.execute("BEGIN IMMEDIATE"))
        with connection.begin():
            yield connection
            Patience(path).until_done(lambda: ledger.execute("COMMIT"))


@contextmanager
def _over(ledger: sqlite3.Connection) -> Iterator[Connection]:
    """Let SQLAlchemy speak through a connection that is open already."""
    dialect, compiled = _dialect()
    opened: Any = ledger  # SQLAlchemy has a type of its own for it
    engine = Engine(StaticPool(lambda: opened), dialect, make_url("sqlite://"))
    with engine.connect() as connection:
        yield connection.execution_options(compiled_cache=compiled)


@cache
def _dialect() -> tuple[Dialect, MutableMapping[Any, Any]]:
    """Return what puts statements into SQLite's words, and those that have been.

    To do so takes longer than to run them, and a command opens its store more than once.
    """
    engine = create_engine("sqlite://", poolclass=NullPool)
    with engine.connect():  # makes the dialect known to itself
        return engine.dialect, {}


def journal_for(path: Path) -> str:
    """Return the journal that is safe where a file lies: `wal`, or `delete` on a network drive.

    Source:
        sqlite.org/wal.html: all who use a write-ahead log must be on the same machine, since they
        share memory; it does not work over a network file system.
    """
    return "wal" if network_kind(path) is None else "delete"


def _keep_safe(ledger: sqlite3.Connection, path: Path, journal: dict[str, str]) -> None:
    """Set how a store is kept, and read back that it is so."""
    patience = Patience(path)
    for pragma, wanted in {"foreign_keys": 1, **journal, "synchronous": 2}.items():
        patience.until_done(partial(ledger.execute, f"PRAGMA {pragma} = {wanted}"))
        (found,) = patience.until_done(partial(ledger.execute, f"PRAGMA {pragma}")).fetchone()
        if found != wanted:
            raise StoreError(
                f"The store cannot be opened safely: SQLite keeps {pragma} at {found} where it "
                f"must be {wanted}. Close other programs that use it, and try again."
            )


def real_place(path: Path) -> Path:
    """Return where a file is or would be, beside which lies what belongs to it, if it is a link."""
    return Path(os.path.realpath(path)) if path.is_symlink() else path


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
    with closing(connected(path, may_make=may_begin)) as ledger:
        _bring_up(ledger, path, may_begin=may_begin)


def _brought_up(ledger: sqlite3.Connection, path: Path) -> None:
    _bring_up(ledger, path, may_begin=False)


def _bring_up(ledger: sqlite3.Connection, path: Path, *, may_begin: bool) -> None:
    patience = Patience(path)
    done = patience.until_done(lambda: steps_of_a_store(ledger, path, may_begin=may_begin))
    if 0 < done < len(STEPS):
        keep_aside(ledger, path, f"before-step-{done + 1}")
    if done < len(STEPS):
        patience.until_done(lambda: take_steps(ledger))


def steps_of_a_store(ledger: sqlite3.Connection, path: Path, *, may_begin: bool = False) -> int:
    """Return how many steps a store has had; 0 for a file that may become one.

    Raises:
        NotAStoreError, NewerStoreError: As `bring_up_to_date`.
    """
    # All in one transaction, so that a store in the making is seen whole or not at all.
    ledger.execute("BEGIN")
    try:
        done = _steps_taken(ledger)
        application = ledger.execute("PRAGMA application_id").fetchone()[0]
        tables = ledger.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
    finally:
        with suppress(sqlite3.Error):  # what went wrong is raised already
            ledger.execute("COMMIT")
    if application != APPLICATION_ID and (tables or done or not may_begin):
        raise NotAStoreError(str(path))
    if done > len(STEPS):
        raise NewerStoreError(str(path))
    return done


def take_steps(ledger: sqlite3.Connection) -> None:
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
