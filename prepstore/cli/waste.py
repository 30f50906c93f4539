"""Waste: the week's waste as the plan has it, and the containers that are there."""

import datetime
from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.help_words import Commands
from prepstore.cli.list_options import AsCsv, AsJson, Form, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import From, To, Today, Week
from prepstore.cli.plan import planned_by_options
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.containers import KeptContainer
    from prepstore.planning.collections import Call
    from prepstore.planning.plan import Plan
    from prepstore.planning.waste import WastePlan
    from prepstore.report.waste_container_list import Listed, NotBooked
    from prepstore.shelf.shelf import Department

app = Commands(
    help="Show the week's waste; list and change the containers that it goes into.",
    invoke_without_command=True,
)


@app.callback(invoke_without_command=True)
@answers
def waste(
    context: typer.Context,
    *,
    week: Week = None,
    first: From = None,
    last: To = None,
    today: Today = None,
    by_day: Annotated[
        bool, typer.Option("--by-day", help="One table: streams down, days across.")
    ] = False,
    by_session: Annotated[
        bool,
        typer.Option("--by-session", help="What each session sends to each stream, and in it."),
    ] = False,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """Show the week's waste: streams, containers and the days on which they are full.

    The commands below list the containers that are there, and record what happens to them.

    Example: prepstore waste --week 2027-W05
    """
    if context.invoked_subcommand is not None:
        if any((week, first, last, today, by_day, by_session, json, csv)):
            name = context.invoked_subcommand
            raise typer.BadParameter(f"Options of {name} stand behind it: prepstore waste {name} …")
        return
    if by_day and by_session:
        raise typer.BadParameter("Give either --by-day or --by-session, not both.")
    form = form_of(json=json, csv=csv)
    made = planned_by_options(context, week, first, last, today)
    if by_session:
        typer.echo(_by_session(made, form))
        return
    from prepstore.report.plan_json import plan_rows
    from prepstore.report.row_lists import WASTE_COLUMNS

    lines, rows = partial(_waste_lines, made, by_day=by_day), lambda: plan_rows(made)["waste"]
    typer.echo(in_form(form, WASTE_COLUMNS, lines=lines, rows=rows))


def _by_session(made: "Plan", form: Form) -> str:
    """Return what each session sends to each stream; in a CSV a row a substance."""
    from prepstore.report.waste_by_session import SENT_COLUMNS, sent_cells, sent_lines, sent_rows

    rows = sent_cells if form is Form.CSV else sent_rows
    lines = partial(sent_lines, made)
    return in_form(form, SENT_COLUMNS, lines=lines, rows=lambda: list(rows(made)))


def _waste_lines(made: "Plan", *, by_day: bool) -> Iterator[str]:
    if by_day:
        from prepstore.report.totals import waste_by_day_lines

        return waste_by_day_lines(made)
    from prepstore.report.terminal import waste_table

    return waste_table(made)


@app.command("containers")
@answers
def containers(
    context: typer.Context,
    *,
    stream: Annotated[str | None, typer.Option("--stream", help="Only this waste stream.")] = None,
    everything: Annotated[
        bool, typer.Option("--all", help="Also those that were collected.")
    ] = False,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """List the waste containers: stream, label, state, what is in them, since when.

    Example: prepstore waste containers
    """
    form = form_of(json=json, csv=csv)
    from prepstore.cli.rooms import department_in
    from prepstore.ledger.store import reading
    from prepstore.report.waste_container_list import (
        CONTAINER_COLUMNS,
        container_cells,
        container_list_lines,
        container_rows,
    )

    store: Store = context.obj
    with reading(store.place) as connection:
        department = department_in(connection, datetime.date.min)
        ahead = _ahead(department)
        listed = _listed(connection, department, stream, ahead, everything=everything)
    rows = partial(container_cells if form is Form.CSV else container_rows, listed)
    soon = _soon(ahead[1])
    lines = partial(container_list_lines, listed, _not_booked(department), soon)
    typer.echo(in_form(form, CONTAINER_COLUMNS, lines=lines, rows=rows))


def _ahead(department: "Department") -> "tuple[WastePlan, tuple[Call, ...]]":
    """Return what the sessions to come leave behind, and which collections that calls for."""
    from prepstore.cli.rooms import today
    from prepstore.planning.calendar import Calendar
    from prepstore.planning.collections import collections_to_call
    from prepstore.planning.waste_ahead import waste_ahead

    catalogue, day = department.catalogue, today()
    settings = catalogue.settings
    calendar = Calendar(settings.working_days, settings.holidays)
    waste = waste_ahead(catalogue, department.timetable, department.stores, day)
    return waste, collections_to_call(waste, settings, calendar, day)


_SOON = datetime.timedelta(weeks=4)


def _soon(calls: "tuple[Call, ...]") -> list[str]:
    """Return in sentences which collections must be called, or come, within four weeks."""
    from prepstore.cli.rooms import today
    from prepstore.report.collection_words import call_in_words

    last = today() + _SOON
    return [call_in_words(call, today()) for call in calls if (call.call_by or call.by) <= last]


def _listed(
    connection: "Connection",
    department: "Department",
    stream: str | None,
    ahead: "tuple[WastePlan, tuple[Call, ...]]",
    *,
    everything: bool,
) -> "list[Listed]":
    from prepstore.cell_types import fold
    from prepstore.cli.kept_containers import contents_in
    from prepstore.ledger.containers import collected_containers, containers_held
    from prepstore.report.waste_container_list import listed_of
    from prepstore.shelf.container_substances import Substances
    from prepstore.shelf.waste_containers import stream_called

    stores = department.stores
    wanted = stream_called(stores, stream) if stream is not None else None
    streams = {name: fact for name, fact in stores.goods.streams.items() if wanted in (None, name)}
    gone = collected_containers(connection) if everything else ()
    kept: list[KeptContainer] = [*gone, *containers_held(connection).containers]
    kinds = {
        one.label: streams[fold(one.stream)].measure.kind
        for one in kept
        if fold(one.stream) in streams
    }
    substances, poured = Substances(stores.goods), contents_in(connection, kinds)
    contents = {label: substances.within(poured[label], kind) for label, kind in kinds.items()}
    return listed_of(streams, kept, contents, *ahead)


def _not_booked(department: "Department") -> "NotBooked":
    """Return the sessions of the last weeks that are over and not booked out."""
    from prepstore.cli.rooms import today
    from prepstore.planning.days import LOOK_BACK
    from prepstore.report.waste_container_list import NotBooked

    yesterday = today() - datetime.timedelta(days=1)
    over = department.timetable.over_and_not_booked(today() - LOOK_BACK, yesterday)
    if not over:
        return NotBooked()
    return NotBooked(tuple(one.session for one in over), over[-1].date)
