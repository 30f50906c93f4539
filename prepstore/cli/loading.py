"""A set of tables into a store: what it leads to, as a trial or for good."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from prepstore.cli.progress import at_work
from prepstore.cli.rooms import rows_in, signed, today
from prepstore.ledger.place import Place
from prepstore.ledger.store import all_or_nothing, is_there, reading
from prepstore.problems import Problem
from prepstore.written import WrittenSet

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.tables.intake import Held, Intake


def take_in(
    place: Place,
    new: WrittenSet,
    of_files: Sequence[Problem],
    *,
    count: bool,
    replace_timetable: bool = False,
) -> "Intake":
    """Load a set into a store in one transaction.

    Raises:
        ProblemsError: Anything in it is wrong; the store is as it was.
        StoreError: The store cannot be used.
    """
    from dataclasses import replace

    from prepstore.ledger.movements import record
    from prepstore.ledger.save import save_rows
    from prepstore.movements import Booking
    from prepstore.shelf.timetabling import taken_out
    from prepstore.tables.merge import without

    def act(connection: "Connection") -> "Intake":
        stored = rows_in(connection)
        with at_work("Checking the tables"):
            taken = _looked_at(
                connection,
                (new, of_files),
                stored,
                count=count,
                replace_timetable=replace_timetable,
            )
        with at_work("Saving"):
            if taken.taken_out:
                changes = tuple(change for row in taken.taken_out for change in taken_out(row.text))
                gone = Booking(timetable=changes, reason="timetable replaced")
                taken = replace(taken, entry_of_taken_out=record(connection, gone, signed()))
                stored = without(stored, taken.taken_out)
            save_rows(connection, stored, {name: taken.rows[name] for name in {*new, "stock"}})
            booking = Booking(
                movements=taken.movements,
                orders=taken.orders,
                containers=taken.containers,
                reason="tables loaded",
            )
            if booking.is_empty:
                return taken
            entry = record(connection, booking, signed(), rows_follow=False)
        return replace(taken, entry=entry)

    return all_or_nothing(place, act)


def _looked_at(
    connection: "Connection",
    read: tuple[WrittenSet, Sequence[Problem]],
    stored: WrittenSet,
    *,
    count: bool,
    replace_timetable: bool,
) -> "Intake":
    """Return what a set leads to, laid over what a store has of it."""
    from dataclasses import replace

    from prepstore.tables.intake import intake
    from prepstore.tables.merge import sessions_taken_out, without

    new, of_files = read
    held = held_in(connection, stored)
    gone = sessions_taken_out(stored, new, held.booked) if replace_timetable else []
    taken = intake(new, without(stored, gone), of_files, held=held, count=count)
    taken.changes.removed["timetable"] += len(gone)
    return replace(taken, taken_out=tuple(gone))


def held_in(connection: "Connection", stored: WrittenSet) -> "Held":
    """Return what a store holds beside its rows.

    Balances, names that gave way to others, which of its sessions are booked out, and its waste
    containers.
    """
    from prepstore.ledger.containers import containers_held
    from prepstore.ledger.labels import relabelled
    from prepstore.ledger.lots import balances
    from prepstore.ledger.movements import booked_among
    from prepstore.ledger.names import recorded_names, renamed_by_now
    from prepstore.tables.intake import Held

    renamed = renamed_by_now(recorded_names(connection)) | relabelled(connection)
    sessions = [row.text.get("session", "") for row in stored["timetable"]]
    booked = booked_among(connection, sessions)
    return Held(balances(connection), renamed, booked, containers_held(connection), today())


def looked_through(
    place: Place,
    new: WrittenSet,
    of_files: Sequence[Problem],
    *,
    count: bool,
    replace_timetable: bool = False,
) -> "Intake":
    """Return what a load would do; nothing is saved, and there need be no store.

    Raises:
        ProblemsError, StoreError: As `take_in`.
    """
    from prepstore.tables.intake import NOTHING_HELD, intake

    if not is_there(place):
        return intake(new, {}, of_files, held=NOTHING_HELD, count=count)
    with reading(place) as connection:
        return _looked_at(
            connection,
            (new, of_files),
            rows_in(connection),
            count=count,
            replace_timetable=replace_timetable,
        )
