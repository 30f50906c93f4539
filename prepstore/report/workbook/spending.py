"""What was spent and used, a sheet each, and spending by month as a chart."""

from collections.abc import Iterator, Sequence
from math import ceil
from pathlib import Path
from typing import Final

from prepstore.report import spending_list
from prepstore.report.costs import known_in_words, money
from prepstore.report.spending_list import By, beside_total, in_words, rows_by, total_of
from prepstore.report.workbook.page import (
    CHARTS_ACROSS,
    Block,
    CellForm,
    Chart,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Value,
    note,
)
from prepstore.report.workbook.workbook import write_pages
from prepstore.shelf.prices import Cost, in_digits
from prepstore.shelf.spending import PracticalCost, Spending, Spent

HOW: Final = "Paid where a price is recorded, else estimated from the cheapest pack that is sold."
_NAMES: Final = {
    By.SUPPLIER: ("Suppliers", "What was bought, by month and supplier"),
    By.SESSION: ("Sessions", "What each session took from the lots"),
    By.PRACTICAL: ("Practicals", "What the sessions of each practical took from the lots"),
    By.ITEM: ("Items", "What was used, by month and item"),
}
_COLUMNS: Final = {
    By.SUPPLIER: (SheetColumn("Month", 12), SheetColumn("Supplier", 40)),
    By.SESSION: (SheetColumn("Day", 12), SheetColumn("Session", 24), SheetColumn("Practical", 16)),
    By.PRACTICAL: (SheetColumn("Practical", 24), SheetColumn("Sessions", 10, CellForm.COUNT)),
    By.ITEM: (
        SheetColumn("Month", 12),
        SheetColumn("Item or solution", 40),
        SheetColumn("Used", 14),
        SheetColumn("of it into solutions", 14),
    ),
}
_SPENT: Final = "Spent by month"
_IN_ALL: Final = 3
"""The column of the sheet of months that has what was spent in all."""


def write_spending(found: Spending, path: Path, over_title: str, currency: str | None) -> None:
    """Write what was spent and used as a workbook.

    Args:
        found: The figures.
        path: The file, ending in `.xlsx`.
        over_title: Of which store and which days it is.
        currency: Of prices.

    Raises:
        WorkbookError: The file cannot be written.
    """
    columns = _money_columns(currency)
    first, *others = (
        Page(*_NAMES[by], (*_COLUMNS[by], *columns), _blocks(rows_by(found, by), by)) for by in By
    )
    months = Page(
        "Months", "What was bought, by month", (SheetColumn("Month", 40), *columns), _months(found)
    )
    write_pages((months, first, *others), path, "Spending", (over_title, HOW))


def _money_columns(currency: str | None) -> tuple[SheetColumn, ...]:
    of = f", {currency}" if currency else ""
    return (
        SheetColumn(f"Paid{of}", 13, CellForm.MONEY),
        SheetColumn(f"Estimated{of}", 13, CellForm.MONEY),
        SheetColumn(f"In all{of}", 13, CellForm.MONEY),
        SheetColumn("Known", 32, CellForm.MIDDLE),
    )


def _blocks(rows: Sequence[spending_list.Row], by: By) -> Iterator[Block]:
    for row in rows:
        yield (SheetRow((*_names(row), *_money(row.cost))),)
    yield (_total(total_of(rows), len(_COLUMNS[by])),)
    yield from ((note(line),) for line in beside_total(rows))


def _names(row: spending_list.Row) -> tuple[Value, ...]:
    if isinstance(row, PracticalCost):
        return row.practical, row.sessions
    return in_words(row)


def _money(cost: Cost) -> tuple[Value, ...]:
    return in_digits(cost.paid), in_digits(cost.estimated), money(cost), known_in_words(cost)


def _total(cost: Cost, names: int) -> SheetRow:
    return SheetRow(("All", *[None] * (names - 1), *_money(cost)), Look.TOTAL)


def _months(found: Spending) -> Iterator[Block]:
    """Yield a row a month, and below them their chart."""
    for month in found.months:
        yield (SheetRow((month.month, *_money(month.cost))),)
    if found.months:
        yield (SheetRow((), charts=(_chart(found.months),)),)
    yield (_total(total_of(found.months), 1),)
    yield from ((note(line),) for line in beside_total(found.months))


def _chart(months: Sequence[Spent]) -> Chart:
    return Chart(
        _SPENT,
        column=_IN_ALL,
        rows=len(months),
        above=1,
        top=max(ceil(max(month.cost.total for month in months)), 1),
        form=CellForm.MONEY,
        across=CHARTS_ACROSS,
    )
