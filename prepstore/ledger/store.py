"""The store, wherever it is kept: what all the rest asks, and nobody knows which database answers.

What is particular to SQLite is behind `file_keeper` (a store in a file) and `damage`; what is
particular to PostgreSQL is in `server`, which is imported only where the store is on a server.
"""

from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING

from sqlalchemy import Connection

from prepstore.ledger import damage
from prepstore.ledger.errors import StoreError
from prepstore.ledger.file_keeper import FileKeeper
from prepstore.ledger.keeper import Checks, Keeper, Look, Result
from prepstore.ledger.place import Place, ServerPlace, new_one
from prepstore.ledger.role import Role

if TYPE_CHECKING:
    from prepstore.ledger.whole_copy import Sum


def keeper_of(place: Place) -> Keeper:
    """Return what keeps the store of a place."""
    if isinstance(place, ServerPlace):
        from prepstore.ledger.server.server_keeper import (  # noqa: PLC0415 - for a server alone
            ServerKeeper,
        )

        return ServerKeeper(place)
    return FileKeeper(place)


def checks_of(connection: Connection) -> Checks:
    """Return what finds faults in an open store."""
    if connection.dialect.name == "postgresql":
        from prepstore.ledger.server import faults  # noqa: PLC0415 - for a server alone

        return faults
    return damage


def is_there(place: Place) -> bool:
    """Return whether there is a store, or anything else in its place."""
    return keeper_of(place).is_there()


def reading(place: Place) -> AbstractContextManager[Connection]:
    """Open a store to read it, in one state however long that takes.

    Raises:
        StoreError: There is none, or it cannot be read.
    """
    return keeper_of(place).reading()


def writing(place: Place) -> AbstractContextManager[Connection]:
    """Open a store, made if need be, for one transaction: all of it or nothing is kept.

    Raises:
        StoreError: It cannot be read or written, or somebody else has made it meanwhile.
    """
    return keeper_of(place).writing()


def all_or_nothing(
    place: Place, act: Callable[[Connection], Result], *, may_make: bool = True
) -> Result:
    """Do something with a store in one transaction; return what it returns.

    Args:
        place: The store.
        act: Decides and records. It may be done more than once, each time from the store as it
            stands then, and only the last time is kept.
        may_make: Whether a store is made where there is none.

    Raises:
        StoreError: As `writing`; there is none, and none may be made. And whatever `act` raises;
            nothing is kept then.
    """
    return keeper_of(place).all_or_nothing(act, may_make=may_make)


def back_up(place: Place, file: Path) -> Path | None:
    """Copy a store, as it is at one moment, to a file that is whole or not there.

    Returns:
        Where what was there is kept; None where there was nothing.

    Raises:
        StoreError: There is no store, or it cannot be read or the copy written.
    """
    if isinstance(place, Path):
        return FileKeeper(place).back_up(file)
    with _file_for_a_while() as copy:
        copy_whole(place, copy)
        return FileKeeper(copy).back_up(file)


def restore(place: Place, file: Path, look: Look) -> Path | None:
    """Put a backup in place of a store; the store of before is kept.

    On a server it is put only where there is none.

    Args:
        place: The store.
        file: The backup.
        look: Called with a copy of the backup, brought up to date, before anything is changed.

    Returns:
        Where the store of before was put; None where there was none.

    Raises:
        StoreError: The backup is no store, or the store cannot be written. And whatever `look`
            raises.
    """
    if isinstance(place, Path):
        return FileKeeper(place).restore(file, look)
    if is_there(place):
        raise StoreError(
            f"There is a store at {place} already, so nothing was changed: on a server a backup is "
            f"put only into {new_one(place)}. Name one with --db, and let everybody use that."
        )
    with _file_for_a_while() as copy:
        FileKeeper(copy).restore(file, look)
        copy_whole(copy, place)
    return None


def make_roles(place: Place) -> Mapping[Role, str]:
    """Make the roles of a store on a server, or bring their rights up to date.

    A store that is not there is made, with nothing in it.

    Returns:
        What each role is called on the server, in words of SQL.

    Raises:
        StoreError: The store is in a file, which has none, or this user may not make them.
    """
    if isinstance(place, Path):
        raise StoreError(
            f"{place} is a file, and needs no roles: whoever can read the file can read the store, "
            "and whoever can write it can record. Roles are for a store on a server: --db "
            "postgresql://host/name"
        )
    from prepstore.ledger.server.server_keeper import (  # noqa: PLC0415 - for a server alone
        ServerKeeper,
    )

    return ServerKeeper(place).make_roles()


@contextmanager
def _file_for_a_while() -> Iterator[Path]:
    """Name a file in a folder of its own, which is gone afterwards with all that is in it."""
    with TemporaryDirectory(prefix="prepstore-", ignore_cleanup_errors=True) as folder:
        yield Path(folder) / "prepstore.db"


def copy_whole(source: Place, target: Place) -> Mapping[str, "Sum"]:
    """Copy a store with all that was ever recorded into a place without one, all or nothing.

    Returns:
        What each table comes to, read back from the new place and compared, by its name.

    Raises:
        StoreError: There is no store to copy, there is something in the new place, or either
            cannot be used.
    """
    from prepstore.ledger import whole_copy  # noqa: PLC0415 - of one command alone

    if not is_there(source):
        raise StoreError(f"There is no store at {source} to copy. Check what is named first.")
    if is_there(target):
        raise StoreError(
            f"There is something at {target} already, and a store is copied only to where there "
            f"is none. Name {new_one(target)}."
        )
    return whole_copy.copy_whole(keeper_of(source), keeper_of(target))
