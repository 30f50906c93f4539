"""Commands for the set of tables: load and export."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from collections.abc import Mapping

    from prepstore.problems import Problem
    from prepstore.tables.history_intake import MovedIn
    from prepstore.tables.intake import Intake
    from prepstore.written import WrittenRow


@answers
def load(
    context: typer.Context,
    path: Annotated[Path, typer.Argument(help="A folder of CSV files, or an .xlsx workbook.")],
    *,
    check: Annotated[bool, typer.Option("--check", help="Only check; change nothing.")] = False,
    count: Annotated[
        bool,
        typer.Option("--count", help="Record stock amounts that differ as a count of the shelf."),
    ] = False,
    replace_timetable: Annotated[
        bool,
        typer.Option(
            "--replace-timetable",
            help="Take out sessions within the days of this timetable that are not in it.",
        ),
    ] = False,
) -> None:
    """Read a set of tables into the store: all of it or, if anything is wrong, nothing.

    Example: prepstore load tables/
    """
    from prepstore.cli.loading import looked_through, take_in
    from prepstore.tables.read import has_history, read_set

    store: Store = context.obj
    own: list[str] = []
    new, of_files = read_set(path, own)
    if own:
        typer.echo(f"Left out, because these are your own: {', '.join(own)}.")
    if replace_timetable and not new.get("timetable"):
        typer.echo("There is no session in the timetable of this set, so none is taken out.")
    if has_history(new):
        _load_with_history(path, store, (new, of_files), check=check, count=count)
    elif check:
        _say_checked(
            path,
            looked_through(
                store.place, new, of_files, count=count, replace_timetable=replace_timetable
            ),
            replaced=replace_timetable,
        )
    else:
        taken = take_in(
            store.place, new, of_files, count=count, replace_timetable=replace_timetable
        )
        _say_loaded(path, store, taken, replaced=replace_timetable)


def _load_with_history(
    path: Path,
    store: Store,
    read: "tuple[dict[str, list[WrittenRow]], list[Problem]]",
    *,
    check: bool,
    count: bool,
) -> None:
    """Load a set that has its history beside it into a new store."""
    from prepstore.cli.histories import looked_through, move_in
    from prepstore.problems import RefusedError

    if count:
        what = "A history already says what was counted."
        raise RefusedError(f"{what} Leave --count out, or take the tables of the history out.")
    if check:
        moved = looked_through(store.place, *read)
        _say_checked(path, moved.intake, moved)
    else:
        moved = move_in(store.place, *read)
        _say_loaded(path, store, moved.intake, moved)


def _of_history(moved: "MovedIn | None") -> Iterator[str]:
    """Yield a line that says how many entries and movements a history has."""
    if moved is not None:
        entries, movements = len(moved.history.entries), len(moved.history.movements)
        yield (
            f"history: {entries} {'entry' if entries == 1 else 'entries'}, "
            f"{movements} movement{'' if movements == 1 else 's'}"
        )


def _say_checked(
    path: Path, taken: "Intake", moved: "MovedIn | None" = None, *, replaced: bool = False
) -> None:
    from prepstore.tables.intake import summary

    typer.echo(f"{path} is right. Loading it would change:")
    for line in [*summary(taken.changes), *_of_history(moved)] or ["nothing"]:
        typer.echo(f"  {line}")
    _say_what_clears_nothing(taken)
    _say_what_is_taken_out(taken, "would be taken out")
    _say_what_is_left_over(taken, replaced=replaced)
    _say_what_is_probably_wrong(taken)
    typer.echo("Nothing was saved.")


def _say_loaded(
    path: Path,
    store: Store,
    taken: "Intake",
    moved: "MovedIn | None" = None,
    *,
    replaced: bool = False,
) -> None:
    from prepstore.tables.held_containers import streams_told
    from prepstore.tables.intake import summary

    lines = [*summary(taken.changes), *_of_history(moved)]
    typer.echo(f"Loaded {path} into {store.place}." if lines else f"{path} changes nothing.")
    for line in lines:
        typer.echo(f"  {line}")
    for row in taken.counted:
        typer.echo(f"  counted: lot {row.text['lot']} is {row.text['amount']} now")
    for line in streams_told(taken.measured):
        typer.echo(f"  counted: {line}")
    _say_what_clears_nothing(taken)
    _say_what_is_taken_out(taken, "is taken out")
    _say_what_is_left_over(taken, replaced=replaced)
    for line in _of_lots_and_orders(taken):
        typer.echo(f"  {line}")
    _say_what_is_probably_wrong(taken)
    typer.echo(f"Next: prepstore plan --week {_first_week(taken)}")


_MOST_LINES = 20


def _of_lots_and_orders(taken: "Intake") -> Iterator[str]:
    """Yield what a load changes of lots and orders that were there, and how it is undone.

    A file that is older than the store takes back what was recorded since, so each is named.
    """
    from prepstore.containers import ContainerWhat
    from prepstore.movements import What
    from prepstore.report.booking_list import movement_in_words
    from prepstore.report.order_list import order_change_lines

    is_first = any(one.what is What.OPENING_AMOUNT for one in taken.movements)
    is_first |= any(one.what is ContainerWhat.OPENING_AMOUNT for one in taken.containers)
    cells = [one for one in taken.movements if one.change is not None]
    lines = [f"{one.lot}: {movement_in_words(one)}" for one in cells]
    lines += [] if is_first else order_change_lines(taken.orders)
    yield from lines[:_MOST_LINES]
    if len(lines) > _MOST_LINES:
        yield f"… and {len(lines) - _MOST_LINES} more: prepstore stock history"
    if taken.entry is not None and not is_first:
        yield f"Recorded as entry {taken.entry}. To undo it: prepstore stock undo {taken.entry}"


def _say_what_clears_nothing(taken: "Intake") -> None:
    for row in taken.clear_nothing:
        cells = row.text
        of_order = f" of {cells['reference']}" if "reference" in cells else ""
        typer.echo(
            f"  {row.source}, row {row.number}: nothing of {cells['pack']}{of_order}, due on "
            f"{cells['due']}, is on order, so its 0 packs change nothing."
        )


def _say_what_is_taken_out(taken: "Intake", how: str) -> None:
    """Name each session that a timetable takes out, and how that is undone."""
    for row in taken.taken_out:
        typer.echo(f"  session {_session_in_words(row.text)} {how}")
    if taken.entry_of_taken_out is not None:
        number = taken.entry_of_taken_out
        typer.echo(f"  Recorded as entry {number}. To undo it: prepstore stock undo {number}")


def _session_in_words(cells: "Mapping[str, str]") -> str:
    """Return a session's name, day, time, practical and number of students."""
    when = " ".join(filter(None, (cells["date"], cells.get("start", ""))))
    return f"{cells['session']} ({when}, {cells['practical']}, {cells['students']} students)"


