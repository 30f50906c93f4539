"""The one gate for all that is recorded: what a later command would refuse is not recorded."""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from prepstore.movements import Booking, Signed
    from prepstore.tables.gate import Touched

_LOTS_AND_ORDERS = (
    "items", "solutions", "solution_parts", "stock", "suppliers", "packs", "on_order",
)  # fmt: skip


def record_checked(connection: "Connection", booking: "Booking", signed: "Signed") -> int:
    """Record a booking in the running transaction if a load would take the store as it will be.

    Args:
        connection: Of `writing`; the transaction is rolled back by what is raised here.
        booking: What happened.
        signed: Who records it, and when.

    Returns:
        The number of the entry.

    Raises:
        RefusedError: There is nothing in it, or a load would refuse what it leads to.
    """
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.movements import record
    from prepstore.problems import RefusedError
    from prepstore.tables.gate import refusals

    if booking.is_empty:
        raise RefusedError("There is nothing to record.")
    touched = _touched(booking)
    tables = () if touched.everything else _LOTS_AND_ORDERS
    before = written_rows(connection, *tables)
    entry = record(connection, booking, signed)
    refused = refusals(before, written_rows(connection, *tables), touched)
    if refused:
        raise RefusedError(*refused)
    return entry


def _touched(booking: "Booking") -> "Touched":
    from prepstore.shelf.deliveries import key_of
    from prepstore.tables.gate import Touched

    orders = {key_of(change) for change in booking.orders}
    return Touched(
        lots={(lot,) for lot in booking.lots},
        orders={(reference, pack, due.isoformat()) for reference, pack, due in orders},
        everything=bool(booking.names),
    )
