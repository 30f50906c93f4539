"""The command that lists labels that are printed for batches."""

from functools import partial
from typing import TYPE_CHECKING

import typer

from prepstore.cli.list_options import AsCsv, AsJson, form_of, in_form
from prepstore.cli.outcome import answers

if TYPE_CHECKING:
    from prepstore.cli.store_option import Store


@answers
def labels(context: typer.Context, *, json: AsJson = False, csv: AsCsv = False) -> None:
    """List the numbers that printed labels reserve for batches not made yet.

    Example: prepstore stock labels
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cli.rooms import shelf_in
    from prepstore.ledger.reserved_labels import recorded_labels
    from prepstore.ledger.store import reading
    from prepstore.report.label_list import (
        RESERVED_COLUMNS,
        reserved_lines,
        reserved_rows,
        still_reserved,
    )

    store: Store = context.obj
    with reading(store.place) as connection:
        found = still_reserved(recorded_labels(connection), shelf_in(connection).lots)
    lines, rows = partial(reserved_lines, found), partial(reserved_rows, found)
    typer.echo(in_form(form, RESERVED_COLUMNS, lines=lines, rows=rows))
