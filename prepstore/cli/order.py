"""Commands for orders."""

from pathlib import Path
from typing import Annotated

import typer

from prepstore.cli.outcome import answers
from prepstore.cli.period_options import From, To, Today, Week
from prepstore.cli.plan import planned_by_options

app = typer.Typer(help="What to order.", no_args_is_help=True)


@app.callback()
def _group() -> None:
    """Keep `export` a command of its own."""


@app.command("export")
@answers
def export(
    context: typer.Context,
    *,
    out: Annotated[Path, typer.Option("--out", help="The folder for the files.")],
    week: Week = None,
    first: From = None,
    last: To = None,
    today: Today = None,
) -> None:
    """Write a week's orders as one CSV a supplier.

    Example: prepstore order export --week 2027-W05 --out orders/
    """
    from prepstore.report.order_files import write_orders

    made = planned_by_options(context, week, first, last, today)
    files = write_orders(made, out)
    for file in files:
        typer.echo(f"Wrote {file}.")
    if files:
        typer.echo("Next: put what you order into the table on_order, so that plans count it.")
    else:
        typer.echo("There is nothing to order.")
