"""Changes: what to do about each difference from an earlier plan, and nothing else."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from prepstore.planning.changes import Changes
from prepstore.report.change_list import ChangeLine, change_lines
from prepstore.report.workbook.page import Block, Column, Form, Page, Row, band, note

COLUMNS: Final = (
    Column("Done", 6, Form.MIDDLE),
    Column("Of what", 56),
    Column("To do", 24),
    Column("Before", 16),
    Column("Now", 16),
    Column("Initials", 14, Form.WRITE),
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


def _row(line: ChangeLine) -> Row:
    return Row((BOX, line.what, line.to_do, line.before, line.now, None))
