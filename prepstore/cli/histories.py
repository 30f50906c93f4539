"""A store with its history out into tables, and from them into a new store."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from prepstore.cli.progress import at_work
from prepstore.ledger.place import Place
from prepstore.ledger.store import all_or_nothing, is_there, reading
from prepstore.problems import Problem, RefusedError
from prepstore.written import WrittenRow, WrittenSet

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.tables.history_intake import MovedIn


def rows_with_history(place: Place) -> dict[str, list[WrittenRow]]:
    """Return every row of a store and of its history, as they are at one moment.

    Raises:
        StoreError: There is no store, or it cannot be read.
    """
    from prepstore.cli.rooms import rows_in
    from prepstore.ledger.kept_rows import history_rows

    with at_work("Reading the store"), reading(place) as connection:
        return {**rows_in(connection), **history_rows(connection)}


def move_in(place: Place, new: WrittenSet, of_files: Sequence[Problem]) -> "MovedIn":
    """Load a set with its history into a new store, in one transaction.

    Raises:
        RefusedError: The store holds something.
        ProblemsError: Anything in the set is wrong; nothing is loaded.
        StoreError: The store cannot be used.
    """
    from prepstore.ledger.kept_rows import put_history

    def act(connection: "Connection") -> "MovedIn":
        _refuse_what_holds_something(place, connection)
        moved = _checked(new, of_files)
        with at_work("Saving"):
            put_history(connection, moved.intake.rows, moved.former_lots, moved.history)
        return moved

    return all_or_nothing(place, act)


def looked_through(place: Place, new: WrittenSet, of_files: Sequence[Problem]) -> "MovedIn":
    """Return what such a load would do; nothing is saved, and there need be no store.

    Raises:
        RefusedError, ProblemsError, StoreError: As `move_in`.
    """
    if is_there(place):
        with reading(place) as connection:
            _refuse_what_holds_something(place, connection)
    return _checked(new, of_files)


def _checked(new: WrittenSet, of_files: Sequence[Problem]) -> "MovedIn":
    from prepstore.tables.history_intake import history_intake

    with at_work("Checking the tables and their history"):
        return history_intake(new, of_files)


def _refuse_what_holds_something(place: Place, connection: "Connection") -> None:
    from prepstore.ledger.kept_rows import is_blank
    from prepstore.ledger.place import new_one

    if not is_blank(connection):
        raise RefusedError(
            f"{place} holds something already, and a history is loaded only into a new store. Name "
            f"{new_one(place)} with --db, or load the tables without those of the history."
        )
