"""Commands for orders: place, due, cancel, list, history, and files for suppliers."""

import datetime
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, DryRun, Hand, Reason, one_line
from prepstore.cli.help_words import Commands
from prepstore.cli.list_options import AsCsv, AsJson, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import From, To, Today, Week, period_of, read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlalchemy import Connection

    from prepstore.cli.bookings import Decided
    from prepstore.facts import OnOrder
    from prepstore.movements import OrderChange
    from prepstore.planning.calendar import Period
    from prepstore.planning.orders import OrderRow
    from prepstore.planning.plan import Plan

app = Commands(help="What to order, and what is on order.", no_args_is_help=True)

Supplier = Annotated[
    str | None, typer.Option("--supplier", metavar="NAME", help="Only this supplier.")
]
OfPack = Annotated[str | None, typer.Option("--pack", metavar="CODE", help="Only this pack.")]
Reference = Annotated[
    str | None, typer.Argument(metavar="REFERENCE", help="The order's reference.")
]


@app.command("export")
@answers
def export(
    context: typer.Context,
    *,
    out: Annotated[Path, typer.Option("--out", help="The folder for the files.")],
    week: Week = None,
    first: From = None,
    last: To = None,
    today: Today = None,
) -> None:
    """Write a week's orders as a CSV file and a workbook for each supplier.

    Example: prepstore order export --week 2027-W05 --out orders/
    """
    from prepstore.cli.plan import planned_by_options
    from prepstore.report.order_files import write_orders

    made = planned_by_options(context, week, first, last, today)
    files = write_orders(made, out)
    for file, rows in files.items():
        typer.echo(f"Wrote {file}.")
        typer.echo(f"Wrote {_write_document(made, rows, file, context.obj)}.")
    if files:
        typer.echo("Next: prepstore order place records what you order, so that plans count it.")
    else:
        typer.echo("There is nothing to order.")


def _write_document(made: "Plan", rows: "list[OrderRow]", file: Path, store: Store) -> Path:
    """Write a supplier's order as a workbook to send, beside its CSV; return where."""
    from prepstore import __version__
    from prepstore.report.workbook.order_document import write_order_document
    from prepstore.report.workbook.workbook import Origin

    document = file.with_suffix(".xlsx")
    write_order_document(made, rows, document, Origin(__version__, store.place.name))
    return document


@app.command("place")
@answers
def place(
    context: typer.Context,
    *,
    week: Week = None,
    first: From = None,
    last: To = None,
    supplier: Supplier = None,
    reference: Annotated[
        str | None,
        typer.Option(
            "--reference",
            parser=one_line,
            metavar="TEXT",
            help="The order's reference (default: the supplier and the day).",
        ),
    ] = None,
    today: Today = None,
    reason: Reason = None,
    by: By = None,
    yes: Annotated[bool, typer.Option("--yes", help="Place them without asking.")] = False,
    dry_run: DryRun = False,
) -> None:
    """Show a week's orders and record that they were placed, so that plans count them.

    Example: prepstore order place --week 2027-W05 --supplier "Harbour Chemicals"
    """
    period = period_of(week, first, last)
    from prepstore.cli.bookings import record_decided
    from prepstore.cli.rooms import today as real_day

    day = today or real_day()
    asked = _Asked(period, day, supplier, reference, reason)
    store: Store = context.obj
    hand = Hand(by, day, dry_run, is_agreed=yes)
    record_decided(store.place, hand, lambda connection: _placed(connection, asked))


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked to be ordered: of which period's plan made on which day, and its name."""

    period: "Period"
    day: datetime.date
    supplier: str | None
    reference: str | None
    reason: str | None


def _placed(connection: "Connection", asked: _Asked) -> "Decided":
    """Return the orders of a plan that are to be placed, shown by supplier."""
    from prepstore.cli.bookings import Decided
    from prepstore.cli.rooms import department_in
    from prepstore.cli.rooms import today as real_day
    from prepstore.movements import Booking
    from prepstore.report.order_list import order_change_lines, to_place_lines
    from prepstore.shelf.deliveries import placed, to_place
    from prepstore.shelf.doubts import doubts_of_orders

    department = department_in(connection, asked.day)
    plan = department.plan(asked.period, asked.day)
    wanted = to_place(plan, asked.supplier, department.renamed)
    changes = placed(wanted.rows, department.stores.on_order, asked.day, asked.reference)
    currency = department.catalogue.settings.currency
    shown = [*to_place_lines(wanted, currency), *order_change_lines(changes)]
    if not changes:
        shown.append("There is nothing to order.")
    booking = Booking(orders=changes, reason=asked.reason)
    return Decided(
        booking,
        tuple(shown),
        doubts=tuple(doubts_of_orders(booking, asked.day, real_day())),
        question="Place these orders?",
    )


