"""The way of every booking: the shelf read, what happens decided, recorded and told, as one."""

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from prepstore.cli.booking_options import Hand

if TYPE_CHECKING:
    import datetime

    from sqlalchemy import Connection

    from prepstore.movements import Booking
    from prepstore.shelf.shelf import Shelf

    Decide = Callable[[Shelf, datetime.date], Booking]
    """From the shelf and the day to what is recorded."""


def book(path: Path, hand: Hand, decide: "Decide", *, whole: bool = False) -> None:
    """Record what is decided from the shelf as it stands, and say what it was.

    Args:
        path: The store.
        hand: Who records it, of which day, and whether it is a trial.
        decide: What happens; called while nobody else can record anything.
        whole: Whether it needs all facts of the store, as a plan does.

    Raises:
        RefusedError: It cannot be done; nothing is recorded.
        StoreError, ProblemsError: There is no store, or what it holds is wrong.
    """
    from prepstore.cli.rooms import today

    day = hand.on or today()

    def decided(connection: "Connection") -> "tuple[Shelf, Booking]":
        from prepstore.cli.rooms import shelf_in, whole_shelf_in

        shelf = whole_shelf_in(connection, day) if whole else shelf_in(connection)
        return shelf, decide(shelf, day)

    record_decided(path, hand, decided)


def record_decided(
    path: Path,
    hand: Hand,
    decided: "Callable[[Connection], tuple[Shelf, Booking]]",
    *,
    is_told: bool = False,
) -> None:
    """Record a booking that is decided from what the store holds, and say what it was.

    What it was is not said where it is told already (`is_told`).

    Raises:
        RefusedError, StoreError, ProblemsError: As `book`.
    """
    from prepstore.cli.rooms import signed
    from prepstore.ledger.movements import record
    from prepstore.ledger.store_file import reading, writing
    from prepstore.report.booking_list import to_be_opened

    with reading(path) as connection:
        if hand.is_trial:
            shelf, booking = decided(connection)
            typer.echo("\n".join(_told(booking, shelf)))
            typer.echo("Nothing was recorded.")
            return
    with writing(path) as connection:
        shelf, booking = decided(connection)
        entry = record(connection, booking, signed(hand.by, hand.on))
    for line in () if is_told else (*_told(booking, shelf), *to_be_opened(booking, shelf)):
        typer.echo(line)
    typer.echo(f"Recorded as entry {entry}. To undo it: prepstore stock undo {entry}")


def _told(booking: "Booking", shelf: "Shelf") -> list[str]:
    from prepstore.report.booking_list import booking_lines
    from prepstore.report.name_list import name_change_lines
    from prepstore.report.order_list import order_change_lines

    return [
        *booking_lines(booking, shelf),
        *order_change_lines(booking.orders),
        *name_change_lines(booking.names, shelf.inventory),
    ]
