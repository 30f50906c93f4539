"""Commands that plan: plan and trace."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.list_options import refuse_other_than_workbook
from prepstore.cli.outcome import answers, end_with, put_off
from prepstore.cli.period_options import From, To, Today, Week, period_of
from prepstore.cli.progress import at_work
from prepstore.cli.since import SinceFile, changes_since, refuse_to_write_over
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from collections.abc import Iterator

    from prepstore.cli.since import Since
    from prepstore.planning.plan import Plan


def planned_by_options(
    context: typer.Context, week: Week, first: From, last: To, today: Today
) -> "Plan":
    """Return the plan that a command's options ask for."""
    period = period_of(week, first, last)
    from prepstore.cli import rooms

    store: Store = context.obj
    return rooms.planned(store.place, period, today or rooms.today())


@answers
def plan(
    context: typer.Context,
    *,
    week: Week = None,
    first: From = None,
    last: To = None,
    today: Today = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", help="The workbook (default: plan-WEEK.xlsx in this folder)."),
    ] = None,
    json: Annotated[
        str | None,
        typer.Option(
            "--json", metavar="FILE", help="Write JSON to this file; - means standard output."
        ),
    ] = None,
    since: SinceFile = None,
) -> None:
    """Plan a week: what to make up, set out and order, and the waste; writes the workbook.

    Example: prepstore plan --week 2027-W05
    """
    refuse_other_than_workbook(out)
    refuse_no_name_or_one_for_both(out, json)
    made = planned_by_options(context, week, first, last, today)
    workbook = out or (Path(f"plan-{_name(made)}.xlsx") if json is None else None)
    changes = None
    if since is not None:
        refuse_to_write_over(since, (workbook, Path(json) if json not in (None, "-") else None))
        changes = changes_since(made, since)
    failed: list[Exception] = []
    if workbook is not None:
        with put_off(failed):
            write_plan_workbook(made, workbook, context.obj, changes)
    written = workbook if not failed else None
    if json is not None:
        with put_off(failed):
            _write_json(made, json)
    if json != "-":
        typer.echo("\n".join(_summary(made, written, changes)))
        typer.echo(f'Next: prepstore trace "ITEM" {_asked(made)} shows how a figure came about.')
    elif changes is not None:
        typer.echo("\n".join(_summary(made, written, changes)), err=True)
    end_with(failed)


def refuse_no_name_or_one_for_both(out: Path | None, json: str | None) -> None:
    """Check that the JSON has a name, and one of its own.

    Raises:
        typer.BadParameter: It has none, or that of the workbook.
    """
    if json is not None and not json.strip():
        raise typer.BadParameter("No file is named. Give --json a file, or - for standard output.")
    if out is not None and json is not None and out.absolute() == Path(json).absolute():
        raise typer.BadParameter(
            f"{json} is named for the workbook and for the JSON. Give two names."
        )


def _summary(made: "Plan", workbook: Path | None, changes: "Since | None") -> "Iterator[str]":
    if changes is not None:
        from prepstore.report.change_list import change_summary

        yield from change_summary(changes[1], changes[0])
        yield f"Workbook: {workbook}" if workbook else ""
        return
    from prepstore.report.terminal import plan_summary

    yield from plan_summary(made, workbook)


def _asked(made: "Plan") -> str:
    period = made.period
    return f"--week {period.week}" if period.week else f"--from {period.first} --to {period.last}"


def _name(made: "Plan") -> str:
    return made.period.week or f"{made.period.first}-to-{made.period.last}"


def write_plan_workbook(
    made: "Plan", path: Path, store: Store, changes: "Since | None" = None
) -> None:
    """Write the workbook of a plan, what differs from an earlier one in front."""
    from prepstore import __version__
    from prepstore.report.workbook.workbook import Origin, write_workbook

    in_front = []
    if changes is not None:
        from prepstore.report.workbook.changes import changes_page

        in_front.append(changes_page(changes[1], changes[0]))
    origin = Origin(version=__version__, store=store.place.name)
    with at_work("Writing the workbook"):
        write_workbook(made, path, origin, in_front)


def _write_json(made: "Plan", target: str) -> None:
    from prepstore.report.plan_json import json_parts

    if target == "-":
        for part in json_parts(made):
            typer.echo(part, nl=False)
    else:
        from prepstore.whole_file import write_whole

        write_whole(Path(target), (part.encode("utf-8") for part in json_parts(made)))


@answers
def trace(
    context: typer.Context,
    item: Annotated[str, typer.Argument(help="An item or a solution.")],
    *,
    week: Week = None,
    first: From = None,
    last: To = None,
    today: Today = None,
) -> None:
    """Show how an item's figures came about, so that you can check them with a calculator.

    Example: prepstore trace "sodium chloride" --week 2027-W05
    """
    from prepstore.cli.rooms import refuse_old_name
    from prepstore.ledger.store import reading
    from prepstore.planning.classified_solutions import SolutionClasses
    from prepstore.report.class_words import classes_traced
    from prepstore.report.trace import trace_of
    from prepstore.safety.classes.entries import harmonised_entries

    made = planned_by_options(context, week, first, last, today)
    with reading(context.obj.place) as connection:
        refuse_old_name(connection, item, "items", "solutions")
    classes = SolutionClasses(made.catalogue, harmonised_entries())
    typer.echo("\n".join((*trace_of(made, item), *classes_traced(made, item, classes))))
