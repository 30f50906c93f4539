"""What commands ask of the rooms: rows from the store, a plan out of it."""

import datetime
import getpass
import os
from collections.abc import Sequence
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import typer

from prepstore.cli.progress import at_work
from prepstore.ledger.ahead import ask_ahead
from prepstore.ledger.load import rows_of, written_rows
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading
from prepstore.problems import Problem
from prepstore.written import WrittenRow

if TYPE_CHECKING:
    from sqlalchemy import Connection, Select

    from prepstore.movements import Signed
    from prepstore.planning.calendar import Period
    from prepstore.planning.plan import Plan
    from prepstore.settings import Settings
    from prepstore.shelf.past import Lots
    from prepstore.shelf.shelf import Department, Renamed, Shelf
    from prepstore.tables.readable import LeftOut


def stored_rows(place: Place) -> dict[str, list[WrittenRow]]:
    """Return every row of a store.

    Raises:
        StoreError: There is no store, or it cannot be read.
    """
    with reading(place) as connection:
        return rows_in(connection)


def rows_in(connection: "Connection", *tables: str) -> dict[str, list[WrittenRow]]:
    """Return the rows of some tables of a store (all if none is named).

    Lots and waste streams say what they hold.
    """
    from prepstore.ledger.containers import containers_held
    from prepstore.ledger.lots import balances
    from prepstore.tables.held_amounts import with_amounts_held
    from prepstore.tables.held_containers import with_containers_held

    rows = with_amounts_held(written_rows(connection, *tables), balances(connection))
    if "waste_streams" not in rows:
        return rows
    return with_containers_held(rows, containers_held(connection))


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
    """Return the local day, or the one that the environment variable PREPSTORE_TODAY sets.

    Set, it lets a script or an exercise with old tables run on the day that these are of.

    Raises:
        RefusedError: It is set to what is no date.
    """
    told = os.environ.get("PREPSTORE_TODAY")
    if told:
        from prepstore.problems import RefusedError

        try:
            return datetime.date.fromisoformat(told)
        except ValueError:
            what = f"PREPSTORE_TODAY is set to '{told}', which is not a date."
            raise RefusedError(f"{what} Write it like 2027-02-03, or unset it.") from None
    return datetime.datetime.now().astimezone().date()


def department_in(connection: "Connection", first_day: datetime.date) -> "Department":
    """Return all facts of a store, with the sessions from a day on that are booked out.

    What is wrong in it, as after a change by another program, is left out and told.

    Raises:
        ProblemsError: Something is wrong that cannot be left out.
    """
    department, left_out = _department_and_left_out(connection, first_day)
    tell_left_out(left_out)
    return department


def _department_and_left_out(
    connection: "Connection", first_day: datetime.date
) -> "tuple[Department, LeftOut]":
    from dataclasses import replace

    from prepstore.cli.kept_containers import containers_in
    from prepstore.ledger.lots import balances
    from prepstore.ledger.movements import booked_among
    from prepstore.ledger.reserved_labels import reserved_labels
    from prepstore.shelf.shelf import Department
    from prepstore.tables.readable import as_far_as_right

    ask_ahead(connection, rows_of(), _of_goods())
    known, left_out = as_far_as_right(written_rows(connection))
    sessions = [one.session for one in known.timetable.sessions if one.date >= first_day]
    timetable = replace(known.timetable, booked_out=booked_among(connection, sessions))
    stores = known.stores(balances(connection), containers_in(connection))
    department = Department(
        replace(stores, reserved=reserved_labels(connection)),
        renamed_in(connection),
        catalogue=known.catalogue,
        timetable=timetable,
    )
    return department, left_out


def _of_goods() -> "list[Select[Any]]":
    """Return what is asked of lots, containers, names and labels, whatever is to be done."""
    from prepstore.ledger.containers import held_and_open
    from prepstore.ledger.lots import all_balances
    from prepstore.ledger.names import all_names
    from prepstore.ledger.reserved_labels import all_labels

    return [all_balances(), all_names(), all_labels(), *held_and_open()]


def renamed_in(connection: "Connection") -> "Renamed":
    """Return what things are called now that bore other names before."""
    from prepstore.ledger.names import recorded_names, renamed_by_now

    return renamed_by_now(recorded_names(connection))


_TOLD_AT_MOST = 20


def tell_left_out(left_out: "LeftOut", of_lots: "Sequence[Problem]" = ()) -> None:
    """Say on standard error what is wrong with a store, and what is therefore not counted."""
    from prepstore.report.left_out import left_out_lines, lots_to_mend_lines

    for line in (
        *lots_to_mend_lines(of_lots, _TOLD_AT_MOST),
        *left_out_lines(left_out.problems, left_out.names, _TOLD_AT_MOST),
    ):
        typer.echo(line, err=True)


_OF_A_SHELF = (
    "items", "solutions", "solution_parts", "stock", "suppliers", "packs", "on_order",
    "waste_streams", "settings",
)  # fmt: skip