def _record(
    store: Store,
    hand: Hand,
    decide: "Callable[[Connection], tuple[OrderChange, ...]]",
    reason: str | None,
) -> None:
    """Record what is decided of orders, while nobody else can, and say what it was."""
    from prepstore.cli.bookings import Decided, record_decided
    from prepstore.cli.rooms import today
    from prepstore.movements import Booking
    from prepstore.report.order_list import order_change_lines
    from prepstore.shelf.doubts import doubts_of_orders, remarks_on_orders

    def decided(connection: "Connection") -> "Decided":
        booking = Booking(orders=decide(connection), reason=reason)
        return Decided(
            booking,
            tuple(order_change_lines(booking.orders)),
            tuple(remarks_on_orders(booking, hand.on or today(), today())),
            tuple(doubts_of_orders(booking, hand.on or today(), today())),
        )

    record_decided(store.place, hand, decided)


def _on_order(connection: "Connection", reference: str | None, pack: str | None) -> "list[OnOrder]":
    from prepstore.cli.rooms import shelf_in
    from prepstore.shelf.deliveries import Wanted

    return Wanted(reference, pack).among(shelf_in(connection).stores.on_order)


def _check_named(reference: str | None, pack: str | None) -> None:
    if reference is None and pack is None:
        raise typer.BadParameter("Name the order by its reference, or the pack with --pack.")


@app.command("due")
@answers
def due(
    context: typer.Context,
    *,
    reference: Reference = None,
    to: Annotated[
        datetime.date,
        typer.Option("--to", parser=read_day, metavar="DATE", help="The day it is due now."),
    ],
    pack: OfPack = None,
    reason: Reason = None,
    by: By = None,
    on: Annotated[
        datetime.date | None,
        typer.Option("--on", parser=read_day, metavar="DATE", help="The day (default: today)."),
    ] = None,
    dry_run: DryRun = False,
) -> None:
    """Record that an order will come on another day.

    Example: prepstore order due "PO 1187" --to 2027-02-08
    """
    _check_named(reference, pack)

    def decide(connection: "Connection") -> "tuple[OrderChange, ...]":
        from prepstore.shelf.deliveries import due_changed

        return due_changed(_on_order(connection, reference, pack), to)

    store: Store = context.obj
    _record(store, Hand(by, on, dry_run), decide, reason)


@app.command("cancel")
@answers
def cancel(
    context: typer.Context,
    *,
    reference: Reference = None,
    pack: OfPack = None,
    packs: Annotated[
        int | None, typer.Option("--packs", min=1, help="How many packs (default: all).")
    ] = None,
    reason: Reason = None,
    by: By = None,
    on: Annotated[
        datetime.date | None,
        typer.Option("--on", parser=read_day, metavar="DATE", help="The day (default: today)."),
    ] = None,
    dry_run: DryRun = False,
) -> None:
    """Record that an order will not come, all of it or some packs.

    Example: prepstore order cancel "PO 1187" --pack HC-1021-1KG --packs 1
    """
    _check_named(reference, pack)

    def decide(connection: "Connection") -> "tuple[OrderChange, ...]":
        from prepstore.shelf.deliveries import cancelled

        return cancelled(_on_order(connection, reference, pack), packs)

    store: Store = context.obj
    _record(store, Hand(by, on, dry_run), decide, reason)


@app.command("list")
@answers
def list_orders(
    context: typer.Context,
    *,
    supplier: Supplier = None,
    overdue: Annotated[
        bool, typer.Option("--overdue", help="Only what should have come already.")
    ] = False,
    today: Today = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """List what is on order: what, from whom, when it is due, and at which price.

    Example: prepstore order list --overdue
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cell_types import fold
    from prepstore.cli.rooms import settings_in, shelf_in
    from prepstore.cli.rooms import today as real_day
    from prepstore.ledger.store import reading
    from prepstore.report.order_list import ON_ORDER_COLUMNS, on_order_lines, on_order_rows

    store: Store = context.obj
    with reading(store.place) as connection:
        stores = shelf_in(connection).stores
        currency = settings_in(connection).currency
    rows = [
        row
        for row in on_order_rows(stores, today or real_day())
        if (supplier is None or fold(row["supplier"]) == fold(supplier))
        and (row["overdue"] or not overdue)
    ]
    lines = partial(on_order_lines, rows, currency)
    typer.echo(in_form(form, ON_ORDER_COLUMNS, lines=lines, rows=lambda: rows))


@app.command("history")
@answers
def order_history(
    context: typer.Context,
    *,
    reference: Reference = None,
    pack: OfPack = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show what happened to orders: placed, due changed, arrived, cancelled; who and when.

    Example: prepstore order history "PO 1187"
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cell_types import fold
    from prepstore.ledger.orders import recorded_orders
    from prepstore.ledger.store import reading
    from prepstore.report.order_list import (
        ORDER_HISTORY_COLUMNS,
        order_history_lines,
        order_history_rows,
    )

    store: Store = context.obj
    with reading(store.place) as connection:
        found = [
            one
            for one in recorded_orders(connection)
            if (reference is None or fold(one.change.reference) == fold(reference))
            and (pack is None or fold(one.change.pack) == fold(pack))
        ]
    lines, rows = partial(order_history_lines, found), partial(order_history_rows, found)
    typer.echo(in_form(form, ORDER_HISTORY_COLUMNS, lines=lines, rows=rows))
