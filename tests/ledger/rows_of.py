"""Rows as written, in the notation of a set of tables."""

from prepstore.ledger.rows import Movement
from prepstore.written import WrittenRow


def row(table: str, /, **text: str) -> WrittenRow:
    """Return a row of a table."""
    return WrittenRow(table, 2, f"{table}.csv", text, frozenset(text))


def movement(lot: str = "L1", number: str = "500") -> Movement:
    """Return an opening amount."""
    return Movement(
        lot=lot,
        what="opening amount",
        number=number,
        unit="g",
        written=f"{number} g",
        on_day="2027-01-25",
        at_utc="2027-01-25T09:00:00.000000+00:00",
        by="somebody",
    )
