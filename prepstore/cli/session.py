"""Commands for sessions: list, and late changes of one line each, followed by what they change."""

import datetime
from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import By, DryRun, Hand, On, Reason, one_line
from prepstore.cli.bookings import Decided, record_decided
from prepstore.cli.help_words import Commands
from prepstore.cli.list_options import AsCsv, AsJson, form_of, in_form
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import From, To, Week, period_of, read_day
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.facts import Session
    from prepstore.shelf.shelf import Department

    Change = Callable[[Department], tuple[Session | None, Session]]
    """From all facts of the store to a session as it was (None: new) and as it is to be."""

app = Commands(no_args_is_help=True, help="Sessions of the timetable: list them, change them.")

Named = Annotated[
    str, typer.Argument(metavar="SESSION", parser=one_line, help="The session's name.")
]


def _clock(text: str) -> datetime.time:
    from prepstore.tables.cells import READERS
    from prepstore.tables.unreadable import UnreadableError

    try:
        at: datetime.time = READERS[datetime.time](text.strip())
    except UnreadableError as error:
        raise typer.BadParameter(f"'{text}' {error.what} {error.remedy}") from error
    return at


Day = Annotated[
    datetime.date, typer.Argument(metavar="DATE", parser=read_day, help="Such as 2027-02-03.")
]
Start = Annotated[
    datetime.time | None,
    typer.Option("--start", parser=_clock, metavar="TIME", help="When it begins, like 09:30."),
]
End = Annotated[
    datetime.time | None,
    typer.Option("--end", parser=_clock, metavar="TIME", help="When it ends, like 12:00."),
]
Room = Annotated[
    str | None, typer.Option("--room", parser=one_line, metavar="ROOM", help="Where it is.")
]
_MOST_DIGITS = 4


def _students(text: str) -> int:
    is_number = text.isascii() and text.isdigit()
    if not is_number or len(text.lstrip("0")) > _MOST_DIGITS:
        raise typer.BadParameter(
            f"'{text}' is not a number of students. Write a whole number from 0 to 9999."
        )
    return int(text)


Students = Annotated[
    int,
    typer.Option("--students", parser=_students, metavar="STUDENTS", help="How many students."),
]


@app.command("list")
@answers
def list_sessions(
    context: typer.Context,
    *,
    week: Week = None,
    first: From = None,
    last: To = None,
    json: AsJson = False,
    csv: AsCsv = False,
) -> None:
    """List the sessions, of a week or of all weeks, in order of day and time.

    Example: prepstore session list --week 2027-W05
    """
    form = form_of(json=json, csv=csv)
    period = period_of(week, first, last) if week or first or last else None
    from prepstore.cli.rooms import department_in
    from prepstore.ledger.store import reading
    from prepstore.report.timetable_list import SESSION_COLUMNS, session_lines, session_rows

    store: Store = context.obj
    with reading(store.place) as connection:
        timetable = department_in(connection, datetime.date.min).timetable
    wanted = [one for one in timetable.sessions if period is None or one.date in period]
    found = sorted(wanted, key=lambda one: (one.date, one.start or datetime.time.min, one.session))
    lines, rows = partial(session_lines, found, timetable), partial(session_rows, found, timetable)
    typer.echo(in_form(form, SESSION_COLUMNS, lines=lines, rows=rows))


@app.command("history")
@answers
def history(context: typer.Context, *, json: AsJson = False, csv: AsCsv = False) -> None:
    """Show what was changed in the timetable by these commands: what, who, when and why.

    Example: prepstore session history
    """
    form = form_of(json=json, csv=csv)
    from prepstore.ledger.store import reading
    from prepstore.ledger.timetable import recorded_timetable
    from prepstore.report.timetable_list import (
        CHANGE_COLUMNS,
        timetable_history_lines,
        timetable_history_rows,
    )

    store: Store = context.obj
    with reading(store.place) as connection:
        found = recorded_timetable(connection)
    lines, rows = partial(timetable_history_lines, found), partial(timetable_history_rows, found)
    typer.echo(in_form(form, CHANGE_COLUMNS, lines=lines, rows=rows))


