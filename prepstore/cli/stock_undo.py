"""The command that undoes an entry."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, DryRun, Hand, On
from prepstore.cli.bookings import Decided, of_lots, record_decided
from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import NameChange, SessionUse, TimetableChange
    from prepstore.report.booking_list import LotsBefore
    from prepstore.shelf.containers_undone import EntryOfContainers
    from prepstore.shelf.undoing import Entry


@answers
def undo(
    context: typer.Context,
    *,
    entry: Annotated[
        int, typer.Argument(min=1, max=999_999_999, help="The entry, as the history numbers it.")
    ],
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Undo an entry with a new one that reverses it; the history keeps both.

    Example: prepstore stock undo 17
    """
    store: Store = context.obj
    hand = Hand(by, on, dry_run)
    record_decided(store.place, hand, lambda connection: undone_in(connection, entry, hand))


def undone_in(connection: "Connection", number: int, hand: Hand) -> Decided:
    """Return what undoes an entry of a store.

    Raises:
        RefusedError: There is no such entry, or something stands in the way.
    """
    from prepstore.cli.rooms import department_in, shelf_in, today
    from prepstore.ledger.reserved_labels import recorded_labels
    from prepstore.shelf.reserving import label_changes_undone
    from prepstore.shelf.undoing import undone

    entry = _entry(connection, number)
    day = hand.on or today()
    shelf = department_in(connection, day) if entry.names else shelf_in(connection)
    booking = undone(
        entry,
        _names_back(connection, entry),
        _timetable_back(connection, number),
        label_changes_undone(number, recorded_labels(connection)),
    )
    return of_lots(shelf, booking, day, _before(connection, entry))


def _entry(connection: "Connection", number: int) -> "Entry":
    """Return all that was recorded with an entry, and what has happened to it since."""
    from prepstore.cell_types import fold
    from prepstore.ledger.lots import lot_cells
    from prepstore.ledger.movements import Asked, recorded, session_uses
    from prepstore.ledger.names import recorded_names
    from prepstore.ledger.orders import recorded_orders
    from prepstore.problems import RefusedError
    from prepstore.shelf.undoing import Entry

    uses = session_uses(connection, entry=number)
    movements = recorded(connection, Asked(entry=number))
    orders = recorded_orders(connection, entry=number)
    names = recorded_names(connection, entry=number)
    containers = _containers(connection, number)
    parts = (movements, uses, orders, names, containers.changes)
    if not any(parts) and not _is_of_other_kinds(connection, number):
        raise RefusedError(f"There is no entry {number}. See: prepstore stock history")
    lots = tuple(dict.fromkeys(one.movement.lot for one in movements))
    packs = {fold(one.change.pack) for one in orders}
    everything = recorded_orders(connection) if orders else []
    return Entry(
        number=number,
        movements=movements,
        uses=uses,
        of_session=session_uses(connection, session=uses[0].session) if uses else (),
        later_of_session=_later(connection, uses, number),
        of_lots=recorded(connection, Asked(lots=lots)) if lots else (),
        cells=lot_cells(connection, lots),
        orders=orders,
        of_orders=[one for one in everything if fold(one.change.pack) in packs],
        names=names,
        of_containers=containers,
    )


def _is_of_other_kinds(connection: "Connection", number: int) -> bool:
    """Return whether an entry changed the timetable, or labels that no lot has yet."""
    from prepstore.ledger.reserved_labels import recorded_labels
    from prepstore.ledger.timetable import recorded_timetable

    of_labels = any(one.entry == number for one in recorded_labels(connection))
    return of_labels or bool(recorded_timetable(connection, entry=number))


def _containers(connection: "Connection", number: int) -> "EntryOfContainers":
    """Return what an entry did to waste containers, and how these stand now."""
    from dataclasses import replace

    from prepstore.ledger.containers import (
        containers_held,
        empty_numbers,
        recorded_containers,
        recorded_empty,
    )
    from prepstore.shelf.containers_undone import NO_CONTAINER_CHANGES

    changes = recorded_containers(connection, entry=number)
    if not changes:
        return NO_CONTAINER_CHANGES
    touched = replace(NO_CONTAINER_CHANGES, changes=changes)
    history = recorded_containers(connection, containers=touched.labels)
    return replace(
        touched,
        history=[*history, *recorded_empty(connection)],
        held=containers_held(connection),
        empty=empty_numbers(connection),
    )


def _later(connection: "Connection", uses: "Sequence[SessionUse]", number: int) -> list[int]:
    """Return the entries of a session that count and came after one."""
    from prepstore.ledger.movements import entries_of_session
    from prepstore.shelf.undoing import later_entries

    if not uses:
        return []
    return later_entries(entries_of_session(connection, uses[0].session), number)


def _names_back(connection: "Connection", entry: "Entry") -> "tuple[NameChange, ...]":
    import datetime

    from prepstore.cli.rooms import department_in
    from prepstore.shelf.names import change_undone

    if not entry.names:
        return ()
    department = department_in(connection, datetime.date.max)
    return tuple(change_undone(department, one.change) for one in entry.names[::-1])


def _timetable_back(connection: "Connection", number: int) -> "tuple[TimetableChange, ...]":
    from prepstore.cli.rooms import renamed_in
    from prepstore.ledger.timetable import recorded_timetable, session_cells
    from prepstore.shelf.timetabling import changes_undone

    changes = recorded_timetable(connection, entry=number)
    cells = session_cells(connection, {one.change.session for one in changes})
    return changes_undone(changes, cells, renamed_in(connection))


def _before(connection: "Connection", entry: "Entry") -> "LotsBefore":
    """Return what the lots that an entry touched hold now, those that are gone included."""
    from prepstore.ledger.lots import balances
    from prepstore.report.booking_list import LotsBefore

    held = balances(connection, *entry.cells) if entry.cells else {}
    return LotsBefore(held, {lot: cells.get("item", "") for lot, cells in entry.cells.items()})
