"""Commands for what time does to the shelf: expiry, peroxides, and the test for them."""

import datetime
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, DryRun, Hand, LotLabel, On, Reason
from prepstore.cli.list_options import AsCsv, AsJson, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from prepstore.amounts import Concentration

AsOf = Annotated[
    datetime.date | None,
    typer.Option(
        "--on", parser=read_day, metavar="DATE", help="The day it is asked for (default: today)."
    ),
]


@answers
def expiry(
    context: typer.Context,
    *,
    within: Annotated[
        int,
        typer.Option(
            "--within", min=0, max=3660, metavar="DAYS", help="How many days ahead to look."
        ),
    ] = 90,
    on: AsOf = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show what will be out of date before the timetable uses it, and what that is worth.

    Example: prepstore stock expiry --within 60
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cli.rooms import department_in, today
    from prepstore.ledger.store import reading
    from prepstore.report.expiry_list import EXPIRY_COLUMNS, expiry_lines, expiry_rows
    from prepstore.shelf.expiry import losses

    store: Store = context.obj
    day = on or today()
    with reading(store.place) as connection:
        department = department_in(connection, day)
    found = losses(department, day, within)
    last, currency = day + datetime.timedelta(days=within), department.catalogue.settings.currency
    lines, rows = partial(expiry_lines, found, currency, last), partial(expiry_rows, found)
    typer.echo(in_form(form, EXPIRY_COLUMNS, lines=lines, rows=rows))


@answers
def peroxides(
    context: typer.Context,
    *,
    within: Annotated[
        int | None,
        typer.Option(
            "--within",
            min=0,
            max=3660,
            metavar="DAYS",
            help="Only what is due within so many days, or overdue.",
        ),
    ] = None,
    on: AsOf = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show which containers are due for a peroxide test or to be discarded, soonest first.

    Example: prepstore stock peroxides --within 30
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.store import reading
    from prepstore.report import expiry_list
    from prepstore.shelf.peroxides import not_watched, to_test

    store: Store = context.obj
    day = on or today()
    with reading(store.place) as connection:
        shelf = shelf_in(connection)
    found = to_test(shelf)
    if within is not None:
        last = day + datetime.timedelta(days=within)
        found = [one for one in found if one.is_due_by(last)]
    hints = expiry_list.not_watched_lines(not_watched(shelf, day))
    lines = [*expiry_list.peroxide_lines(found, day), *hints, expiry_list.CAUTION]
    rows = partial(expiry_list.peroxide_rows, found, day)
    typer.echo(in_form(form, expiry_list.PEROXIDE_COLUMNS, lines=lambda: lines, rows=rows))


@answers
def record_test(
    context: typer.Context,
    *,
    lot: LotLabel,
    result: Annotated[
        str, typer.Option("--result", help="What was found, such as 5 mg/L, or: negative.")
    ],
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record a peroxide test; one above the limit puts the lot into quarantine.

    Example: prepstore stock test L0243 --result "5 mg/L"
    """
    from prepstore.cli.bookings import book
    from prepstore.cli.rooms import settings_in, today
    from prepstore.ledger.store import reading
    from prepstore.report.expiry_list import CAUTION, above_limit_line
    from prepstore.shelf.peroxides import PeroxideTest, result_recorded

    store: Store = context.obj
    test = PeroxideTest(on or today(), _result(result), (reason or "").strip())
    with reading(store.place) as connection:
        limit = settings_in(connection).peroxide_limit
    book(
        store.place,
        Hand(by, on, dry_run),
        lambda shelf, _: result_recorded(shelf.lot(lot), test, limit),
    )
    if test.is_above(limit):
        typer.echo(above_limit_line(limit))
        return
    if not dry_run:
        typer.echo(_next_test(store, lot))
    typer.echo(CAUTION)


def _next_test(store: Store, lot: str) -> str:
    """Return a line on when a lot is to be tested again, as the store has it now."""
    from prepstore.cli.rooms import shelf_in
    from prepstore.ledger.store import reading
    from prepstore.report.expiry_list import next_test_line
    from prepstore.shelf.peroxides import due_of

    with reading(store.place) as connection:
        shelf = shelf_in(connection)
    held = shelf.lot(lot)
    return next_test_line(held.material.name, due_of(shelf, held))


def _result(text: str) -> "Concentration | None":
    """Return what a test found; None for nothing.

    Raises:
        RefusedError: It is neither a concentration nor a word for nothing.
    """
    from prepstore.problems import RefusedError
    from prepstore.tables.units import read_concentration
    from prepstore.tables.unreadable import UnreadableError

    if text.strip().casefold() in _NOTHING:
        return None
    try:
        return read_concentration(text.strip())
    except UnreadableError as error:
        what = f"'{text}' {error.what}"
        raise RefusedError(f"{what} Write it like 5 mg/L, or: negative.") from error


_NOTHING = ("negative", "none", "0", "0 mg/l", "0 ppm")
"""What people write for a test that showed nothing."""