def shelf_in(connection: "Connection", then: "Lots | None" = None) -> "Shelf":
    """Return the lots of a store and what is in them, without what only a plan needs.

    A lot of which a cell cannot be read is there without that cell and in quarantine, so that it
    can be counted, corrected or discarded; what else is wrong is left out. Both are told. `then`
    are the lots as they stood on another day.

    Raises:
        ProblemsError: Something is wrong that cannot be left out.
    """
    from dataclasses import replace

    from prepstore.chemistry.materials import SolutionCircleError
    from prepstore.cli.kept_containers import containers_in
    from prepstore.ledger.lots import balances
    from prepstore.ledger.reserved_labels import reserved_labels
    from prepstore.shelf.shelf import Shelf
    from prepstore.stores import stores_of
    from prepstore.tables.name_checks import unknown_names
    from prepstore.tables.readable import as_far_as_right, lots_to_mend
    from prepstore.tables.understand import facts_of, goods_of, to_come, understand

    ask_ahead(connection, rows_of(*_OF_A_SHELF), _of_goods())
    written = written_rows(connection, *_OF_A_SHELF)
    written |= {"stock": list(then.rows)} if then is not None else {}
    held = balances(connection) if then is None else then.balances
    containers, reserved = containers_in(connection), reserved_labels(connection)
    known, problems = understand(written)
    if not problems and not unknown_names(written):
        with suppress(SolutionCircleError):
            lots, orders = facts_of(known["stock"]), to_come(known["on_order"])
            stores = stores_of(goods_of(known), lots, orders, held, containers)
            return Shelf(replace(stores, reserved=reserved), renamed_in(connection))
    mended, of_lots = lots_to_mend(written)
    result, left_out = as_far_as_right({**written, "stock": mended})
    tell_left_out(left_out, of_lots)
    stores = replace(result.stores(held, containers), reserved=reserved)
    return Shelf(stores, renamed_in(connection))


def refuse_old_name(connection: "Connection", name: str | None, *tables: str) -> None:
    """Refuse a name that a thing of some tables bore before and nothing bears now.

    Raises:
        RefusedError: It is one; says what the thing is called now.
    """
    from prepstore.cell_types import fold
    from prepstore.columns import NAME_COLUMN
    from prepstore.ledger.names import recorded_names, renamed_by_now
    from prepstore.problems import RefusedError

    if name is None:
        return
    renamed = renamed_by_now(recorded_names(connection))
    now = next((renamed[key] for table in tables if (key := (table, fold(name))) in renamed), None)
    rows = written_rows(connection, *tables) if now is not None else {}
    borne = (fold(row.text.get(NAME_COLUMN[row.table], "")) for of in rows.values() for row in of)
    if now is not None and fold(name) not in borne:
        raise RefusedError(f"'{name}' has been called {now.name} since {now.since}.")


def refuse_unknown(connection: "Connection", name: str | None, *tables: str) -> None:
    """Refuse a name that nothing in some tables bears.

    Raises:
        RefusedError: It is one; names the nearest, or what the thing is called now.
    """
    from prepstore.cell_types import fold
    from prepstore.columns import NAME_COLUMN
    from prepstore.problems import not_known

    if name is None:
        return
    refuse_old_name(connection, name, *tables)
    rows = written_rows(connection, *tables)
    borne = [row.text.get(NAME_COLUMN[row.table], "") for of in rows.values() for row in of]
    if fold(name) not in map(fold, borne):
        words = " or ".join(NAME_COLUMN[table] for table in tables)
        raise not_known(name, words, borne)


def settings_in(connection: "Connection") -> "Settings":
    """Return the department's settings."""
    from prepstore.tables.understand import read_settings, understand

    known, _ = understand(written_rows(connection, "settings"))
    return read_settings(known["settings"])[0]


def department_of(place: Place, day: datetime.date) -> "Department":
    """Return all that a store knows as of a day; what is left out of it is told.

    Raises:
        StoreError: There is no store, or it cannot be read.
        ProblemsError: As `department_in`.
    """
    from prepstore.planning.days import LOOK_BACK

    with at_work("Reading the store"), reading(place) as connection:
        department, left_out = _department_and_left_out(connection, day - LOOK_BACK)
    tell_left_out(left_out)
    return department


def planned(place: Place, period: "Period", day: datetime.date) -> "Plan":
    """Return the plan of a period as of a day, from what a store holds.

    Raises:
        StoreError: There is no store, or it cannot be read.
        ProblemsError: As `department_in`.
    """
    from prepstore.planning.days import LOOK_BACK
    from prepstore.report.left_out import left_out_warnings

    with at_work("Reading the store"), reading(place) as connection:
        department, left_out = _department_and_left_out(connection, day - LOOK_BACK)
    tell_left_out(left_out)
    with at_work(f"Planning {len(department.timetable.sessions)} sessions"):
        plan = department.plan(period, day)
    warnings = left_out_warnings(left_out.problems, left_out.names)
    return plan.with_warnings((*warnings, *plan.warnings))
