"""Changes: what to do about each difference from an earlier plan, and nothing else."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from prepstore.planning.changes import Changes
from prepstore.report.change_list import ChangeLine, change_lines
from prepstore.report.workbook.page import Block, CellForm, Page, SheetColumn, SheetRow, band, note

COLUMNS: Final = (
    SheetColumn("Done", 6, CellForm.MIDDLE),
    SheetColumn("Of what", 56),
    SheetColumn("To do", 24),
    SheetColumn("Before", 16),
    SheetColumn("Now", 16),
    SheetColumn("Initials", 14, CellForm.WRITE),
)
BOX: Final = "☐"


def changes_page(changes: Changes, since: str) -> Page:
    """Return the sheet of what differs from an earlier plan."""
    return Page("Changes", f"Changes since {since}", COLUMNS, _blocks(changes))


def _blocks(changes: Changes) -> Iterator[Block]:
    if changes.is_empty:
        yield (note("Nothing differs."),)
    for heading, lines in groupby(change_lines(changes), key=lambda line: line.heading):
        yield (band(heading), *(_row(line) for line in lines))


def _row(line: ChangeLine) -> SheetRow:
    return SheetRow((BOX, line.what, line.to_do, line.before, line.now, None))
