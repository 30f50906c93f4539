"""The command that prints labels."""

import datetime
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By
from prepstore.cli.outcome import answers, end_with, put_off
from prepstore.cli.period_options import Today, Week
from prepstore.cli.plan import refuse_no_name_or_one_for_both
from prepstore.report.labels.label_kind import LabelKind

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.cli.store_option import Store
    from prepstore.planning.calendar import Period
    from prepstore.report.labels.contents import LabelSet
    from prepstore.report.labels.grids import Grid
    from prepstore.report.labels.label_sheets import Placed

USUAL_GRID = "2x4 105x74"
"""Labels of the size that the Regulation asks for up to 50 L."""
USUAL_GRID_OF_WASTE = "2x2 105x148"
"""Waste containers are large, and much stands on their labels."""

_OF_A_WEEK = (LabelKind.SOLUTION, LabelKind.BOTTLE, LabelKind.WASTE)


@dataclass(frozen=True, slots=True)
class AskedLabels:
    """Which labels are wanted: of what kind, of which week (None: of lots), as of when."""

    kind: LabelKind
    week: "Period | None"
    today: datetime.date


Of = Annotated[LabelKind, typer.Option("--of", help="What the labels are for.")]
GridText = Annotated[
    str | None,
    typer.Option(
        "--grid",
        metavar="GRID",
        help=f"A4 sheet: labels across and down, then mm (default: {USUAL_GRID}; "
        f"for waste {USUAL_GRID_OF_WASTE}).",
    ),
]
SizeText = Annotated[
    str | None, typer.Option("--size", metavar="MM", help="One label a page, such as 57x32.")
]
Start = Annotated[int, typer.Option("--start", min=1, help="The first label of the sheet to use.")]
OutPdf = Annotated[
    Path | None, typer.Option("--out", help="The PDF (default: labels-WEEK.pdf in this folder).")
]
JsonFile = Annotated[
    str | None,
    typer.Option(
        "--json", metavar="FILE", help="Write JSON to this file; - means standard output."
    ),
]


@answers
def labels(
    context: typer.Context,
    *,
    week: Week = None,
    today: Today = None,
    of: Of = LabelKind.SOLUTION,
    grid: GridText = None,
    size: SizeText = None,
    start: Start = 1,
    out: OutPdf = None,
    json: JsonFile = None,
    by: By = None,
) -> None:
    """Print labels: for solutions to make up, bottles to set out, lots, waste containers.

    Printing reserves the numbers of the week's batches; JSON alone does not.

    Example: prepstore labels --week 2027-W05
    """
    _refuse_no_week(of, week)
    usual = USUAL_GRID_OF_WASTE if of is LabelKind.WASTE else USUAL_GRID
    sheet = _sheet(grid, size, start, usual)
    _refuse_other_than_pdf(out)
    refuse_no_name_or_one_for_both(out, json)
    from prepstore.cli import rooms

    found = label_contents(context.obj, AskedLabels(of, week, today or rooms.today()))
    is_printed = out is not None or json is None
    # Labels that do not fit are refused before anything is written.
    placed = _placed(found, sheet, start) if is_printed else ()
    failed: list[Exception] = []
    if json is not None:
        with put_off(failed):
            _write_json(found, json)
    if placed:
        _reserve(context.obj, found, by, is_beside_json=json == "-")
    if is_printed:
        file = out or Path(f"labels-{week.week if week else of}.pdf")
        with put_off(failed):
            _write_pdf(placed, sheet, found.date_of_rules, file)
            _tell(placed, file, is_beside_json=json == "-")
    end_with(failed)


def label_contents(store: "Store", asked: AskedLabels) -> "LabelSet":
    """Return what stands on the labels that are asked for."""
    from prepstore.cli.rooms import department_of
    from prepstore.planning.classified_solutions import SolutionClasses
    from prepstore.report.labels import label_contents as contents
    from prepstore.report.labels.contents import LabelSet
    from prepstore.safety.classes.entries import harmonised_entries
    from prepstore.shelf.reserving import labels_to_reserve

    department = department_of(store.place, asked.today)
    if asked.kind is LabelKind.LOT or asked.week is None:
        found = contents.lot_labels(
            department.catalogue, department.stores.holdings.values(), asked.today
        )
        return LabelSet(asked.today, tuple(found))
    plan = department.plan(asked.week, asked.today)
    classes = SolutionClasses(department.catalogue, harmonised_entries())
    if asked.kind is LabelKind.WASTE:
        return LabelSet(asked.today, tuple(contents.waste_labels(plan)))
    of_plan = {
        LabelKind.SOLUTION: contents.solution_labels,
        LabelKind.BOTTLE: contents.bottle_labels,
    }[asked.kind]
    return LabelSet(asked.today, tuple(of_plan(plan, classes)), labels_to_reserve(plan))


