"""The command that looks at a whole term: what runs out when, and what to order in which week."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import refuse_other_than_workbook
from prepstore.cli.outcome import answers, end_with, put_off
from prepstore.cli.period_options import Today, read_week
from prepstore.cli.plan import refuse_no_name_or_one_for_both
from prepstore.cli.progress import at_work
from prepstore.planning.calendar import Period

if TYPE_CHECKING:
    import datetime

    from prepstore.cli.store_option import Store
    from prepstore.planning.ahead.ahead import Ahead

MOST_WEEKS = 60


@answers
def ahead(
    context: typer.Context,
    *,
    first: Annotated[
        Period,
        typer.Option(
            "--from", parser=read_week, metavar="WEEK", help="First week, such as 2027-W05."
        ),
    ],
    weeks: Annotated[
        int, typer.Option("--weeks", min=1, max=MOST_WEEKS, help="How many weeks.")
    ] = 8,
    today: Today = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write the workbook to this file.")
    ] = None,
    json: Annotated[
        str | None,
        typer.Option(
            "--json", metavar="FILE", help="Write JSON to this file; - means standard output."
        ),
    ] = None,
) -> None:
    """Look at a term: what runs short in which week, and which orders cost least over all of them.

    Example: prepstore ahead --from 2027-W05 --weeks 8
    """
    refuse_other_than_workbook(out)
    refuse_no_name_or_one_for_both(out, json)
    from prepstore.cli import rooms

    found = _ahead(context.obj, first, weeks, today or rooms.today())
    failed: list[Exception] = []
    if out is not None:
        with put_off(failed):
            _write_workbook(found, out, context.obj)
    if json is not None:
        with put_off(failed):
            _write_json(found, json)
    if json != "-":
        from prepstore.report.term_words import term_summary

        typer.echo("\n".join(term_summary(found, None if failed else out)))
    end_with(failed)


def _ahead(store: "Store", first: Period, count: int, today: "datetime.date") -> "Ahead":
    from prepstore.cli.rooms import department_of
    from prepstore.ledger.movements import last_used_or_came
    from prepstore.ledger.store import reading
    from prepstore.planning.ahead.ahead import ahead_of
    from prepstore.planning.ahead.term import term_of, weeks_from

    department = department_of(store.place, today)
    weeks = weeks_from(first, count, today)
    if weeks[-1].last < today:
        raise typer.BadParameter(f"These weeks are over on {today}. Give --from a later week.")
    plans = []
    of_weeks = term_of(department.catalogue, department.timetable, department.stores, weeks, today)
    with at_work("Planning the weeks") as show:
        for plan in of_weeks:
            plans.append(plan)
            show(len(plans), len(weeks))
    settings = department.catalogue.settings
    with reading(store.place) as connection:
        moved = last_used_or_came(connection)
    with at_work("Looking for the orders that cost least"):
        return ahead_of(department.stores, plans, settings, first, moved)


def _write_workbook(found: "Ahead", path: Path, store: "Store") -> None:
    from prepstore import __version__
    from prepstore.report.workbook.term import write_term_workbook
    from prepstore.report.workbook.workbook import Origin

    with at_work("Writing the workbook"):
        write_term_workbook(found, path, Origin(version=__version__, store=store.place.name))


def _write_json(found: "Ahead", target: str) -> None:
    from prepstore.report.ahead_json import ahead_json
    from prepstore.whole_file import write_whole

    text = ahead_json(found)
    if target == "-":
        typer.echo(text, nl=False)
    else:
        write_whole(Path(target), text.encode("utf-8"))
