"""First to expire first out is first in first out where what comes later keeps longer.

Each purchase of a published table is received as a lot that keeps longer than those before, each
sale is a use of the item; what is taken from which lot gives the published cost. The table of the
reference manual was read; that of the textbook is from memory, and agrees with its own arithmetic.
"""

from datetime import timedelta
from decimal import Decimal
from itertools import groupby
from pathlib import Path

import pytest

from prepstore.amounts import of_billionths
from prepstore.cli.rooms import shelf_in
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import record
from prepstore.ledger.store_file import reading, writing
from prepstore.movements import Booking
from prepstore.shelf.asked import quantity
from prepstore.shelf.receiving import Coming, received
from prepstore.shelf.using import used_of_item
from prepstore.tables.units import read_amount
from tests.ledger.rows_of import SIGNED, put, row
from tests.published.rows import Row, rows_of

EXAMPLES = {
    name: list(rows)
    for name, rows in groupby(rows_of("first_in_first_out"), lambda r: r["example"])
}


class _Store:
    """A store with one counted item, and what each lot of it cost a piece."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._costs: dict[str, Decimal] = {}
        with writing(path) as connection:
            put(connection, {"items": [row("items", item="unit", kind="consumable", unit="each")]})

    def purchase(self, turn: Row) -> Decimal:
        """Receive a purchase as a lot of its own; return that it cost nothing yet."""
        label = f"T{turn['turn']}"
        self._costs[label.lower()] = Decimal(turn["unit_cost"])
        with writing(self._path) as connection:
            shelf = shelf_in(connection)
            unit = shelf.material("unit")
            coming = Coming(
                material=unit,
                amount=quantity(unit, read_amount(f"{turn['units']} each")),
                day=SIGNED.on_day,
                label=label,
                expiry=SIGNED.on_day + timedelta(days=int(turn["turn"])),
            )
            record(connection, received(shelf, coming), SIGNED)
        return Decimal(0)

    def sale(self, turn: Row) -> Decimal:
        """Use units of the item; return what those taken cost."""
        with writing(self._path) as connection:
            shelf = shelf_in(connection)
            unit = shelf.material("unit")
            wanted = quantity(unit, read_amount(f"{turn['units']} each"))
            movements = used_of_item(shelf, unit, wanted, SIGNED.on_day)
            record(connection, Booking(movements=movements), SIGNED)
        return sum((-one.number * self._costs[one.lot.lower()] for one in movements), Decimal(0))

    def left(self) -> dict[str, Decimal]:
        """Return what each lot holds."""
        with reading(self._path) as connection:
            return {lot: of_billionths(held) for lot, held in balances(connection).items()}

    def value(self) -> Decimal:
        """Return what all that is left cost."""
        return sum((held * self._costs[lot] for lot, held in self.left().items()), Decimal(0))


@pytest.mark.parametrize("example", EXAMPLES)
def test_what_is_used_and_left_costs_what_the_published_table_says(
    example: str, tmp_path: Path
) -> None:
    store = _Store(tmp_path / "prepstore.db")
    for turn in EXAMPLES[example]:
        cost = store.purchase(turn) if turn["what"] == "purchase" else store.sale(turn)
        assert cost == Decimal(turn["cost_of_sale"] or 0)
        assert sum(store.left().values()) == Decimal(turn["left"])
        assert store.value() == Decimal(turn["left_cost"])