def _reserve(store: "Store", found: "LabelSet", by: str | None, *, is_beside_json: bool) -> None:
    """Reserve the numbers that are printed for the first time, and say so.

    Raises:
        RefusedError: One of them has been given out since they were worked out.
        StoreError: The store cannot be written.
    """
    if not found.to_reserve:
        return
    from prepstore.cli.bookings import recorded_line
    from prepstore.cli.recording import record_checked
    from prepstore.cli.rooms import signed
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.reserved_labels import reserved_labels
    from prepstore.ledger.store import all_or_nothing
    from prepstore.movements import Booking
    from prepstore.shelf.reserving import refuse_taken

    def record(connection: "Connection") -> int:
        lots = {lot for row in written_rows(connection, "stock")["stock"] for lot in row.key}
        refuse_taken(found.to_reserve, lots, reserved_labels(connection))
        booking = Booking(labels=found.to_reserve, reason="labels printed")
        return record_checked(connection, booking, signed(by))

    entry = all_or_nothing(store.place, record)
    count = len(found.to_reserve)
    numbers = "1 number is" if count == 1 else f"{count} numbers are"
    typer.echo(f"{numbers} reserved for the batches to be made.", err=is_beside_json)
    typer.echo(recorded_line(entry), err=is_beside_json)


def _refuse_no_week(of: LabelKind, week: "Period | None") -> None:
    if of in _OF_A_WEEK and week is None:
        raise typer.BadParameter(f"Give --week for labels of {of}, such as --week 2027-W05.")


def _refuse_other_than_pdf(out: Path | None) -> None:
    if out is not None and out.suffix.lower() != ".pdf":
        raise typer.BadParameter(f"--out {out} must end in .pdf, since it is a PDF.")


def _sheet(grid: str | None, size: str | None, start: int, usual: str) -> "Grid":
    """Return the sheet that the options describe; the usual one where they describe none.

    Raises:
        typer.BadParameter: They describe none, or two, or it has no label `start`.
    """
    from prepstore.problems import RefusedError
    from prepstore.report.labels.grids import read_grid, read_size

    if grid is not None and size is not None:
        raise typer.BadParameter("Give either --grid, for sheets, or --size, for single labels.")
    if size is not None and start != 1:
        raise typer.BadParameter("--start is for sheets; --size prints one label a page.")
    try:
        sheet = read_size(size) if size is not None else read_grid(grid or usual)
        next(sheet.places(start))
    except RefusedError as error:
        raise typer.BadParameter(str(error)) from error
    return sheet


def _placed(found: "LabelSet", sheet: "Grid", start: int) -> "tuple[Placed, ...]":
    from prepstore.report.labels.label_sheets import placed_labels

    return placed_labels(found.contents, sheet, start)


def _write_pdf(placed: "tuple[Placed, ...]", sheet: "Grid", day: datetime.date, file: Path) -> None:
    """Write the labels that there are; without any, no file."""
    from prepstore.report.labels.label_pdf import label_pdf
    from prepstore.whole_file import write_whole

    if placed:
        write_whole(file, label_pdf(placed, sheet, day))


def _tell(placed: "tuple[Placed, ...]", file: Path, *, is_beside_json: bool) -> None:
    """Say how many labels are where, and what they do without; JSON stays alone on its output."""
    from prepstore.report.labels.label_sheets import left_out_in_words

    lines = [*left_out_in_words(placed), _written(placed, file)]
    typer.echo("\n".join(lines), err=is_beside_json)


def _written(placed: "tuple[Placed, ...]", file: Path) -> str:
    if not placed:
        return "There is nothing to label, so no PDF is written."
    pages = placed[-1].place.page + 1
    labels = "1 label" if len(placed) == 1 else f"{len(placed)} labels"
    on = "1 page" if pages == 1 else f"{pages} pages"
    return f"{labels} on {on}: {file}. Print at true size (100 %), not fitted to the page."


def _write_json(found: "LabelSet", target: str) -> None:
    from prepstore.report.labels.label_json import labels_json
    from prepstore.whole_file import write_whole

    text = labels_json(found)
    if target == "-":
        typer.echo(text, nl=False)
    else:
        write_whole(Path(target), text.encode("utf-8"))
