"""Commands for the shelf."""

from typing import Annotated

import typer

from prepstore.cli.list_options import AsCsv, AsJson, Form, form_of
from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

app = typer.Typer(help="The lots in the stores.", no_args_is_help=True)


@app.callback()
def _group() -> None:
    """Keep `list` a command of its own."""


@app.command("list")
@answers
def list_lots(
    context: typer.Context,
    item: Annotated[str | None, typer.Option("--item", help="Only this item.")] = None,
    place: Annotated[str | None, typer.Option("--place", help="Only at this place.")] = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """List the lots: what is there, until when, and where.

    Example: prepstore stock list --item acetone
    """
    form = form_of(json=json, csv=csv)
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.store_file import reading
    from prepstore.report.row_lists import as_csv, as_json
    from prepstore.report.stock_list import COLUMNS, stock_lines, stock_rows

    store: Store = context.obj
    with reading(store.path) as connection:
        rows = written_rows(connection, "stock", "items", "solutions")
    lots = stock_rows(rows, item, place)
    if form is Form.TEXT:
        typer.echo("\n".join(stock_lines(lots)))
    else:
        lines = as_json(lots) if form is Form.JSON else as_csv(lots, COLUMNS)
        typer.echo("\n".join(lines))
