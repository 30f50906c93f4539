"""The one gate for all that is recorded: what a later command would refuse is not recorded."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sqlalchemy import Connection, Select

    from prepstore.movements import Booking, Signed
    from prepstore.tables.gate import Touched
    from prepstore.written import WrittenRow

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
    from prepstore.ledger.ahead import ask_ahead
    from prepstore.ledger.movements import asked_to_record, record
    from prepstore.problems import RefusedError
    from prepstore.tables.gate import refusals

    if booking.is_empty:
        raise RefusedError("There is nothing to record.")
    touched = _touched(booking)
    ask_ahead(connection, _asked(touched), asked_to_record(booking))
    before = _rows(connection, touched)
    entry = record(connection, booking, signed)
    ask_ahead(connection, _asked(touched))
    refused = refusals(before, _rows(connection, touched), touched)
    if refused:
        raise RefusedError(*refused)
    return entry


def _rows(connection: "Connection", touched: "Touched") -> "dict[str, list[WrittenRow]]":
    """Return the rows that are looked at; of lots those that are touched, saying what they hold."""
    from prepstore.ledger.load import written_rows
    from prepstore.ledger.lots import balances
    from prepstore.tables.held_amounts import with_amounts_held

    if touched.everything:
        return with_amounts_held(written_rows(connection), balances(connection))
    written = written_rows(connection, *_LOTS_AND_ORDERS)
    written["stock"] = [row for row in written["stock"] if row.key in touched.lots]
    lots = [lot for (lot,) in touched.lots]
    return with_amounts_held(written, balances(connection, *lots) if lots else {})


def _asked(touched: "Touched") -> "list[Select[Any]]":
    """Return what `_rows` asks."""
    from prepstore.ledger.load import rows_of
    from prepstore.ledger.lots import all_balances, balances_of

    if touched.everything:
        return [*rows_of(), all_balances()]
    return [*rows_of(*_LOTS_AND_ORDERS), *balances_of(*(lot for (lot,) in touched.lots))]


def _touched(booking: "Booking") -> "Touched":
    from prepstore.shelf.deliveries import key_of
    from prepstore.tables.gate import Touched

    orders = {key_of(change) for change in booking.orders}
    return Touched(
        lots={(lot,) for lot in booking.lots},
        orders={(reference, pack, due.isoformat()) for reference, pack, due in orders},
        everything=bool(booking.names or booking.timetable),
    )
