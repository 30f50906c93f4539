"""Commands for batches that were made, and for counts."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import (
    AtPlace,
    By,
    DryRun,
    Hand,
    NewLabel,
    On,
    Reason,
    Used,
    amounts_by_item,
    written_amount,
)
from prepstore.cli.bookings import Decided, book_from_all, of_lots, record_decided
from prepstore.cli.counting_sheets import Sheet, count_by_sheet
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import Week, read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import Booking
    from prepstore.shelf.shelf import Department


@answers
def make(
    context: typer.Context,
    *,
    solution: Annotated[str, typer.Argument(help="The solution that was made.")],
    week: Week = None,
    make_on: Annotated[
        datetime.date | None,
        typer.Option(
            "--planned-for",
            parser=read_day,
            metavar="DATE",
            help="The day on which the plan makes the batch.",
        ),
    ] = None,
    volume: Annotated[
        str | None, typer.Option("--volume", metavar="AMOUNT", help="Any volume, without a plan.")
    ] = None,
    lot: NewLabel = None,
    place: AtPlace = None,
    used: Used = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record a batch that was made: its parts out of their lots, the solution as a new lot.

    Example: prepstore stock make "hydrochloric acid 2 mol/L" --week 2027-W05
    """
    if (week is None) == (volume is None):
        raise typer.BadParameter("Give either --week, for a batch of its plan, or --volume.")
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.making import NewBottle, batch_of, made, solution_named, volume_of

    def decide(shelf: "Department", day: datetime.date) -> "Booking":
        wanted = solution_named(shelf, solution)
        if week is not None:
            batch = batch_of(shelf.plan(week, day), wanted, make_on)
        else:
            asked = quantity(shelf.material(solution), written_amount(volume or ""))
            batch = volume_of(shelf, wanted, asked)
        went_in = amounts_by_item(shelf, used or [])
        return made(shelf, batch, went_in, NewBottle(day, lot, place))

    store: Store = context.obj
    book_from_all(store.place, Hand(by, on, dry_run), decide)


@answers
def count(
    context: typer.Context,
    *,
    lot: Annotated[str | None, typer.Argument(metavar="LOT", help="A lot's label.")] = None,
    amount: Annotated[
        str | None, typer.Argument(help="How much was found; 0 g is allowed.")
    ] = None,
    sheet: Annotated[
        Path | None,
        typer.Option("--sheet", metavar="FILE", help="A counting sheet: written, or read back."),
    ] = None,
    place: Annotated[
        str | None, typer.Option("--place", help="Only this place, when a sheet is written.")
    ] = None,
    item: Annotated[
        str | None, typer.Option("--item", help="Only this item, when a sheet is written.")
    ] = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    yes: Annotated[bool, typer.Option("--yes", help="Record a sheet without asking.")] = False,
    dry_run: DryRun = False,
) -> None:
    """Record what a count of the shelf found: for one lot, or on a counting sheet.

    A sheet that is not there yet is written; one that has been filled in is read back.

    Example: prepstore stock count L0236 "1.2 L" --reason "spilt some"
    """
    store: Store = context.obj
    hand = Hand(by, on, dry_run, is_agreed=yes)
    if sheet is not None:
        if lot is not None:
            raise typer.BadParameter("Give either a lot or --sheet, not both.")
        count_by_sheet(store, hand, Sheet(sheet, place, item, reason))
        return
    if lot is None or amount is None:
        raise typer.BadParameter("Name the lot and how much was found, or give --sheet.")
    record_decided(
        store.place, hand, lambda connection: _count_of(connection, hand, (lot, amount), reason)
    )


def _count_of(
    connection: "Connection", hand: Hand, found: tuple[str, str], reason: str | None
) -> Decided:
    """Return the count of one lot, as of the day on which it was counted."""
    from dataclasses import replace

    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.movements import recorded_of
    from prepstore.report.booking_list import standing_on_a_count
    from prepstore.shelf.asked import quantity
    from prepstore.shelf.counting import counted, recorded_as

    lot, amount = found
    shelf, day = shelf_in(connection), hand.on or today()
    held = shelf.lot(lot)
    asked = quantity(held.material, written_amount(amount), may_be_nothing=True)
    (history,) = recorded_of(connection, [held.label]).values()
    count = counted(held, asked, history, day)
    made = of_lots(shelf, recorded_as([count], reason), day)
    return replace(made, remarks=(*standing_on_a_count(count, held, day), *made.remarks))
