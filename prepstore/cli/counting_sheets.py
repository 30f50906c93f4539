"""Counting by sheet: one is written to print and fill in, and read back as counts."""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from prepstore.cli.booking_options import Hand
from prepstore.cli.bookings import Decided, record_decided
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection


@dataclass(frozen=True, slots=True)
class Sheet:
    """A counting sheet: its file, what to count, and why."""

    path: Path
    place: str | None
    item: str | None
    reason: str | None


def count_by_sheet(store: Store, hand: Hand, sheet: Sheet) -> None:
    """Write a counting sheet that is not there yet; read back one that is, and record it.

    Raises:
        typer.BadParameter: It is no `.xlsx`, or is there and is to be written for a part.
        RefusedError: Nothing is to be counted, or something was recorded in the meantime.
        ProblemsError, StoreError, ReportError: The sheet or the store is wrong.
    """
    if sheet.path.suffix.lower() != ".xlsx":
        raise typer.BadParameter(f"--sheet {sheet.path} must end in .xlsx, since it is a workbook.")
    if not sheet.path.exists():
        _write_sheet(store, hand, sheet)
    elif sheet.place is not None or sheet.item is not None:
        what = f"{sheet.path} is there already, so it is read back and takes no --place or --item."
        raise typer.BadParameter(f"{what} Give a new file to write one.")
    else:
        _read_sheet(store, hand, sheet)


def _write_sheet(store: Store, hand: Hand, sheet: Sheet) -> None:
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.movements import last_movement
    from prepstore.ledger.store import reading
    from prepstore.report.workbook.counting import write_counting_sheet
    from prepstore.shelf.counting import to_be_counted
    from prepstore.shelf.using import quoted

    with reading(store.place) as connection:
        shelf = shelf_in(connection)
        last = last_movement(connection)
    lots = to_be_counted(shelf, sheet.place, sheet.item)
    write_counting_sheet(lots, sheet.path, store.place.name, hand.on or today(), last)
    some = f"{len(lots)} lot{'s' if len(lots) != 1 else ''}"
    typer.echo(f"Wrote {sheet.path} with {some}, by place.")
    typer.echo(f"Next: fill it in, then prepstore stock count --sheet {quoted(str(sheet.path))}")


def _read_sheet(store: Store, hand: Hand, sheet: Sheet) -> None:
    record_decided(store.place, hand, lambda connection: _sheet_count(connection, hand, sheet))


def _sheet_count(connection: "Connection", hand: Hand, sheet: Sheet) -> Decided:
    """Return what a sheet found, with each difference."""
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.movements import moved_after, recorded_of
    from prepstore.report.booking_list import count_lines
    from prepstore.shelf.counting import counted_by_sheet, recorded_as
    from prepstore.shelf.doubts import doubts_of, remarks_on
    from prepstore.tables.counting_sheet import read_counting_sheet

    shelf, day = shelf_in(connection), hand.on or today()
    lots = {held.label: held.material for held in shelf.lots.values()}
    filled = read_counting_sheet(sheet.path, lots)
    moved = moved_after(connection, filled.after_movement)
    histories = recorded_of(connection, [one.lot for one in filled.found])
    found = [(one.lot, one.amount, one.note) for one in filled.found]
    count = counted_by_sheet(shelf, found, moved, histories, day)
    booking = recorded_as(count.counts, sheet.reason or sheet.path.name)
    counts = len(count.counts)
    return Decided(
        booking,
        tuple(count_lines(count, shelf)),
        tuple(remarks_on(booking, shelf, day, today())),
        tuple(doubts_of(booking, shelf, day, today())),
        question=f"Record {counts} count{'s' if counts != 1 else ''}?",
    )
