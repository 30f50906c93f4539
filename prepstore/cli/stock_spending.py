"""What was spent by supplier, what sessions and practicals cost, and what was used of each item."""

import datetime
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import (
    AsCsv,
    AsJson,
    Form,
    Out,
    form_of,
    in_form,
    refuse_other_than_workbook,
)
from prepstore.cli.lots_then import priced
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import Recorded
    from prepstore.report.spending_list import By
    from prepstore.shelf.spending import Spending

Day = datetime.date | None


@answers
def spending(
    context: typer.Context,
    *,
    by: Annotated[
        str,
        typer.Option("--by", metavar="GROUP", help="supplier, session, practical or item."),
    ] = "supplier",
    first: Annotated[
        Day, typer.Option("--from", parser=read_day, metavar="DATE", help="From this day on.")
    ] = None,
    last: Annotated[
        Day, typer.Option("--to", parser=read_day, metavar="DATE", help="Up to this day.")
    ] = None,
    out: Out = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show what was spent and what was used, at the price paid or else of the cheapest pack.

    Example: prepstore stock spending --by practical --from 2026-08-01 --to 2027-07-31
    """
    form = form_of(json=json, csv=csv)
    refuse_other_than_workbook(out)
    from prepstore.report.spending_list import By

    if by not in list(By):
        raise typer.BadParameter(f"'{by}' is not one of {', '.join(By)}.")
    if first is not None and last is not None and last < first:
        raise typer.BadParameter(f"--to {last} is before --from {first}.")
    from prepstore.cli.rooms import settings_in
    from prepstore.ledger.store import reading

    store: Store = context.obj
    with reading(store.place) as connection:
        found = _found(connection, first, last)
        currency = settings_in(connection).currency
    if out is not None:
        from prepstore.report.workbook.spending import write_spending

        write_spending(found, out, f"Store {store.place.name}, {_days(first, last)}.", currency)
        typer.echo(f"Wrote {out}", err=True)
    typer.echo(_list(found, By(by), form, currency))


def _list(found: "Spending", by: "By", form: Form, currency: str | None) -> str:
    from prepstore.report.spending_list import SPENDING_COLUMNS, spending_lines, spending_rows

    lines, rows = partial(spending_lines, found, by, currency), partial(spending_rows, found, by)
    return in_form(form, SPENDING_COLUMNS[by], lines=lines, rows=rows)


def _days(first: Day, last: Day) -> str:
    """Return the days that are asked for in words."""
    if first is None and last is None:
        return "all that is recorded"
    begin = f"from {first} " if first else ""
    return f"{begin}up to {last}" if last else begin.strip()


def _found(connection: "Connection", first: Day, last: Day) -> "Spending":
    """Return what was spent and used on some days, undone movements left out.

    Lots cost what was paid for them up to the last of the days.
    """
    from prepstore.cli.rooms import shelf_in, today
    from prepstore.ledger.movements import Asked, recorded, use_of_entries
    from prepstore.ledger.names import Renames, recorded_names
    from prepstore.recorded import standing
    from prepstore.shelf.spending import Words, spending

    history = [
        one for one in standing(recorded(connection, Asked())) if last is None or one.on_day <= last
    ]
    found = priced(connection, shelf_in(connection), history, last or today())
    renames = Renames(recorded_names(connection))

    def supplier_of(one: "Recorded") -> str:
        return renames.now(one.movement.supplier or "", one.entry, "suppliers")

    words = Words(found.item_of, supplier_of, use_of_entries(connection))
    of_days = [one for one in history if first is None or one.on_day >= first]
    return spending(of_days, found.prices, found.estimates, words)
