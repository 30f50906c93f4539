"""The `prepstore` command: global options and the commands, each imported when it is called."""

import gc
import os
import sys
from pathlib import Path
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
    stock_make,
    stock_names,
    stock_spending,
    stock_undo,
    stock_use,
    store,
    tables,
    waste,
    waste_changes,
    waste_collect,
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
    ("collect", waste_collect.collect),
):
    waste.app.command(name)(change)
app.add_typer(waste.app, name="waste")
app.command("backup")(store.backup)
app.command("restore")(store.restore)
app.command("check")(store.check)


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"prepstore {__version__}")
        raise typer.Exit


@app.callback()
def _globals(
    context: typer.Context,
    db: Annotated[
        Path, typer.Option("--db", envvar="PREPSTORE_DB", help="The store's file.")
    ] = DEFAULT,
    version: Annotated[  # noqa: ARG001 - read by its callback
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Show the version."),
    ] = False,
) -> None:
    from prepstore.ledger.drives import network_kind
    from prepstore.ledger.teller import TOLD_BY

    refuse_no_file(db)
    context.obj = Store(db)
    TOLD_BY.set(say)
    kind = network_kind(db)
    if kind is not None:
        typer.echo(
            f"{db} is on a network drive ({kind}), where a store is slower and less safe. Keep it "
            "on a disk of one machine if you can, and back it up.",
            err=True,
        )


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
