"""What happens to orders: changes only ever added, and the rows of `on_order` they come to."""

from collections.abc import Iterable
from datetime import date
from typing import Any, Final

from sqlalchemy import Connection, Row, delete, insert, select, update

from prepstore.cell_types import fold
from prepstore.ledger.entries import told_of, with_entries_and_undoing
from prepstore.ledger.light import light_table, next_number, table_of_a_set
from prepstore.ledger.load import stored_key
from prepstore.movements import OrderChange, OrderWhat, RecordedOrder

ORDER_CHANGES: Final = light_table(
    "order_changes", "order_change entry what pack packs due reference price reverses"
)
ON_ORDER: Final = table_of_a_set("on_order")
_FIRST_ROW: Final = 2


def record_orders(
    connection: Connection, changes: Iterable[OrderChange], entry: int, *, rows_follow: bool
) -> None:
    """Record what happened to orders with an entry of the running transaction.

    Args:
        connection: Of `writing`.
        changes: What happened.
        entry: The number of the entry.
        rows_follow: Whether the rows of `on_order` are to follow; not where a load has saved them.
    """
    for change in changes:
        connection.execute(insert(ORDER_CHANGES).values(_row(change, entry)))
        if rows_follow:
            _let_row_follow(connection, change)


def _row(change: OrderChange, entry: int) -> dict[str, Any]:
    return {
        "entry": entry,
        "what": str(change.what),
        "pack": change.pack,
        "packs": change.packs,
        "due": change.due.isoformat(),
        "reference": change.reference,
        "price": change.price or None,
        "reverses": change.reverses,
    }


def _let_row_follow(connection: Connection, change: OrderChange) -> None:
    """Let the row of an order say what is still to come; it goes where nothing is."""
    due = change.due.isoformat()
    key = stored_key((fold(change.reference), fold(change.pack), fold(due)))
    this = ON_ORDER.c.key == key
    before = connection.execute(select(ON_ORDER.c.packs).where(this)).scalar()
    packs = int(before or 0) + change.packs
    if before is None:
        position = max(next_number(connection, ON_ORDER.c.position), _FIRST_ROW)
        cells = {"pack": change.pack, "packs": str(packs), "due": due}
        cells |= {"reference": change.reference, "price": change.price}
        row = {column: cell for column, cell in cells.items() if cell}
        connection.execute(insert(ON_ORDER).values(position=position, key=key, **row))
    elif packs:
        connection.execute(update(ON_ORDER).where(this).values(packs=str(packs)))
    else:
        connection.execute(delete(ON_ORDER).where(this))


def recorded_orders(connection: Connection, *, entry: int | None = None) -> list[RecordedOrder]:
    """Return what happened to orders, all or with one entry, in the order it was recorded."""
    number = ORDER_CHANGES.c.order_change
    rows = with_entries_and_undoing(ORDER_CHANGES, number).order_by(number)
    if entry is not None:
        rows = rows.where(ORDER_CHANGES.c.entry == entry)
    return [_recorded(row) for row in connection.execute(rows)]


def _recorded(row: Row[Any]) -> RecordedOrder:
    return RecordedOrder(
        number=row.order_change,
        change=OrderChange(
            what=OrderWhat(row.what),
            pack=row.pack,
            packs=row.packs,
            due=date.fromisoformat(row.due),
            reference=row.reference,
            price=row.price or "",
            reverses=row.reverses,
        ),
        undone_by=row.undone_by,
        **told_of(row),
    )
