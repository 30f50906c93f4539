"""Changes: what to do about each difference from an earlier plan, and nothing else."""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Final

from prepstore.planning.differs import Differs
from prepstore.report.change_list import ChangeLine, change_lines
from prepstore.report.workbook.page import Block, CellForm, Page, SheetColumn, SheetRow, band, note

COLUMNS: Final = (
    SheetColumn("Done", 5.5, CellForm.MIDDLE),
    SheetColumn("Of what", 30),
    SheetColumn("To do", 46),
    SheetColumn("Before", 29),
    SheetColumn("Now", 29),
    SheetColumn("Initials", 10.5, CellForm.WRITE),
)
BOX: Final = "☐"


def changes_page(differences: Sequence[Differs], since: str) -> Page:
    """Return the sheet of what differs from an earlier plan."""
    return Page(
        "Changes", f"Changes since {since}", COLUMNS, _blocks(differences), repeats_bands=True
    )


def _blocks(differences: Sequence[Differs]) -> Iterator[Block]:
    if not differences:
        yield (note("Nothing differs."),)
    for heading, lines in groupby(change_lines(differences), key=lambda line: line.heading):
        yield (band(heading), *(_row(line) for line in lines))


def _row(line: ChangeLine) -> SheetRow:
    return SheetRow(
        (BOX if line.is_to_do else "", line.what, line.to_do, line.before, line.now, None)
    )
