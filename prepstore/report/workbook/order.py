"""Order: packs by supplier, late ones first, with costs as live formulas."""

from collections.abc import Iterator
from typing import Final

from prepstore.amounts import is_more_than_nothing
from prepstore.cell_types import Supply, fold
from prepstore.facts import Item, Supplier
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan, StockRow
from prepstore.report.wording import amount_in_words, day_in_words, money_in_words
from prepstore.report.workbook.page import (
    HEADING_ROW,
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
    note,
)
from prepstore.report.workbook.sources import comes_after, sessions_in_words

_GOODS: Final = "Total of goods"
_NOTHING_SOLD: Final = "Short or to restock, and no order brings it"


def order_page(plan: Plan) -> Page:
    """Return the sheet of orders."""
    title = "Order: what to buy, by supplier"
    is_blank = not plan.orders and next(_unsold(plan), None) is None
    return Page("Order", title, _columns(plan), _blocks(plan), is_blank=is_blank)


def _columns(plan: Plan) -> tuple[SheetColumn, ...]:
    currency = plan.catalogue.settings.currency
    return (
        SheetColumn("Alert", 9, CellForm.WORD),
        SheetColumn("Item", 29),
        SheetColumn("Pack", 10),
        SheetColumn("Size", 9),
        SheetColumn("Packs", 6, CellForm.COUNT),
        SheetColumn(in_currency("Price of one", currency), 9, CellForm.MONEY),
        SheetColumn(in_currency("Cost", currency), 9, CellForm.MONEY),
        SheetColumn("Order by", 11, CellForm.DAY),
        SheetColumn("Needed by", 11, CellForm.DAY),
        SheetColumn("Ordered today, comes", 11, CellForm.DAY),
        SheetColumn("Sessions it stops", 25),
        SheetColumn("Ordered on, initials", 11, CellForm.WRITE),
    )


def by_supplier(plan: Plan) -> dict[str, list[OrderRow]]:
    """Return the orders by folded supplier, suppliers of late rows first."""
    groups: dict[str, list[OrderRow]] = {}
    for order in plan.orders:
        groups.setdefault(fold(order.offer.pack.supplier), []).append(order)
    return groups


def _blocks(plan: Plan) -> Iterator[Block]:
    suppliers = by_supplier(plan)
    if not suppliers:
        yield (note("Nothing is to be ordered."),)
    for name, orders in suppliers.items():
        supplier = plan.catalogue.suppliers[name]
        head = band(_head(supplier, plan.catalogue.settings.currency))
        lines = [line for order in orders for line in _rows(plan, order)]
        yield (head, *lines, *_sums(supplier, len(lines)))
    if len(suppliers) > 1:
        yield (_sum_row("Goods from all suppliers", Formula(_all_goods)),)
    unsold = tuple(_unsold(plan))
    if unsold:
        yield (band(_NOTHING_SOLD), *unsold)


def _head(supplier: Supplier, currency: str | None) -> str:
    days = supplier.lead_days
    parts = [
        supplier.supplier,
        f"{days} working days from order to delivery" if days is not None else "no lead time",
    ]
    for word, sum_of in (
        ("minimum order", supplier.minimum_order),
        ("delivery charge", supplier.delivery_charge),
    ):
        if sum_of is not None:
            parts.append(f"{word} {money_in_words(sum_of, currency)}")
    return " · ".join(parts)


def _rows(plan: Plan, order: OrderRow) -> Iterator[SheetRow]:
    """Yield an order's row, and one below it of the sessions that it stops where they are many."""
    words = tuple(_words(plan, order))
    look = Look.ALERT if order.is_late else Look.PLAIN
    are_many = len(order.stops) > _FEW_SESSIONS
    yield _row(plan, order, "as below" if are_many else "\n".join(words))
    if are_many:
        yield SheetRow(("", f"It stops {'; '.join(words)}"), look, runs_from=1, is_tied=True)


def _row(plan: Plan, order: OrderRow, words: str) -> SheetRow:
    pack = order.offer.pack
    return SheetRow(
        (
            "LATE" if order.is_late else "",
            plan.label(order.name),
            pack.pack,
            str(pack.size),
            order.packs,
            order.price,
            Formula(lambda row: f"=E{row}*F{row}"),
            order.order_by,
            order.needed_by,
            order.arrives,
            words,
        ),
        Look.ALERT if order.is_late else Look.PLAIN,
    )


_FEW_SESSIONS: Final = 4


def _words(plan: Plan, order: OrderRow) -> Iterator[str]:
    """Yield the sessions that a row stops, or what it is for where that is not plain; its days."""
    if order.stops:
        yield sessions_in_words(order.stops)
    elif order.needed_by is None:
        yield "none: for the shelf"
    elif order.is_for_spare:
        yield "none: only spare is short"
    if order.not_before is not None:
        yield f"not before {day_in_words(order.not_before)}: it does not keep"
    if order.is_late:
        yield from comes_after(plan, order)


def _sums(supplier: Supplier, count: int) -> Iterator[SheetRow]:
    """Yield the total of the rows above, whether it is below the minimum, and with delivery."""
    least, charge = supplier.minimum_order, supplier.delivery_charge
    under = Formula(lambda row: f'=IF(G{row}<{least:f},"BELOW MINIMUM","")') if least else None
    yield _sum_row(_GOODS, Formula(lambda row: f"=SUM(G{row - count}:G{row - 1})"), under)
    if charge is not None:
        yield _sum_row("Total with delivery", Formula(lambda row: f"=G{row - 1}+{charge:f}"))


def _sum_row(words: str, cost: Value, look: Value = None) -> SheetRow:
    return SheetRow((look, words, None, None, None, None, cost), Look.TOTAL)


def _all_goods(row: int) -> str:
    first, last = HEADING_ROW + 1, row - 1
    return f'=SUMIF(B{first}:B{last},"{_GOODS}",G{first}:G{last})'


def _unsold(plan: Plan) -> Iterator[SheetRow]:
    ordered = {order.name for order in plan.orders}
    for row in plan.stock.values():
        wanted = [("SHORT", row.short), ("RESTOCK", row.restock)]
        if row.is_made or row.name in ordered:
            continue
        for word, amount in wanted:
            if is_more_than_nothing(amount):
                size = amount_in_words(amount, row.material.unit)
                why = _why_not(row)
                yield SheetRow((word, row.material.name, size, why), Look.ALERT, runs_from=3)


def _why_not(row: StockRow) -> str:
    is_made = isinstance(row.fact, Item) and row.fact.supply is Supply.MADE_ON_SITE
    if is_made:
        return "made on site: more than can be made in the day"
    return "nobody sells it: no pack of it is in the table packs"
