"""Counting by sheet: one is written to print and fill in, and read back as counts."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from prepstore.cli.booking_options import Hand
from prepstore.cli.bookings import record_decided
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import Booking
    from prepstore.shelf.counting import SheetCount
    from prepstore.shelf.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Sheet:
    """A counting sheet: its file, what to count, why, and whether to record without asking."""

    path: Path
    place: str | None
    item: str | None
    reason: str | None
    is_agreed: bool


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
    from prepstore.ledger.store_file import reading
    from prepstore.report.workbook.counting import write_counting_sheet
    from prepstore.shelf.counting import to_be_counted
    from prepstore.shelf.using import quoted

    with reading(store.path) as connection:
        shelf = shelf_in(connection)
        last = last_movement(connection)
    lots = to_be_counted(shelf, sheet.place, sheet.item)
    write_counting_sheet(lots, sheet.path, store.path.name, hand.on or today(), last)
    some = f"{len(lots)} lot{'s' if len(lots) != 1 else ''}"
    typer.echo(f"Wrote {sheet.path} with {some}, by place.")
    typer.echo(f"Next: fill it in, then prepstore stock count --sheet {quoted(str(sheet.path))}")


def _read_sheet(store: Store, hand: Hand, sheet: Sheet) -> None:
    from prepstore.ledger.store_file import reading
    from prepstore.movements import Booking
    from prepstore.problems import RefusedError
    from prepstore.report.booking_list import count_lines

    with reading(store.path) as connection:
        shelf, shown, reason = _sheet_count(connection, sheet)
    typer.echo("\n".join(count_lines(shown, shelf)))
    if hand.is_trial or not shown.counts or not _is_agreed(sheet, len(shown.counts)):
        typer.echo("Nothing was recorded.")
        return

    def decided(connection: "Connection") -> "tuple[Shelf, Booking]":
        shelf, count, _ = _sheet_count(connection, sheet)
        if count != shown:
            raise RefusedError("Something was recorded in the meantime. Read the sheet again.")
        return shelf, Booking(movements=count.counts, reason=reason)

    record_decided(store.path, hand, decided, is_told=True)


def _is_agreed(sheet: Sheet, counts: int) -> bool:
    if sheet.is_agreed or not sys.stdin.isatty():
        return True
    return typer.confirm(f"Record {counts} count{'s' if counts != 1 else ''}?")


def _sheet_count(connection: "Connection", sheet: Sheet) -> "tuple[Shelf, SheetCount, str]":
    """Return the shelf, what a sheet found on it, and the reason that is recorded with that."""
    from prepstore.cli.rooms import shelf_in
    from prepstore.ledger.movements import moved_after
    from prepstore.shelf.counting import counted_by_sheet
    from prepstore.tables.counting_sheet import read_counting_sheet

    shelf = shelf_in(connection)
    lots = {held.label: held.material for held in shelf.lots.values()}
    filled = read_counting_sheet(sheet.path, lots)
    found = [(one.lot, one.amount) for one in filled.found]
    count = counted_by_sheet(shelf, found, moved_after(connection, filled.after_movement))
    notes = [f"{one.lot}: {one.note}" for one in filled.found if one.note]
    return shelf, count, "; ".join([sheet.reason or sheet.path.name, *notes])
