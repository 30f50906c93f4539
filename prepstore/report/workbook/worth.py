"""What is there on a day and what it is worth: the list of the year's end, to print."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from prepstore.cell_types import fold
from prepstore.report.costs import LARGER, known_in_words, money, no_price_lines
from prepstore.report.stock_list import Listed, shown_cell
from prepstore.report.wording import far_day_in_words
from prepstore.report.workbook.page import (
    HEADING_ROW,
    Block,
    CellForm,
    Formula,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)
from prepstore.report.workbook.workbook import write_pages
from prepstore.report.worth_list import group_name
from prepstore.shelf.prices import cents, sum_of
from prepstore.shelf.worth import Group, Grouping, Worth, grouped

_GROUP: Final = "Together"
HOW: Final = (
    "Value: paid where the price is recorded, else estimated from the cheapest pack that is sold."
)


@dataclass(frozen=True, slots=True)
class Of:
    """The day on which lots stood as they are listed, their store's name, and the currency."""

    day: date
    store: str
    currency: str | None


def write_worth(
    worths: Sequence[Worth], lots: Sequence[Listed], by: Grouping, path: Path, of: Of
) -> None:
    """Write the lots that hold something, in groups with their sums.

    Args:
        worths: What the lots are worth.
        lots: Their cells, as they are listed.
        by: What they are put together by.
        path: The file, ending in `.xlsx`.
        of: What the sheet says of itself.

    Raises:
        WorkbookError: The file cannot be written.
    """
    title = f"Stock on {far_day_in_words(of.day)}"
    listed = {fold(lot["lot"]): lot for lot in lots}
    blocks = _blocks(grouped(worths, by), by, listed)
    page = Page("Stock", f"{title}, by {by}", _columns(of.currency), blocks)
    write_pages([page], path, title, (f"Store {of.store}, at the end of that day.", HOW))


def _columns(currency: str | None) -> tuple[SheetColumn, ...]:
    of = f", {currency}" if currency else ""
    return (
        SheetColumn("Lot", 13),
        SheetColumn("Item or solution", 34),
        SheetColumn("Amount", 14),
        SheetColumn("Expiry", 12),
        SheetColumn("State", 11),
        SheetColumn("Place", 26),
        SheetColumn("Storage", 24),
        SheetColumn(f"Price{of}", 10, CellForm.MONEY),
        SheetColumn("of one", 7, CellForm.MIDDLE),
        SheetColumn(f"Value{of}", 12, CellForm.MONEY),
        SheetColumn("Known", 16, CellForm.MIDDLE),
    )


def _blocks(groups: Sequence[Group], by: Grouping, listed: Mapping[str, Listed]) -> Iterator[Block]:
    if not groups:
        yield (note("No lot holds anything."),)
        return
    for group in groups:
        yield (
            band(group_name(group, by)),
            *(_row(lot, listed[fold(lot.label)]) for lot in group.lots),
            _sum(group),
        )
    values = sum_of(group.value for group in groups)
    yield (_sum_row("All lots", Formula(_all_groups), known_in_words(values)),)
    yield from ((note(line),) for line in no_price_lines(values.lacking))


def _row(lot: Worth, cells: Listed) -> SheetRow:
    larger, times = LARGER[lot.unit]
    price = None if lot.price.lacking else cents(lot.price.total * times)
    return SheetRow(
        (
            lot.label,
            lot.item,
            shown_cell("amount", cells),
            cells["expiry"],
            cells["state"],
            lot.place,
            lot.storage,
            price,
            larger,
            money(lot.value),
            str(lot.price.known),
        )
    )


def _sum(group: Group) -> SheetRow:
    count = len(group.lots)
    value = Formula(lambda row: f"=SUM(J{row - count}:J{row - 1})")
    return _sum_row(_GROUP, value, known_in_words(group.value))


def _sum_row(words: str, value: Formula, known: str) -> SheetRow:
    return SheetRow((None, words, *[None] * 7, value, known), Look.TOTAL)


def _all_groups(row: int) -> str:
    first, last = HEADING_ROW + 1, row - 1
    return f'=SUMIF(B{first}:B{last},"{_GROUP}",J{first}:J{last})'
