"""The command for a collection: the list that goes with the carrier, and what is taken away."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, Hand, On, Reason
from prepstore.cli.bookings import Decided, record_decided
from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.report.consignment import ConsignedStream
    from prepstore.shelf.waste_containers import Standing


@answers
def collect(
    context: typer.Context,
    *,
    names: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="CONTAINER_OR_STREAM",
            help="Containers, or streams for their sealed ones (default: every sealed one).",
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "--out",
            help="The list, .xlsx or .pdf (default: collection-DATE.xlsx in this folder).",
        ),
    ] = None,
    yes: Annotated[bool, typer.Option("--yes", help="Record it without asking.")] = False,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Write the list; record nothing.")
    ] = False,
) -> None:
    """Write the list for the carrier, and record that the containers were collected.

    The list is a workbook or a PDF with a CSV beside it, written before anything is recorded.

    Example: prepstore waste collect --on 2027-03-19
    """
    if out is not None and out.suffix.lower() not in (".xlsx", ".pdf"):
        what = f"--out {out} must end in .xlsx or .pdf, since it is a workbook or a PDF."
        raise typer.BadParameter(what)
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.store import reading
    from prepstore.shelf.waste_containers import to_be_collected

    store: Store = context.obj
    day = on or today()
    with reading(store.place) as connection:
        taken = to_be_collected(shelf_in(connection).stores, names or [])
        streams = _consigned(connection, taken)
    _write(streams, out or Path(f"collection-{day}.xlsx"), day, store)
    hand = Hand(by, on, is_trial=dry_run, is_agreed=yes)
    record_decided(store.place, hand, lambda connection: _decided(connection, names or [], reason))


def _decided(connection: "Connection", names: list[str], reason: str | None) -> Decided:
    from dataclasses import replace

    from prepstore.cli.rooms import shelf_in
    from prepstore.report.consignment import consignment_lines
    from prepstore.shelf.waste_containers import collected, to_be_collected

    taken = to_be_collected(shelf_in(connection).stores, names)
    shown = tuple(consignment_lines(_consigned(connection, taken)))
    count = f"{len(taken)} container{'s' if len(taken) != 1 else ''}"
    booking = replace(collected(taken), reason=reason)
    return Decided(booking, shown, question=f"Record that {count} were collected?")


def _consigned(connection: "Connection", taken: "list[Standing]") -> "list[ConsignedStream]":
    from prepstore.cli.kept_containers import contents_in
    from prepstore.cli.rooms import shelf_in
    from prepstore.report.consignment import consigned

    kept = [one.kept for one in taken]
    contents = contents_in(connection, [one.label for one in kept])
    return consigned(shelf_in(connection).goods, kept, contents)


def _write(streams: "list[ConsignedStream]", path: Path, day: datetime.date, store: Store) -> None:
    """Write the list as a workbook or a PDF, and as a CSV of the same name beside it."""
    from prepstore import __version__
    from prepstore.report.consignment import CONSIGNMENT_COLUMNS, consignment_rows
    from prepstore.report.row_lists import as_csv
    from prepstore.whole_file import write_whole

    if path.suffix.lower() == ".pdf":
        from prepstore.report.consignment_pdf import consignment_pdf

        origin = f"prepstore {__version__} · store {store.place.name}"
        write_whole(path, consignment_pdf(streams, day, origin))
    else:
        from prepstore.report.workbook.consignment import write_consignment
        from prepstore.report.workbook.workbook import Origin

        write_consignment(streams, day, path, Origin(__version__, store.place.name))
    beside = path.with_suffix(".csv")
    rows = as_csv(consignment_rows(streams), CONSIGNMENT_COLUMNS)
    write_whole(beside, ("\n".join(rows) + "\n").encode("utf-8"))
    typer.echo(f"Wrote {path} and {beside}: what goes with the carrier.")
