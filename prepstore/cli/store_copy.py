"""Commands for whole stores: copied between files and servers, and who may what on a server."""

from typing import TYPE_CHECKING, Annotated

import typer

from prepstore.cli.help_words import Commands
from prepstore.cli.outcome import answers
from prepstore.cli.store_option import Store

if TYPE_CHECKING:
    from prepstore.ledger.place import Place

app = Commands(
    help="Copy a whole store, take in what a copy recorded, say who may what on a server.",
    no_args_is_help=True,
)


@app.command("copy")
@answers
def copy(
    context: typer.Context,  # noqa: ARG001 - tells which command is running
    source: Annotated[
        str, typer.Argument(metavar="FROM", help="The store: a file or a server's database.")
    ],
    target: Annotated[
        str,
        typer.Argument(metavar="TO", help="Where there is no store yet: a file or a database."),
    ],
) -> None:
    """Copy a store with all that was ever recorded, from and to a file or a server.

    Every table is read back and compared before anything is kept; the store itself stays.

    Example: prepstore store copy prepstore.db postgresql://db.example.org/prep
    """
    from prepstore.cli.progress import at_work
    from prepstore.ledger.soundness import counts
    from prepstore.ledger.store import copy_whole, reading

    old, new = named_place(source), named_place(target)
    with at_work("Copying the store"):
        sums = copy_whole(old, new)
    with reading(new) as connection:
        lots, movements = counts(connection)
    rows = sum(one.rows for one in sums.values())
    typer.echo(f"Copied {old} to {new}: {lots} lots, {movements} movements.")
    typer.echo(f"Compared after copying: {rows} rows of {len(sums)} tables, all alike.")
    typer.echo("What is recorded from now on in the one is not in the other.")


@app.command("roles")
@answers
def roles(context: typer.Context) -> None:
    """Make the roles of a store on a server: reader, recorder and keeper.

    Run again, it brings their rights up to date. Only the store's owner can do it.

    Example: prepstore --db postgresql://db.example.org/prep store roles
    """
    from prepstore.ledger.role import Role
    from prepstore.ledger.store import make_roles

    store: Store = context.obj
    names = make_roles(store.place)
    typer.echo(f"The roles of {store.place}:")
    may = {
        Role.READER: "plans, lists, traces, exports, backs up and checks",
        Role.RECORDER: "also records what happens to lots, sessions and waste",
        Role.KEEPER: "also loads tables, names things and orders",
    }
    for role, name in names.items():
        typer.echo(f"  {name}: {may[role]}")
    typer.echo("Rights given to others on this store were taken away.")
    typer.echo("Next, for each person, who administers the server says in psql one of:")
    for name in names.values():
        typer.echo(f"  GRANT {name} TO kim;")


def named_place(text: str) -> "Place":
    """Return a place that was named, and say what people should know of it.

    Raises:
        typer.BadParameter: It is none.
    """
    from prepstore.cli.store_option import refuse_no_file
    from prepstore.ledger.place import NoAddressError, place_of, remark_on

    try:
        place = place_of(text)
    except NoAddressError as error:
        raise typer.BadParameter(str(error)) from None
    refuse_no_file(place)
    remark = remark_on(place)
    if remark is not None:
        typer.echo(remark, err=True)
    return place
