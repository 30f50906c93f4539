"""The options that say in which form a list is printed, and its lines in that form."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from enum import Enum
from pathlib import Path
from typing import Annotated, Any

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


def in_form(
    form: Form,
    columns: Sequence[str],
    *,
    lines: Callable[[], Iterable[str]],
    rows: Callable[[], Sequence[Mapping[str, Any]]],
) -> str:
    """Return a list as it is printed: lines for people, or rows for other programs.

    Args:
        form: Which.
        columns: The headings of the CSV, among the names of the rows' cells.
        lines: Makes the list for people.
        rows: Makes a row each of what is listed, cells by column.
    """
    from prepstore.report.row_lists import as_csv, as_json
    from prepstore.report.screen import fitted

    if form is Form.TEXT:
        return "\n".join(fitted(lines()))
    return "\n".join(as_json(rows()) if form is Form.JSON else as_csv(rows(), columns))
