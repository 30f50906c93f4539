"""What is on order and what happened to it, as lines and as rows for other programs."""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from decimal import Decimal
from typing import Any, Final

from prepstore.cell_types import fold
from prepstore.facts import OnOrder, Pack
from prepstore.movements import OrderChange, OrderWhat, RecordedOrder
from prepstore.planning.orders import OrderRow
from prepstore.report.row_lists import number_in_json
from prepstore.report.text_table import as_table
from prepstore.report.wording import (
    day_in_words,
    far_day_in_words,
    money_in_words,
    user_in_words,
    why_in_words,
)
from prepstore.shelf.deliveries import ToPlace
from prepstore.stores import Stores

ON_ORDER_COLUMNS: Final = (
    "due", "supplier", "item", "pack", "packs", "size", "price", "value", "reference", "overdue",
)  # fmt: skip
ORDER_HISTORY_COLUMNS: Final = (
    "entry", "day", "at_utc", "by", "what", "pack", "packs", "due", "reference", "price", "reason",
    "undone_by", "database_user",
)  # fmt: skip


def on_order_rows(stores: Stores, today: date) -> list[dict[str, Any]]:
    """Return a row an order, the first to come first; price and value are as it was ordered.

    Args:
        stores: What is still to come.
        today: What was due before it is overdue.
    """
    return [
        _on_order_row(stores.goods.packs[fold(order.pack)], order, today)
        for order in sorted(stores.on_order, key=lambda order: (order.due, fold(order.pack)))
    ]


def _on_order_row(pack: Pack, order: OnOrder, today: date) -> dict[str, Any]:
    price = order.price
    return {
        "due": order.due.isoformat(),
        "supplier": pack.supplier,
        "item": pack.item,
        "pack": pack.pack,
        "packs": order.packs,
        "size": str(pack.size),
        "price": None if price is None else number_in_json(price),
        "value": None if price is None else number_in_json(price * order.packs),
        "reference": order.reference,
        "overdue": order.due < today,
    }


def on_order_lines(rows: Sequence[dict[str, Any]], currency: str | None) -> Iterator[str]:
    """Yield a heading, a line an order, and what all of it costs."""
    lines = [
        (
            row["due"],
            row["supplier"],
            f"{row['packs']} x {row['pack']}",
            f"{row['item']} {row['size']}",
            "" if row["value"] is None else money_in_words(_exact(row["value"]), currency),
            row["reference"] or "",
            "OVERDUE" if row["overdue"] else "",
        )
        for row in rows
    ]
    yield from as_table(("due", "supplier", "packs", "item", "value", "reference", ""), lines)
    known = [_exact(row["value"]) for row in rows if row["value"] is not None]
    if not rows:
        yield "Nothing is on order."
    elif known:
        unknown = len(rows) - len(known)
        beside = f", and {unknown} of which the price is not known" if unknown else ""
        total = money_in_words(sum(known, Decimal(0)), currency)
        yield f"On order for {total}{beside}"


def _exact(number: float) -> Decimal:
    return Decimal(str(number))


def to_place_lines(wanted: ToPlace, currency: str | None) -> Iterator[str]:
    """Yield what is about to be ordered: by supplier, a line a pack, and what it comes to.

    What is on its way already, and too late as well, and what it is too early for come last.
    """
    by_supplier: dict[str, list[OrderRow]] = {}
    for row in wanted.rows:
        by_supplier.setdefault(row.offer.supplier.supplier, []).append(row)
    for supplier, of_one in sorted(by_supplier.items()):
        total = money_in_words(sum((row.cost for row in of_one), Decimal(0)), currency)
        yield f"{supplier}, {total}"
        for row in of_one:
            yield f"  {_row_in_words(row, currency)}"
        yield from _beside(of_one, currency)
    for row in wanted.on_its_way:
        pack = row.offer.pack
        yield f"On order already, and late: {pack.pack} {pack.item}. It is not ordered again."
    for row in wanted.too_early:
        if row.not_before is not None:
            yield (
                f"Not before {day_in_words(row.not_before)}: {row.packs} x {row.offer.code} "
                f"{row.offer.pack.item}, which would not keep. It is not ordered now."
            )


def _row_in_words(row: OrderRow, currency: str | None) -> str:
    pack = row.offer.pack
    late = ", LATE" if row.is_late else ""
    cost = money_in_words(row.cost, currency)
    return (
        f"{row.packs} x {pack.pack} {pack.item} {pack.size}, {cost}, "
        f"comes {day_in_words(row.arrives)}{late}"
    )


def _beside(rows: Sequence[OrderRow], currency: str | None) -> Iterator[str]:
    """Yield what the supplier charges for the delivery, and whether the order is too small."""
    supplier = rows[0].offer.supplier
    if supplier.delivery_charge:
        yield f"  and {money_in_words(supplier.delivery_charge, currency)} for the delivery"
    total = sum((row.cost for row in rows), Decimal(0))
    if supplier.minimum_order is not None and total < supplier.minimum_order:
        least = money_in_words(supplier.minimum_order, currency)
        yield f"  below the minimum order of {least}"


def order_change_lines(changes: Iterable[OrderChange]) -> Iterator[str]:
    """Yield a line a change of what is on order, for the person who records it."""
    for change in changes:
        if _is_old_day(change):
            continue
        packs = _packs(change)
        reference = f" ({change.reference})" if change.reference else ""
        due = far_day_in_words(change.due)
        yield f"{change.what}: {packs} x {change.pack}{reference}, due {due}"


def order_history_rows(history: Iterable[RecordedOrder]) -> list[dict[str, Any]]:
    """Return a row a change; `packs` counts those that are to come by it (fewer: negative)."""
    return [
        {
            "entry": one.entry,
            "day": one.on_day.isoformat(),
            "at_utc": one.at_utc,
            "by": one.by,
            "what": str(one.change.what),
            "pack": one.change.pack,
            "packs": one.change.packs,
            "due": one.change.due.isoformat(),
            "reference": one.change.reference or None,
            "price": number_in_json(Decimal(one.change.price)) if one.change.price else None,
            "reason": one.reason,
            "undone_by": one.undone_by,
            "database_user": one.database_user,
        }
        for one in history
    ]


def order_history_lines(history: Sequence[RecordedOrder]) -> Iterator[str]:
    """Yield a heading and a line a change, the latest last."""
    heading = ("entry", "day", "what", "packs", "due", "price", "reference", "by", "because")
    told = [one for one in history if not _is_old_day(one.change)]
    yield from as_table(heading, [_cells(one) for one in told])
    yield f"{len(told)} change{'s' if len(told) != 1 else ''}"


def _is_old_day(change: OrderChange) -> bool:
    """Return whether a change is the old day of what is due on another; the new one tells it."""
    return change.what is OrderWhat.DUE_CHANGED and change.packs < 0


def _packs(change: OrderChange) -> str:
    return f"{change.packs:+}" if change.what is OrderWhat.UNDONE else str(abs(change.packs))


def _cells(one: RecordedOrder) -> tuple[str, ...]:
    change = one.change
    undone = f"undone by entry {one.undone_by}" if one.undone_by is not None else ""
    return (
        str(one.entry),
        one.on_day.isoformat(),
        str(change.what),
        f"{_packs(change)} x {change.pack}",
        far_day_in_words(change.due),
        change.price and money_in_words(Decimal(change.price), None),
        change.reference,
        user_in_words(one),
        "; ".join(part for part in (why_in_words(one), undone) if part),
    )
