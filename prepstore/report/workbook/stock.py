"""Stock: how each item and solution stands over the period, and which lots it is drawn from."""

from collections.abc import Iterator
from typing import Final

from prepstore.amounts import is_more_than_nothing
from prepstore.facts import Item
from prepstore.planning.plan import Plan, StockRow
from prepstore.report.wording import amount_in_words
from prepstore.report.workbook.page import Block, CellForm, Look, Page, SheetColumn, SheetRow, note

COLUMNS: Final = (
    SheetColumn("Alert", 9, CellForm.WORD),
    SheetColumn("Item or solution", 34),
    SheetColumn("Kind", 12),
    SheetColumn("Needed", 9),
    SheetColumn("Promised before", 9),
    SheetColumn("Usable, in date", 9),
    SheetColumn("Short", 9),
    SheetColumn("Restock", 9),
    SheetColumn("Drawn from lot (place): amount", 44),
    SheetColumn("Storage", 26),
)


def stock_page(plan: Plan) -> Page:
    """Return the sheet of stock; what nothing is wanted of is left out and counted."""
    title = "Stock: what is needed and what there is"
    return Page("Stock", title, COLUMNS, _blocks(plan), is_filtered=True)


def _blocks(plan: Plan) -> Iterator[Block]:
    shown = [row for row in plan.stock.values() if _is_shown(row)]
    for row in sorted(shown, key=lambda row: (_ORDER.index(_word(row)), row.name)):
        yield (_row(row),)
    yield (note(_remark(len(plan.stock) - len(shown))),)


def _is_shown(row: StockRow) -> bool:
    return any(map(is_more_than_nothing, (row.needed, row.promised, row.short, row.restock)))


def _remark(left_out: int) -> str:
    return (
        f"Left out: {left_out} items and solutions of which nothing is needed, promised, short or "
        "to restock. Apparatus has a sheet of its own. A solution is never short: what stock does "
        "not give is made up. Needed counts what batches take; usable is without deliveries."
    )


_ORDER: Final = ("SHORT", "RESTOCK", "")


def _word(row: StockRow) -> str:
    if is_more_than_nothing(row.short):
        return "SHORT"
    return "RESTOCK" if is_more_than_nothing(row.restock) else ""


def _row(row: StockRow) -> SheetRow:
    unit, word = row.material.unit, _word(row)
    amounts = (
        amount_in_words(number, unit) if is_more_than_nothing(number) else ""
        for number in (row.promised, row.short, row.restock)
    )
    promised, short, restock = amounts
    return SheetRow(
        (
            word,
            row.material.name,
            str(row.fact.kind) if isinstance(row.fact, Item) else "solution",
            amount_in_words(row.needed, unit),
            promised,
            amount_in_words(row.usable, unit),
            short,
            restock,
            _lots(row),
            row.fact.storage,
        ),
        Look.ALERT if word == "SHORT" else Look.PLAIN,
    )


def _lots(row: StockRow) -> str:
    return "\n".join(
        f"{lot.lot}{f' ({lot.place})' if lot.place else ''}: "
        f"{amount_in_words(amount, row.material.unit)}"
        for lot, amount in row.lots
    )
