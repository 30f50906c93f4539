"""The options that say in which form a list is printed."""

from enum import Enum
from pathlib import Path
from typing import Annotated

import typer


class Form(Enum):
    """How a list is printed."""

    TEXT = "text"
    JSON = "json"
    CSV = "csv"


AsJson = Annotated[bool, typer.Option("--json", help="Print JSON.")]
AsCsv = Annotated[bool, typer.Option("--csv", help="Print CSV.")]


Out = Annotated[
    Path | None, typer.Option("--out", help="Write it as a workbook to print, ending in .xlsx.")
]


def refuse_other_than_workbook(out: Path | None) -> None:
    """Check that what is to be written is a workbook.

    Raises:
        typer.BadParameter: Its name says another thing.
    """
    if out is not None and out.suffix.lower() != ".xlsx":
        raise typer.BadParameter(f"--out {out} must end in .xlsx, since it is a workbook.")


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
