"""The earlier plan that a plan is compared with: its option, and what differs from it."""

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from prepstore.planning.differs import Differs
    from prepstore.planning.papers import Papers
    from prepstore.planning.plan import Plan

    Since = tuple[str, tuple[Differs, ...]]
    """The name of an earlier plan's file, and what differs from it."""


def _file_named(text: str) -> Path:
    # Path("") is the folder where one is, which nobody meant.
    if not text.strip():
        raise typer.BadParameter("No file is named. Give a file that prepstore plan --json wrote.")
    return Path(text)


SinceFile = Annotated[
    Path | None,
    typer.Option(
        "--since",
        parser=_file_named,
        metavar="PATH",
        help="An earlier plan's JSON: show only what differs (with --json -, on standard error).",
    ),
]


def refuse_to_write_over(since: Path, written: Iterable[Path | None]) -> None:
    """Check that no file to be written is the earlier plan's, however its name is spelled.

    Raises:
        typer.BadParameter: One is.
    """
    for file in written:
        if file is not None and _is_same(file, since):
            raise typer.BadParameter(
                f"{file} is the earlier plan of --since, which would be written over. "
                "Give another name."
            )


def _is_same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:  # one of them is not there, or cannot be reached
        return False


def changes_since(made: "Plan", since: Path) -> "Since":
    """Return what differs between an earlier plan and one that is made now.

    Raises:
        ReportError: The file is not there, or is no plan.
        typer.BadParameter: It is a plan of other days, or made on a later day.
    """
    from prepstore.planning.changes import changes_between
    from prepstore.report.earlier_plan import read_earlier_plan
    from prepstore.report.plan_papers import papers_of

    before = read_earlier_plan(since)
    _refuse_other_days(made, before, since)
    return since.name, changes_between(before, papers_of(made), made)


def _refuse_other_days(made: "Plan", before: "Papers", since: Path) -> None:
    if (before.first, before.last) != (made.period.first, made.period.last):
        raise typer.BadParameter(
            f"{since} is a plan of {before.first} to {before.last}, not of this period."
        )
    # What came or was made between the two days would be told as a difference.
    if before.today > made.today:
        raise typer.BadParameter(
            f"{since} was planned on {before.today}, after {made.today}, the day of this plan. "
            f"Give --today {before.today} or a later day, or a plan that was made before."
        )
