"""Commands for the store's file: backup, restore and check."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.outcome import FAULT, answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from sqlalchemy import Connection


@answers
def backup(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="The copy; an older backup there is replaced.")],
) -> None:
    """Copy the store, checked and whole, while others go on working with it.

    Example: prepstore backup prepstore-2027-02-05.db
    """
    from prepstore.ledger.soundness import counts
    from prepstore.ledger.store_file import back_up, reading

    store: Store = context.obj
    back_up(store.path, file)
    with reading(file) as connection:
        lots, movements = counts(connection)
    typer.echo(f"Backed {store.path} up to {file}: {lots} lots, {movements} movements, checked.")
    typer.echo("Keep it on another disk. To go back to it: prepstore restore FILE")


@answers
def restore(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A backup.")],
) -> None:
    """Put a backup in place of the store; the present store is kept beside it.

    Example: prepstore restore prepstore-2027-02-05.db
    """
    from prepstore.ledger.soundness import counts
    from prepstore.ledger.store_file import reading
    from prepstore.ledger.store_file import restore as put_back

    store: Store = context.obj
    aside = put_back(store.path, file)
    with reading(store.path) as connection:
        lots, movements = counts(connection)
    typer.echo(f"{store.path} is {file} now: {lots} lots, {movements} movements.")
    if aside is not None:
        typer.echo(f"What was there is kept as {aside}.")
        typer.echo(f"To have it back: prepstore restore {aside}")
    typer.echo("Next: prepstore stock history shows what was recorded last.")


@answers
def check(context: typer.Context) -> None:
    """Check the store: its file, its sums, what belongs to nothing, and every row.

    Example: prepstore check
    """
    from prepstore.cli.progress import at_work
    from prepstore.ledger.soundness import counts
    from prepstore.ledger.store_file import reading

    store: Store = context.obj
    with at_work("Checking the store"), reading(store.path) as connection:
        found = _faults(connection)
        lots, movements = counts(connection) if not found else (0, 0)
    for sentence in found:
        typer.echo(sentence, err=True)
    if found:
        count = len(found)
        typer.echo(f"{store.path}: {count} fault{'s' if count != 1 else ''} found.", err=True)
        raise typer.Exit(FAULT)
    typer.echo(f"{store.path} is sound: {lots} lots, {movements} movements, every sum agrees.")


def _faults(connection: "Connection") -> list[str]:
    """Return what is wrong with the file and, where that is whole, with what it holds."""
    from prepstore.cli.rooms import shelf_in
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.soundness import damage_told, faults_of_a_whole_file
    from prepstore.shelf.agreement import rows_that_disagree
    from prepstore.tables.crosscheck import checked

    damaged = damage_told(connection)
    if damaged:
        return damaged
    problems = checked(written_rows(connection)).problems
    found = [*faults_of_a_whole_file(connection), *(problem.sentence for problem in problems)]
    # Of what is left out because of a mistake, nothing more can be said.
    return found or list(rows_that_disagree(shelf_in(connection)))
