"""The command that tells what to read before a session's door opens."""

import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.booking_options import one_line
from prepstore.cli.outcome import answers
from prepstore.cli.period_options import Today

if TYPE_CHECKING:
    from prepstore.cli.store_option import Store
    from prepstore.report.session_cautions import CautionsPart


@answers
def cautions(
    context: typer.Context,
    *,
    session: Annotated[
        str,
        typer.Option("--session", parser=one_line, metavar="SESSION", help="The session's name."),
    ],
    today: Today = None,
    out: Annotated[
        Path | None, typer.Option("--out", help="Write it to this PDF, one page of A4.")
    ] = None,
) -> None:
    """Tell what a demonstrator reads before a session: hazards, what must not meet, gas, waste.

    Example: prepstore cautions --session W05-Mon-1
    """
    if out is not None and out.suffix.lower() != ".pdf":
        raise typer.BadParameter(f"--out {out} must end in .pdf, since it is a PDF.")
    from prepstore.cli import rooms

    day = today or rooms.today()
    parts = _parts(context.obj, session, day)
    if out is None:
        from prepstore.report.screen import wrapped

        for part in parts:
            typer.echo(part.heading)
            for text in part.paragraphs:
                typer.echo("\n".join(wrapped(text, first="  ", further="  ")))
        return
    from prepstore.report.session_cautions_pdf import session_cautions_pdf
    from prepstore.whole_file import write_whole

    write_whole(out, session_cautions_pdf(parts, day, f"Cautions of {session}"))
    typer.echo(f"Wrote {out}: one page.")


def _parts(store: "Store", session: str, day: datetime.date) -> "tuple[CautionsPart, ...]":
    """Return what stands on the page of a session, as planned in its own week."""
    from prepstore.cell_types import fold
    from prepstore.cli.rooms import department_of
    from prepstore.planning.calendar import Period
    from prepstore.planning.classified_solutions import SolutionClasses
    from prepstore.problems import not_known
    from prepstore.report.session_cautions import session_cautions
    from prepstore.safety.classes.entries import harmonised_entries

    department = department_of(store.place, day)
    found = [one for one in department.timetable.sessions if fold(one.session) == fold(session)]
    if not found:
        raise not_known(session, "session", (one.session for one in department.timetable.sessions))
    of_day = Period(found[0].date, found[0].date)
    plan = department.plan(of_day, min(day, found[0].date))
    (work,) = (one for one in plan.works if fold(one.session.session) == fold(session))
    return session_cautions(plan, work, SolutionClasses(department.catalogue, harmonised_entries()))