def _say_what_is_left_over(taken: "Intake", *, replaced: bool) -> None:
    """Name the sessions that a timetable spans and does not have, which stay in the store."""
    for row in taken.left_over[:_MOST_LINES]:
        cells = row.text
        typer.echo(f"  session {cells['session']} of {cells['date']} is not in this timetable")
    more = len(taken.left_over) - _MOST_LINES
    if more > 0:
        typer.echo(f"  … and {more} more sessions are not in this timetable")
    if taken.left_over and replaced:
        typer.echo("  These sessions stay, because they are booked out.")
    elif taken.left_over:
        typer.echo(
            "  These sessions stay, and are planned for. To take out those that are not booked "
            "out: load --replace-timetable"
        )


def _say_what_is_probably_wrong(taken: "Intake") -> None:
    """Name what somebody should look at again; nothing is asked, and all of it is loaded."""
    if taken.doubts:
        typer.echo("Probably wrong, so please check:")
    for doubt in taken.doubts[:_MOST_LINES]:
        typer.echo(f"  {doubt.sentence}")
    if len(taken.doubts) > _MOST_LINES:
        typer.echo(f"  … and {len(taken.doubts) - _MOST_LINES} more")


def _first_week(taken: "Intake") -> str:
    """Return the first week that has a session from today on, else the last one timetabled."""
    from prepstore.cli.rooms import today

    days = sorted(date.fromisoformat(row.text["date"]) for row in taken.rows["timetable"])
    day = next((day for day in days if day >= today()), days[-1] if days else today())
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02}"


@answers
def export(
    context: typer.Context,
    path: Annotated[Path, typer.Argument(help="A folder, or a file that ends in .xlsx.")],
    *,
    history: Annotated[
        bool,
        typer.Option("--history", help="Also write all that was recorded, for a new store."),
    ] = False,
) -> None:
    """Write all tables of the store; a load reads them again.

    Example: prepstore export tables.xlsx
    """
    from prepstore.cli.histories import rows_with_history
    from prepstore.cli.progress import at_work
    from prepstore.cli.rooms import stored_rows
    from prepstore.columns import TABLES
    from prepstore.tables.crosscheck import checked
    from prepstore.tables.write import write_set

    store: Store = context.obj
    rows = rows_with_history(store.place) if history else stored_rows(store.place)
    with at_work("Writing the tables"):
        write_set(rows, path)
    typer.echo(f"Wrote {sum(len(of_table) for of_table in rows.values())} rows to {path}.")
    for problem in checked({name: rows[name] for name in TABLES}).problems:
        typer.echo(f"As it is in the store: {problem.sentence}", err=True)
    if history:
        typer.echo(f"Next: load them into a new store with prepstore --db NEW.db load {path}.")
    else:
        _say_what_is_older(path)
        typer.echo(f"Next: change the tables and read them again with prepstore load {path}.")


def _say_what_is_older(path: Path) -> None:
    """Say that a folder has the history of an earlier export, which a load would read too."""
    from prepstore.history import HISTORY

    older = [f"{name}.csv" for name in HISTORY if (path / f"{name}.csv").exists()]
    if older:
        typer.echo(
            f"{path} also has {', '.join(older)} of an earlier export with --history, which do "
            "not belong to these tables. Take them out before a load.",
            err=True,
        )


@answers
def template(
    path: Annotated[Path, typer.Argument(help="A folder, or a file that ends in .xlsx.")],
) -> None:
    """Write an empty set of tables to fill in; the .xlsx has notes and drop-down lists.

    Example: prepstore template tables.xlsx
    """
    from prepstore.tables.template import write_template

    write_template(path)
    is_workbook = path.suffix.lower() == ".xlsx"
    notes = " Headings in colour must be filled in; each has a note." if is_workbook else ""
    typer.echo(f"Wrote {path}.{notes}")
    typer.echo(f"Next: fill it in, then prepstore load {path}.")
