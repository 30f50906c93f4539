"""The options that say in which form a list is printed."""

from enum import Enum
from typing import Annotated

import typer


class Form(Enum):
    """How a list is printed."""

    TEXT = "text"
    JSON = "json"
    CSV = "csv"


AsJson = Annotated[bool, typer.Option("--json", help="Print JSON.")]
AsCsv = Annotated[bool, typer.Option("--csv", help="Print CSV.")]


def form_of(*, json: bool, csv: bool) -> Form:
    """Return the form that the options ask for.

    Raises:
        typer.BadParameter: They ask for both.
    """
    if json and csv:
        raise typer.BadParameter("Give either --json or --csv, not both.")
    if json:
        return Form.JSON
    return Form.CSV if csv else Form.TEXT
