"""An order as a document to send: one supplier, its lines, live totals, and where it is to go."""

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Final

from prepstore.amounts import ZERO
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.report.wording import far_day_in_words, order_reference
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Formula,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    Value,
    band,
    in_currency,
)
from prepstore.report.workbook.workbook import Origin, write_pages

_FEW: Final = 6


def write_order_document(plan: Plan, rows: Sequence[OrderRow], path: Path, origin: Origin) -> None:
    """Write the order of one supplier as a workbook.

    Args:
        plan: From which it comes.
        rows: All of one supplier.
        path: The file, ending in `.xlsx`.
        origin: What the sheet says of where it comes from.

    Raises:
        WorkbookError: The file cannot be written.
    """
    supplier = rows[0].offer.supplier.supplier
    reference = order_reference(supplier, plan.today)
    made = f"Made on {far_day_in_words(plan.today)} · prepstore {origin.version}"
    foot = f"{reference} · made on {far_day_in_words(plan.today)}"
    how = "Prices as in our tables; please confirm them, and the day of delivery."
    write_pages([order_document(plan, rows)], path, f"Order to {supplier}", (made, how), foot)


def order_document(plan: Plan, rows: Sequence[OrderRow]) -> Page:
    """Return an order as a sheet: what is ordered, for which sessions, and what it comes to."""
    currency = plan.catalogue.settings.currency
    columns = (
        SheetColumn("Pack", 16),
        SheetColumn("Description", 38),
        SheetColumn("Packs", 8, CellForm.COUNT),
        SheetColumn(in_currency("Price of one", currency), 13, CellForm.MONEY),
        SheetColumn(in_currency("Cost", currency), 13, CellForm.MONEY),
        SheetColumn("Needed by", 16),
        SheetColumn("For", 38),
    )
    supplier = rows[0].offer.supplier.supplier
    return Page("Order", f"Order to {supplier}", columns, _blocks(plan, rows))


def _blocks(plan: Plan, rows: Sequence[OrderRow]) -> Iterator[Block]:
    supplier, settings = rows[0].offer.supplier, plan.catalogue.settings
    told = (
        ("Reference", order_reference(supplier.supplier, plan.today)),
        ("Deliver to", settings.delivery_address),
        ("Cost centre", settings.cost_centre),
    )
    yield tuple(SheetRow((word, text), runs_from=1) for word, text in told if text)
    lines = tuple(_line(plan, row) for row in rows)
    yield (band("Lines"), *lines, *_sums(len(rows), supplier.delivery_charge or ZERO))


def _line(plan: Plan, row: OrderRow) -> SheetRow:
    pack = row.offer.pack
    return SheetRow(
        (
            pack.pack,
            f"{plan.label(row.name)}, {pack.size}",
            row.packs,
            row.price,
            Formula(lambda at: f"=C{at}*D{at}"),
            far_day_in_words(row.needed_by) if row.needed_by else "",
            _sessions(plan, row),
        )
    )


def _sessions(plan: Plan, row: OrderRow) -> str:
    """Return the sessions that wait for an item, or that it is for the shelf."""
    names = dict.fromkeys(
        work.session.session
        for one in plan.stock[row.name].unserved
        for work in one.demand.sessions
        if not work.is_promised
    )
    if not names or row.needed_by is None:
        return "the shelf"
    more = f" and {len(names) - _FEW} more" if len(names) > _FEW else ""
    return ", ".join(list(names)[:_FEW]) + more


def _sums(count: int, charge: Value) -> Iterator[SheetRow]:
    yield _sum("Goods", Formula(lambda at: f"=SUM(E{at - count}:E{at - 1})"))
    yield _sum("Delivery charge", charge)
    yield _sum("Total", Formula(lambda at: f"=E{at - 2}+E{at - 1}"))


def _sum(words: str, cost: Value) -> SheetRow:
    return SheetRow((None, words, None, None, cost), Look.TOTAL)
