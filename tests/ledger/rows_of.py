"""Rows as written, in the notation of a set of tables, and bookings in a line."""

from datetime import date
from decimal import Decimal
from typing import TypeVar

from sqlalchemy import Connection

from prepstore.amounts import Kind, in_billionths
from prepstore.ledger.load import written_rows
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.save import save_rows
from prepstore.ledger.store import writing
from prepstore.movements import Booking, Movement, Signed, What
from prepstore.written import WrittenRow

Some = TypeVar("Some", bound=Place)
SIGNED = Signed(by="somebody", on_day=date(2027, 1, 25), at_utc="2027-01-25T09:00:00.000000+00:00")


def row(table: str, /, **text: str) -> WrittenRow:
    """Return a row of a table."""
    return WrittenRow(table, 2, f"{table}.csv", text, frozenset(text))


def put(connection: Connection, rows: dict[str, list[WrittenRow]]) -> None:
    """Let tables hold these rows and no others."""
    save_rows(connection, written_rows(connection), rows)


def movement(
    lot: str = "L1", number: str = "500", what: What = What.COUNTED, unit: str = "g"
) -> Movement:
    """Return a movement of a lot."""
    billionths = in_billionths(Decimal(number))
    return Movement(lot=lot, what=what, billionths=billionths, unit=Kind(unit))


def book(place: Place, *movements: Movement, signed: Signed = SIGNED) -> int:
    """Record movements as one entry; return its number."""
    with writing(place) as connection:
        return record(connection, Booking(movements=movements), signed)


def store_with_lots(place: Some, **lots: str) -> Some:
    """Make a store with lots of sodium chloride, by label and amount in g."""
    signs = [row("stock", lot=lot, item="salt", amount=f"{held} g") for lot, held in lots.items()]
    with writing(place) as connection:
        put(connection, {"items": [row("items", item="salt", kind="reagent", unit="g")]})
        put(connection, {"stock": signs})
        opening = tuple(movement(lot, held, What.OPENING_AMOUNT) for lot, held in lots.items())
        if opening:
            record(connection, Booking(movements=opening), SIGNED)
    return place
