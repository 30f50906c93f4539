"""The command that sets right what stands on the row of a lot."""

from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import (
    Containers,
    Hand,
    LotLabel,
    by_hand,
    line_option,
    one_line,
)
from prepstore.cli.bookings import Decided, of_lots, record_decided
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.shelf.correcting import Right

NOTHING = "none"
"""What is typed for a cell that is to be blank."""


def _day_or_none(text: str) -> str:
    return "" if text.strip().casefold() == NOTHING else read_day(text).isoformat()


def _line_or_none(text: str) -> str:
    return "" if text.strip().casefold() == NOTHING else one_line(text)


@answers
@by_hand
def correct(
    context: typer.Context,
    *,
    lot: LotLabel,
    label: Annotated[str | None, line_option("--label", "LABEL", "What is written on it.")] = None,
    expiry: Annotated[
        str | None,
        typer.Option(
            "--expiry", parser=_day_or_none, metavar="DATE", help="Last day printed on it, or none."
        ),
    ] = None,
    opened: Annotated[
        str | None,
        typer.Option(
            "--opened", parser=_day_or_none, metavar="DATE", help="Day it was opened, or none."
        ),
    ] = None,
    place: Annotated[
        str | None,
        typer.Option(
            "--place", parser=_line_or_none, metavar="PLACE", help="Where it is, or none."
        ),
    ] = None,
    containers: Containers = None,
    batch_number: Annotated[
        str | None,
        typer.Option(
            "--batch-number",
            parser=_line_or_none,
            metavar="NUMBER",
            help="The supplier's batch number on the label, or none.",
        ),
    ] = None,
    hand: Hand,
) -> None:
    """Correct what is recorded about a lot: label, dates, place, containers, batch number.

    Example: prepstore stock correct L0236 --expiry 2028-06-30 --reason "read wrongly"
    """
    from prepstore.shelf.correcting import Right

    right = Right(
        label=label,
        expiry=expiry,
        opened=opened,
        place=place,
        containers=containers,
        batch_number=batch_number,
    )
    if label is None and not right.cells:
        raise typer.BadParameter("Say what is right, such as --expiry 2028-06-30.")
    store: Store = context.obj
    record_decided(store.place, hand, lambda connection: _corrected(connection, hand, lot, right))


def _corrected(connection: "Connection", hand: Hand, lot: str, right: "Right") -> Decided:
    from prepstore.cell_types import fold
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.lots import lot_cells
    from prepstore.shelf.correcting import corrected

    shelf = shelf_in(connection)
    held = shelf.lot(lot)
    (cells,) = lot_cells(connection, [fold(held.label)]).values()
    booking = corrected(shelf, held, cells, right, hand.reason)
    return of_lots(shelf, booking, hand.on or today())
