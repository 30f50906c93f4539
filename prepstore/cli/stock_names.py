"""Commands for names: rename and retire, history kept, and what was renamed and retired."""

import datetime
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, DryRun, Hand, On, Reason
from prepstore.cli.bookings import book_from_all
from prepstore.cli.list_options import AsCsv, AsJson, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from prepstore.movements import Booking, NameChange
    from prepstore.shelf.shelf import Department

KindOfName = Annotated[
    str | None,
    typer.Option(
        "--kind", help="item, solution, supplier or practical, if more than one has this name."
    ),
]
OldName = Annotated[
    str, typer.Argument(metavar="NAME", help="An item, solution, supplier or practical.")
]


def _check_kind(kind: str | None) -> None:
    from prepstore.shelf.names import KINDS

    if kind is not None and kind not in KINDS:
        raise typer.BadParameter(f"'{kind}' is not one of {', '.join(KINDS)}.")


def _of(change: "NameChange", reason: str | None) -> "Booking":
    from prepstore.movements import Booking

    return Booking(names=(change,), reason=reason)


@answers
def rename(
    context: typer.Context,
    *,
    old: OldName,
    new: Annotated[str, typer.Argument(metavar="NEW_NAME", help="What it is called from now on.")],
    kind: KindOfName = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Give an item, solution, supplier or practical another name, in every table at once.

    Example: prepstore stock rename "propan-2-ol" "isopropyl alcohol"
    """
    _check_kind(kind)
    from prepstore.shelf.names import bearer_of, renamed

    def decide(department: "Department", _day: datetime.date) -> "Booking":
        bearer = bearer_of(department.catalogue, old, kind, department.renamed)
        return _of(renamed(department.catalogue, bearer, new), reason)

    store: Store = context.obj
    book_from_all(store.place, Hand(by, on, dry_run), decide)


@answers
def retire(
    context: typer.Context,
    *,
    name: OldName,
    kind: KindOfName = None,
    reinstate: Annotated[
        bool, typer.Option("--reinstate", help="Bring it back into use instead.")
    ] = False,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Record that something is no longer used from a day on; its history is kept.

    Example: prepstore stock retire "petroleum ether 40-60" --reason "replaced by heptane"
    """
    _check_kind(kind)
    from prepstore.shelf.names import bearer_of, reinstated, retired

    def decide(department: "Department", day: datetime.date) -> "Booking":
        bearer = bearer_of(department.catalogue, name, kind, department.renamed)
        change = reinstated(bearer) if reinstate else retired(department, bearer, day)
        return _of(change, reason)

    store: Store = context.obj
    book_from_all(store.place, Hand(by, on, dry_run), decide)


@answers
def names(
    context: typer.Context,
    *,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show what was renamed and retired, the newest last: who did it, when and why.

    Example: prepstore stock names
    """
    form = form_of(json=json, csv=csv)
    from prepstore.ledger.names import recorded_names
    from prepstore.ledger.store import reading
    from prepstore.report.name_list import NAME_COLUMNS, name_lines, name_rows

    store: Store = context.obj
    with reading(store.place) as connection:
        found = recorded_names(connection)
    lines, rows = partial(name_lines, found), partial(name_rows, found)
    typer.echo(in_form(form, NAME_COLUMNS, lines=lines, rows=rows))
