"""What commands ask of the rooms: rows from the store, a set into it, a plan out of it."""

import datetime
import getpass
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from prepstore.cli.progress import at_work
from prepstore.ledger.load import written_rows
from prepstore.ledger.store_file import reading, writing
from prepstore.problems import Problem
from prepstore.written import WrittenRow, WrittenSet

if TYPE_CHECKING:
    from prepstore.facts import Inventory
    from prepstore.ledger.rows import Movement
    from prepstore.planning.calendar import Period
    from prepstore.planning.plan import Plan
    from prepstore.tables.intake import Intake, LotChange


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
    from prepstore.ledger.save import add_movements, replace_rows
    from prepstore.tables.intake import intake

    with writing(path) as connection:
        with at_work("Checking the tables"):
            taken = intake(new, written_rows(connection), of_files, count=count)
        with at_work("Saving"):
            replace_rows(connection, {name: taken.rows[name] for name in new})
            add_movements(connection, _movements(taken.lots))
    return taken


def _movements(changes: Iterable["LotChange"]) -> "list[Movement]":
    from prepstore.ledger.rows import Movement

    now = datetime.datetime.now(datetime.UTC)
    return [
        Movement(
            lot=change.lot,
            what="opening amount" if change.is_new else "counted",
            number=f"{change.number:f}",
            unit=change.unit,
            written=change.written,
            on_day=today().isoformat(),
            at_utc=now.isoformat(timespec="microseconds"),
            by=_who(),
        )
        for change in changes
    ]


def _who() -> str:
    try:
        return getpass.getuser()
    except OSError:  # a machine without a login name
        return "unknown"


def today() -> datetime.date:
    """Return the local day."""
    return datetime.datetime.now().astimezone().date()


def inventory_in(path: Path) -> "Inventory":
    """Return the checked facts of a store.

    Raises:
        StoreError: There is no store, or it cannot be read.
        ProblemsError: What it holds is wrong, as after a change by another program.
    """
    from prepstore.problems import ProblemsError
    from prepstore.tables.crosscheck import checked

    result = checked(stored_rows(path))
    if result.problems:
        raise ProblemsError(result.problems)
    return result.inventory


def planned(path: Path, period: "Period", day: datetime.date) -> "Plan":
    """Return the plan of a period as of a day, from what a store holds.

    Raises:
        StoreError, ProblemsError: As `inventory_in`.
    """
    from prepstore.planning.make_plan import plan_period

    with at_work("Reading the store"):
        inventory = inventory_in(path)
    with at_work(f"Planning {len(inventory.sessions)} sessions"):
        return plan_period(inventory, period, day)