@app.command("add")
@answers
def add(
    context: typer.Context,
    *,
    session: Named,
    practical: Annotated[str, typer.Argument(metavar="PRACTICAL", help="The practical's code.")],
    date: Day,
    students: Students,
    start: Start = None,
    end: End = None,
    room: Room = None,
    demonstrator_sets: Annotated[
        int,
        typer.Option("--demonstrator-sets", min=0, max=99, help="More sets, for demonstrators."),
    ] = 0,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Add a session to the timetable.

    Example: prepstore session add W05-Fri-9 ANA-01 2027-02-05 --students 12 --start 14:00
    """
    from prepstore.cell_types import Count, Name
    from prepstore.facts import Session
    from prepstore.shelf.timetabling import refuse_known, swapped

    def change(department: "Department") -> "tuple[None, Session]":
        refuse_known(department, session)
        new = Session(
            session=Name(session),
            practical=Name(practical),
            date=date,
            start=start,
            end=end,
            room=Name(room) if room else None,
            students=Count(students),
            demonstrator_sets=Count(demonstrator_sets),
        )
        return None, swapped(department, new, practical)

    _record(context, Hand(by, on, dry_run), change, reason)


@app.command("students")
@answers
def students_of(
    context: typer.Context,
    *,
    session: Named,
    students: Annotated[
        int, typer.Argument(parser=_students, metavar="STUDENTS", help="How many.")
    ],
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Change how many students a session has.

    Example: prepstore session students W05-Mon-1 26
    """
    from prepstore.shelf.timetabling import session_of, with_students

    def change(department: "Department") -> "tuple[Session, Session]":
        before = session_of(department, session)
        return before, with_students(before, students)

    _record(context, Hand(by, on, dry_run), change, reason)


@app.command("move")
@answers
def move(
    context: typer.Context,
    *,
    session: Named,
    date: Day,
    start: Start = None,
    end: End = None,
    room: Room = None,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Move a session to another day, time or room; it stays as long as it was.

    Example: prepstore session move W05-Mon-1 2027-02-02 --start 14:00 --room "Lab 2"
    """
    from prepstore.shelf.timetabling import Moved, moved, session_of

    def change(department: "Department") -> "tuple[Session, Session]":
        before = session_of(department, session)
        return before, moved(before, Moved(date, start, end, room))

    _record(context, Hand(by, on, dry_run), change, reason)


@app.command("swap")
@answers
def swap(
    context: typer.Context,
    *,
    session: Named,
    practical: Annotated[str, typer.Argument(metavar="PRACTICAL", help="The other practical.")],
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Give a session another practical; left-out stages that it does not have are dropped.

    Example: prepstore session swap W05-Mon-1 ANA-02
    """
    from prepstore.shelf.timetabling import session_of, swapped

    def change(department: "Department") -> "tuple[Session, Session]":
        before = session_of(department, session)
        return before, swapped(department, before, practical)

    _record(context, Hand(by, on, dry_run), change, reason)


@app.command("cancel")
@answers
def cancel(
    context: typer.Context,
    *,
    session: Named,
    reason: Reason = None,
    by: By = None,
    on: On = None,
    dry_run: DryRun = False,
) -> None:
    """Cancel a session: it has no students any more, and stays in the timetable.

    Example: prepstore session cancel W05-Mon-1 --reason "lecturer is ill"
    """
    from prepstore.shelf.timetabling import session_of, with_students

    def change(department: "Department") -> "tuple[Session, Session]":
        before = session_of(department, session)
        return before, with_students(before, 0)

    _record(context, Hand(by, on, dry_run), change, reason)


def _record(context: typer.Context, hand: Hand, change: "Change", reason: str | None) -> None:
    """Record a change of a session, and show what it changes in the plans of its weeks."""
    store: Store = context.obj
    record_decided(
        store.place, hand, lambda connection: _decided(connection, change, reason, hand.on)
    )


def _decided(
    connection: "Connection", change: "Change", reason: str | None, on: datetime.date | None
) -> Decided:
    from prepstore.cli.rooms import department_in, today
    from prepstore.movements import Booking
    from prepstore.problems import RefusedError
    from prepstore.report.timetable_list import timetable_change_lines
    from prepstore.shelf.doubts import doubts_of_day, doubts_of_sessions
    from prepstore.shelf.timetabling import timetable_changes, with_session

    department = department_in(connection, datetime.date.min)
    before, now = change(department)
    changes = timetable_changes(before, now)
    if not changes:
        raise RefusedError(f"Session {now.session} is like that already.")
    days = {one.date for one in (before, now) if one is not None}
    shown = (
        *timetable_change_lines(changes),
        *_what_it_changes(department, with_session(department, now), days),
    )
    doubts = (*doubts_of_day(on or today(), today()), *doubts_of_sessions(changes, today()))
    return Decided(Booking(timetable=changes, reason=reason), shown, doubts=doubts)


def _what_it_changes(
    before: "Department", now: "Department", days: set[datetime.date]
) -> Iterator[str]:
    """Yield what differs in the plans of the weeks of some days that are not over."""
    from prepstore.cli.rooms import today
    from prepstore.planning.calendar import Period
    from prepstore.planning.changes import changes_between
    from prepstore.report.change_list import difference_lines
    from prepstore.report.plan_papers import papers_of

    weeks = dict.fromkeys(day.strftime("%G-W%V") for day in sorted(days))
    for period in (Period.of_week(week) for week in weeks):
        if period.last >= today():
            plan = now.plan(period, today())
            papers = papers_of(before.plan(period, today()))
            yield f"What this changes in week {period.week}"
            yield from difference_lines(changes_between(papers, papers_of(plan), plan))
