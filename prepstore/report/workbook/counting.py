"""A counting sheet: what the shelf should hold, by place, with room for what is found."""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import Final

from prepstore.amounts import fine_amount_in_words
from prepstore.cell_types import LotState, fold
from prepstore.report.wording import far_day_in_words
from prepstore.report.workbook.page import Block, CellForm, Page, SheetColumn, SheetRow, band
from prepstore.report.workbook.workbook import write_pages
from prepstore.stores import Holding

COLUMNS: Final = (
    SheetColumn("Lot", 12),
    SheetColumn("Item or solution", 34),
    SheetColumn("Expiry", 12),
    SheetColumn("Opened", 12),
    SheetColumn("Containers", 11, CellForm.COUNT),
    SheetColumn("State", 12),
    SheetColumn("Should hold", 14),
    SheetColumn("Counted", 18, CellForm.WRITE),
    SheetColumn("Note", 25, CellForm.WRITE),
)
HOW: Final = (
    "Fill in Counted as an amount with its unit, such as 1.2 L; 0 g is allowed. Leave blank what "
    "you did not count."
)
_ROOM_TO_WRITE: Final = 2
_NOWHERE: Final = "no place given"


def write_counting_sheet(
    lots: Iterable[Holding], path: Path, store: str, day: date, last_movement: int
) -> None:
    """Write a sheet to count by; reading it back needs to know after which movement it was written.

    Args:
        lots: What is to be counted.
        path: The file, ending in `.xlsx`.
        store: Name of the store's file.
        day: The day on which it is written.
        last_movement: The number of the last movement of the store.

    Raises:
        WorkbookError: The file cannot be written.
    """
    page = Page("Count", "Count of the shelf", COLUMNS, _blocks(lots))
    written = (
        f"Written on {far_day_in_words(day)} from store {store}, after movement {last_movement}. "
        "Counted by:                              on:"
    )
    write_pages([page], path, "Count of the shelf", (written, HOW))


def _blocks(lots: Iterable[Holding]) -> Iterator[Block]:
    for _, of_place in groupby(sorted(lots, key=_order), key=lambda held: _order(held)[0]):
        held = list(of_place)
        yield (band(held[0].lot.place or _NOWHERE), *map(_row, held))


def _order(held: Holding) -> tuple[str, str, str]:
    return fold(held.lot.place or ""), fold(held.material.name), held.label


def _row(held: Holding) -> SheetRow:
    lot = held.lot
    return SheetRow(
        (
            held.label,
            held.material.name,
            lot.expiry.isoformat() if lot.expiry else "",
            lot.opened.isoformat() if lot.opened else "",
            lot.containers,
            "" if lot.state is LotState.USABLE else str(lot.state),
            fine_amount_in_words(held.amount, held.unit),
        ),
        lines=_ROOM_TO_WRITE,
    )
