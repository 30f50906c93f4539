"""The demo: a store from the sample inventory, its week planned, its workbook written."""

import shutil
import sys
from pathlib import Path
from typing import Annotated

import typer

from prepstore.cli.outcome import answers

WEEK = "2027-W10"
TODAY = "2027-03-03"
"""The sample's fixed day, so that the demo shows the same whenever it is run."""

MARK = "made-by-the-demo.txt"


@answers
def demo(
    folder: Annotated[
        Path, typer.Argument(help="Where to put the store, the tables and the workbook.")
    ] = Path("prepstore-demo"),
) -> None:
    """Make a store from the sample inventory, plan its week and write the workbook.

    Example: prepstore demo
    """
    import datetime

    from prepstore.cli.loading import take_in
    from prepstore.cli.plan import write_plan_workbook
    from prepstore.cli.rooms import planned
    from prepstore.cli.store_option import Store
    from prepstore.parts import BESIDE
    from prepstore.planning.calendar import Period
    from prepstore.report.terminal import plan_summary
    from prepstore.tables.read import read_set
    from prepstore.tables.write import write_set

    _prepare(folder)
    path = folder / "prepstore.db"
    store = Store(path)
    rows, of_files = read_set(sample_folder())
    write_set(rows, folder / "tables")
    for end in ("", *BESIDE):
        path.with_name(path.name + end).unlink(missing_ok=True)
    take_in(store.place, rows, of_files, count=False)
    made = planned(store.place, Period.of_week(WEEK), datetime.date.fromisoformat(TODAY))
    workbook = folder / f"plan-{WEEK}.xlsx"
    write_plan_workbook(made, workbook, store)
    typer.echo("\n".join(plan_summary(made, workbook)))
    typer.echo("\n".join(_next(folder, workbook)))


def _prepare(folder: Path) -> None:
    """Make the folder, or take one that an earlier demo made; never one with other files."""
    from prepstore.whole_file import make_folder

    mark = folder / MARK
    if folder.exists() and any(folder.iterdir()) and not mark.exists():
        raise typer.BadParameter(
            f"{folder} already has other files in it. Give the demo a folder that is new or empty."
        )
    make_folder(folder)
    mark.write_text("This folder was made by prepstore demo, which makes it again each time.\n")


def _next(folder: Path, workbook: Path) -> list[str]:
    program = "prepstore" if shutil.which("prepstore") else sys.argv[0]
    ask = f"{program} --db {folder / 'prepstore.db'}"
    week = f"--week {WEEK} --today {TODAY}"
    return [
        "",
        f"Open {workbook} in a spreadsheet and print what you need.",
        "Then try:",
        f'  {ask} trace "ethyl acetate" {week}',
        f"  {ask} waste {week}",
        f"  {ask} order export {week} --out {folder / 'orders'}",
        f"  {ask} stock use --session W10-Mon-4 --dry-run",
        f"  change a figure in {folder / 'tables' / 'timetable.csv'}, then:",
        f"  {ask} load {folder / 'tables'}",
    ]


def sample_folder() -> Path:
    """Return the folder of the sample inventory, installed or in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "sample_inventory"
    return installed if installed.is_dir() else package.parent / "sample_inventory"
