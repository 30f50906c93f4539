"""Commands for the store's file: backup, restore and check."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.outcome import FAULT, answers
from prepstore.cli.store_option import DEFAULT, Store, refuse_a_server, refuse_no_file
from prepstore.ledger.place import Place

if TYPE_CHECKING:
    from sqlalchemy import Connection


@answers
def backup(
    context: typer.Context,
    file: Annotated[
        Path, typer.Argument(help="The copy; a store that is there is kept under another name.")
    ],
) -> None:
    """Copy the store and check the copy; others can go on working with the store.

    Example: prepstore backup prepstore-2027-02-05.db
    """
    from prepstore.ledger.store import back_up

    refuse_a_server(file)
    refuse_no_file(file)
    store: Store = context.obj
    aside = back_up(store.place, file)
    _say_kept(aside, file)
    typer.echo(f"Backed up {store.place} to {file}: {_what_is_in(file)}, checked.")
    typer.echo("Keep it on another disk. To go back to it: prepstore restore FILE")


@answers
def restore(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A backup.")],
    *,
    with_faults: Annotated[
        bool,
        typer.Option(
            "--with-faults", help="Restore it even if check finds something wrong with it."
        ),
    ] = False,
) -> None:
    """Put a backup in place of the store; the present store is kept beside it.

    Example: prepstore restore prepstore-2027-02-05.db
    """
    from prepstore.cli.progress import at_work
    from prepstore.ledger.store import restore as put_back
    from prepstore.problems import RefusedError

    refuse_a_server(file)
    refuse_no_file(file)
    store: Store = context.obj
    found: list[str] = []

    def look(connection: "Connection") -> None:
        with at_work("Checking the backup"):
            found.extend(_faults(connection))
        if found and not with_faults:
            what = f"The backup {file} has {_count(found)}."
            raise RefusedError(*found, f"{what} To put it in place anyway: --with-faults.")

    aside = put_back(store.place, file, look)
    _say_kept(aside, store.place)
    _say_faults(found)
    typer.echo(f"{store.place} now holds what {file} held: {_what_is_in(store.place)}.")
    typer.echo("Next: prepstore stock history shows what was recorded last.")


def _what_is_in(place: Place) -> str:
    from prepstore.ledger.soundness import counts
    from prepstore.ledger.store import reading

    with reading(place) as connection:
        lots, movements = counts(connection)
    return f"{lots} lots, {movements} movements"


def _say_kept(aside: Path | None, place: Place) -> None:
    if aside is not None:
        of_which = "" if place == DEFAULT else f"--db {place} "
        typer.echo(f"What was there is kept as {aside}.")
        typer.echo(f"To get it back: prepstore {of_which}restore {aside}")


@answers
def check(context: typer.Context) -> None:
    """Check the store: its file, its sums, rows that belong to nothing, and every other row.

    Example: prepstore check
    """
    from prepstore.cli.progress import at_work
    from prepstore.ledger.soundness import counts
    from prepstore.ledger.store import reading

    store: Store = context.obj
    with at_work("Checking the store"), reading(store.place) as connection:
        found = _faults(connection)
        lots, movements = counts(connection) if not found else (0, 0)
    _say_faults(found)
    if found:
        typer.echo(f"{store.place}: {_count(found)} found.", err=True)
        raise typer.Exit(FAULT)
    typer.echo(f"{store.place} is sound: {lots} lots, {movements} movements, every sum agrees.")


def _say_faults(found: list[str]) -> None:
    for sentence in found:
        typer.echo(sentence, err=True)


def _count(found: list[str]) -> str:
    return f"{len(found)} fault{'s' if len(found) != 1 else ''}"


def _faults(connection: "Connection") -> list[str]:
    """Return what is wrong with the file and, where that is whole, with what it holds."""
    from prepstore.cli.rooms import rows_in
    from prepstore.ledger.soundness import damage_told, faults_of_a_whole_file
    from prepstore.tables.crosscheck import checked

    damaged = damage_told(connection)
    if damaged:
        return damaged
    problems = checked(rows_in(connection)).problems
    return [*faults_of_a_whole_file(connection), *(problem.sentence for problem in problems)]
