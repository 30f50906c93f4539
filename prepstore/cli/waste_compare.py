"""The command that compares what sessions sent to waste with what was planned."""

import datetime
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import AsCsv, AsJson, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import SessionUse
    from prepstore.shelf.waste_compared import Comparison

Day = datetime.date | None


@answers
def compare(
    context: typer.Context,
    *,
    first: Annotated[
        Day, typer.Option("--from", parser=read_day, metavar="DATE", help="Sessions from this day.")
    ] = None,
    last: Annotated[
        Day, typer.Option("--to", parser=read_day, metavar="DATE", help="Up to this day.")
    ] = None,
    practical: Annotated[
        str | None, typer.Option("--practical", help="Only this practical.")
    ] = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Compare what sessions sent to waste with what was planned, by practical and stream.

    Example: prepstore waste compare --from 2027-02-01 --to 2027-02-28
    """
    form = form_of(json=json, csv=csv)
    if first is not None and last is not None and last < first:
        raise typer.BadParameter(f"--to {last} is before --from {first}.")
    from prepstore.ledger.store import reading
    from prepstore.report.waste_comparison_list import (
        COMPARED_COLUMNS,
        compared_lines,
        compared_rows,
    )

    store: Store = context.obj
    with reading(store.place) as connection:
        found = _compared(connection, first, last, practical)
    lines, rows = partial(compared_lines, found), partial(compared_rows, found)
    typer.echo(in_form(form, COMPARED_COLUMNS, lines=lines, rows=rows))


def _compared(
    connection: "Connection", first: Day, last: Day, practical: str | None
) -> "Comparison":
    from prepstore.cell_types import fold
    from prepstore.cli.rooms import department_in, refuse_unknown
    from prepstore.ledger.containers import recorded_containers
    from prepstore.ledger.movements import session_uses
    from prepstore.shelf.waste_compared import waste_compared

    refuse_unknown(connection, practical, "practicals")

    def is_meant(use: "SessionUse") -> bool:
        return (
            (first is None or use.session_date >= first)
            and (last is None or use.session_date <= last)
            and (practical is None or fold(use.practical) == fold(practical))
        )

    uses = [use for use in session_uses(connection) if is_meant(use)]
    department = department_in(connection, datetime.date.max)
    return waste_compared(department, uses, recorded_containers(connection))
