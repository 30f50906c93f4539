"""The options that say which days a plan is for and on which day it is made."""

import datetime
import re
from typing import Annotated

import typer

from prepstore.cell_types import FIRST_YEAR, LAST_YEAR
from prepstore.planning.calendar import Period


def read_day(text: str) -> datetime.date:
    """Return a day that is given as an option.

    Raises:
        typer.BadParameter: It is no date.
    """
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", text):
        raise typer.BadParameter(f"'{text}' is not a date. Write it like 2027-02-03.")
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"'{text}' is a date that does not exist.") from None
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise typer.BadParameter(
            f"'{text}' is not in the years {FIRST_YEAR} to {LAST_YEAR}. Check the year."
        )
    return day


def read_week(text: str) -> Period:
    """Return an ISO week that is given as an option.

    Raises:
        typer.BadParameter: It is none.
    """
    try:
        return Period.of_week(text)
    except ValueError as error:
        raise typer.BadParameter(str(error)) from error


Week = Annotated[
    Period | None,
    typer.Option("--week", parser=read_week, metavar="WEEK", help="ISO week, such as 2027-W05."),
]
From = Annotated[
    datetime.date | None,
    typer.Option("--from", parser=read_day, metavar="DATE", help="First day, instead of a week."),
]
To = Annotated[
    datetime.date | None,
    typer.Option("--to", parser=read_day, metavar="DATE", help="Last day, instead of a week."),
]
Today = Annotated[
    datetime.date | None,
    typer.Option(
        "--today",
        parser=read_day,
        metavar="DATE",
        help="The day the plan is made (default: today).",
    ),
]


def period_of(
    week: Period | None, first: datetime.date | None, last: datetime.date | None
) -> Period:
    """Return the period that the options name.

    Raises:
        typer.BadParameter: They name none, or more than one.
    """
    if week is not None and (first or last):
        raise typer.BadParameter("Give either --week or --from and --to, not both.")
    if week is not None:
        return week
    if first is None or last is None:
        raise typer.BadParameter("Give --week, such as --week 2027-W05, or both --from and --to.")
    if last < first:
        raise typer.BadParameter(f"--to {last} is before --from {first}.")
    return Period(first, last)
