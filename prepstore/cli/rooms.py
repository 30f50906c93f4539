"""What commands ask of the rooms: rows from the store, a set into it, a plan out of it."""

import datetime
import getpass
import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from prepstore.cli.progress import at_work
from prepstore.ledger.load import written_rows
from prepstore.ledger.store_file import reading, writing
from prepstore.problems import Problem
from prepstore.written import WrittenRow, WrittenSet

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.facts import Inventory, Settings
    from prepstore.movements import Signed
    from prepstore.planning.calendar import Period
    from prepstore.planning.plan import Plan
    from prepstore.shelf.shelf import Shelf
    from prepstore.tables.intake import Held, Intake


def stored_rows(path: Path) -> dict[str, list[WrittenRow]]:
    """Return every row of a store.

    Raises:
        StoreError: There is no store, or it cannot be read.
    """
    with reading(path) as connection:
        return written_rows(connection)


def take_in(path: Path, new: WrittenSet, of_files: Sequence[Problem], *, count: bool) -> "Intake":
    """Load a set into a store in one transaction.

    Raises:
        ProblemsError: Anything in it is wrong; the store is as it was.
        StoreError: The store cannot be used.
    """
    from prepstore.ledger.movements import record
    from prepstore.ledger.save import save_rows
    from prepstore.movements import Booking
    from prepstore.tables.intake import intake

    with writing(path) as connection:
        held = written_rows(connection)
        with at_work("Checking the tables"):
            taken = intake(new, held, of_files, held=held_in(connection), count=count)
        with at_work("Saving"):
            save_rows(connection, held, {name: taken.rows[name] for name in {*new, "stock"}})
            booking = Booking(
                movements=taken.movements, orders=taken.orders, reason="tables loaded"
            )
            if booking.movements or booking.orders:
                record(connection, booking, signed(), rows_follow=False)
    return taken


def held_in(connection: "Connection") -> "Held":
    """Return what a store holds beside its rows: balances, and names that gave way to others."""
    from prepstore.ledger.movements import balances
    from prepstore.ledger.names import recorded_names, renamed_by_now
    from prepstore.tables.intake import Held

    return Held(balances(connection), renamed_by_now(recorded_names(connection)))


def looked_through(
    path: Path, new: WrittenSet, of_files: Sequence[Problem], *, count: bool
) -> "Intake":
    """Return what a load would do; nothing is saved, and there need be no store.

    Raises:
        ProblemsError, StoreError: As `take_in`.
    """
    from prepstore.tables.intake import NOTHING_HELD, intake

    if not path.exists():
        return intake(new, {}, of_files, held=NOTHING_HELD, count=count)
    with reading(path) as connection:
        held = written_rows(connection)
        return intake(new, held, of_files, held=held_in(connection), count=count)


def signed(by: str | None = None, on_day: datetime.date | None = None) -> "Signed":
    """Return who records something now (the login name unless one is given), and of which day."""
    from prepstore.movements import Signed

    now = datetime.datetime.now(datetime.UTC).isoformat(timespec="microseconds")
    return Signed(by=by or _who(), on_day=on_day or today(), at_utc=now)


def _who() -> str:
    try:
        return getpass.getuser()
    except (ImportError, KeyError, OSError):  # which one depends on system and version
        return f"user {os.getuid()}" if hasattr(os, "getuid") else "unknown"


def today() -> datetime.date:
    """Return the local day."""
    return datetime.datetime.now().astimezone().date()


def inventory_in(connection: "Connection", first_day: datetime.date) -> "Inventory":
    """Return the checked facts of a store, with the sessions from a day on that are booked out.

    Raises:
        ProblemsError: What it holds is wrong, as after a change by another program.
    """
    from dataclasses import replace

    from prepstore.ledger.movements import booked_sessions
    from prepstore.problems import ProblemsError
    from prepstore.tables.crosscheck import checked

    result = checked(written_rows(connection))
    if result.problems:
        raise ProblemsError(result.problems)
    return replace(result.inventory, booked_out=booked_sessions(connection, first_day))


_OF_A_SHELF = (
    "items", "solutions", "solution_parts", "stock", "packs", "on_order", "waste_streams"
)  # fmt: skip


def shelf_in(connection: "Connection") -> "Shelf":
    """Return the lots of a store and what is in them, without what only a plan needs.

    Raises:
        ProblemsError: What the store holds is wrong, as after a change by another program.
    """
    from prepstore.chemistry.materials import materials
    from prepstore.facts import Settings
    from prepstore.ledger.movements import balances
    from prepstore.problems import ProblemsError
    from prepstore.shelf.shelf import shelf_of
    from prepstore.tables.understand import inventory_of, understand

    known, problems = understand(written_rows(connection, *_OF_A_SHELF))
    if problems:
        raise ProblemsError(problems)
    inventory = inventory_of(known, Settings())
    return shelf_of(inventory, materials(inventory), balances(connection))


def settings_in(connection: "Connection") -> "Settings":
    """Return the department's settings."""
    from prepstore.tables.understand import read_settings, understand

    known, _ = understand(written_rows(connection, "settings"))
    return read_settings(known["settings"])[0]


def whole_shelf_in(connection: "Connection", first_day: datetime.date) -> "Shelf":
    """Return the lots of a store beside all facts, with the sessions from a day on that are booked.

    Raises:
        ProblemsError: As `inventory_in`.
    """
    from prepstore.chemistry.materials import materials
    from prepstore.ledger.movements import balances
    from prepstore.shelf.shelf import shelf_of

    inventory = inventory_in(connection, first_day)
    return shelf_of(inventory, materials(inventory), balances(connection))


def planned(path: Path, period: "Period", day: datetime.date) -> "Plan":
    """Return the plan of a period as of a day, from what a store holds.

    Raises:
        StoreError: There is no store, or it cannot be read.
        ProblemsError: As `inventory_in`.
    """
    from prepstore.planning.make_plan import plan_period

    with at_work("Reading the store"), reading(path) as connection:
        inventory = inventory_in(connection, day)
    with at_work(f"Planning {len(inventory.sessions)} sessions"):
        return plan_period(inventory, period, day)
