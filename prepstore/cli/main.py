"""The `prepstore` command: global options and the commands, each imported when it is called."""

import gc
import os
import sys
from typing import Annotated

import typer

from prepstore import __version__
from prepstore.cli import (
    ahead,
    cautions,
    demo,
    labels,
    order,
    plan,
    session,
    stock,
    stock_changes,
    stock_correct,
    stock_dates,
    stock_history,
    stock_labels,
    stock_make,
    stock_names,
    stock_spending,
    stock_undo,
    stock_use,
    store,
    store_copy,
    store_take_in,
    tables,
    waste,
    waste_changes,
    waste_collect,
    waste_compare,
)
from prepstore.cli.help_words import Commands
from prepstore.cli.outcome import FAULT, report_fault
from prepstore.cli.progress import say
from prepstore.cli.store_option import DEFAULT, Store, refuse_no_file

app = Commands(
    name="prepstore",
    help="Plan what a teaching laboratory's prep room makes up, sets out and orders for a week.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["--help", "-h"]},
)
app.command("demo")(demo.demo)
app.command("load")(tables.load)
app.command("export")(tables.export)
app.command("template")(tables.template)
app.command("plan")(plan.plan)
app.command("ahead")(ahead.ahead)
app.command("labels")(labels.labels)
app.command("cautions")(cautions.cautions)
app.command("trace")(plan.trace)
for name, command in (
    ("history", stock_history.history),
    ("usage", stock_history.usage),
    ("receive", stock_changes.receive),
    ("use", stock_use.use),
    ("make", stock_make.make),
    ("count", stock_make.count),
    ("open", stock_changes.open_lot),
    ("move", stock_changes.move),
    ("state", stock_changes.state),
    ("correct", stock_correct.correct),
    ("discard", stock_changes.discard),
    ("undo", stock_undo.undo),
    ("rename", stock_names.rename),
    ("retire", stock_names.retire),
    ("names", stock_names.names),
    ("expiry", stock_dates.expiry),
    ("peroxides", stock_dates.peroxides),
    ("labels", stock_labels.labels),
    ("test", stock_dates.record_test),
    ("spending", stock_spending.spending),
):
    stock.app.command(name)(command)
app.add_typer(stock.app, name="stock")
app.add_typer(order.app, name="order")
app.add_typer(session.app, name="session")
for name, change in (
    ("open", waste_changes.open_container),
    ("add", waste_changes.add),
    ("measure", waste_changes.measure),
    ("seal", waste_changes.seal),
    ("empty", waste_changes.empty),
    ("call", waste_changes.call),
    ("collect", waste_collect.collect),
    ("compare", waste_compare.compare),
):
    waste.app.command(name)(change)
app.add_typer(waste.app, name="waste")
app.command("backup")(store.backup)
app.command("restore")(store.restore)
app.command("check")(store.check)
store_copy.app.command("take-in")(store_take_in.take_in)
app.add_typer(store_copy.app, name="store")


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"prepstore {__version__}")
        raise typer.Exit


@app.callback()
def _globals(
    context: typer.Context,
    db: Annotated[
        str,
        typer.Option(
            "--db",
            envvar="PREPSTORE_DB",
            metavar="PLACE",
            help="The store: a file, or a server's database as postgresql://host/name.",
        ),
    ] = str(DEFAULT),
    version: Annotated[  # noqa: ARG001 - read by its callback
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    from prepstore.ledger.place import NoAddressError, place_of, remark_on
    from prepstore.ledger.teller import TOLD_BY

    try:
        place = place_of(db)
    except NoAddressError as error:
        raise typer.BadParameter(str(error)) from None
    refuse_no_file(place)
    context.obj = Store(place)
    TOLD_BY.set(say)
    remark = remark_on(place)
    if remark is not None:
        typer.echo(remark, err=True)


def run() -> None:
    """Run the command line; no traceback reaches a user."""
    # A command is short-lived and makes no cycles worth collecting: a third faster on a year.
    gc.disable()
    try:
        app()
    except Exception as error:
        if os.environ.get("PREPSTORE_TRACEBACK"):
            raise
        report_fault(error)
        sys.exit(FAULT)
    finally:
        # Nor is the end of the program to look through all that is left for cycles.
        gc.freeze()


if __name__ == "__main__":
    run()
