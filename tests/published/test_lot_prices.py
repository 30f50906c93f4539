"""What lots cost, against published tables: lot by lot, and on average within one lot.

A purchase of a table is a receipt at its price. In lots of their own, first in first out, each sale
costs what those lots did; in one lot, such as a carboy that is topped up, it costs the average.
"""

from collections.abc import Iterable
from decimal import Decimal
from fractions import Fraction
from itertools import groupby
from pathlib import Path

import pytest

from prepstore.movements import Booking, What
from prepstore.shelf.asked import of_number
from prepstore.shelf.using import used_of_item
from tests.builders import day
from tests.published.rows import Row, half_a_unit, rows_of
from tests.shelf.money_store import FIRST, MoneyStore

FIRST_IN_FIRST_OUT = {
    name: list(rows)
    for name, rows in groupby(rows_of("first_in_first_out"), lambda r: r["example"])
}


def _bought(store: MoneyStore, units: str, unit_cost: str, lot: str) -> None:
    price = str(Decimal(units) * Decimal(unit_cost))
    store.receive("glove", f"{units} each", lot, price)


def _costs(store: MoneyStore) -> tuple[list[Fraction], Fraction]:
    """Return what each use cost, by entry, and what all that is left cost."""
    found, lots = store.priced(), store.now()
    used: dict[int, Fraction] = {}
    for one in found.history:
        if one.movement.what is What.USED:
            cost = found.prices.by_movement[one.number].paid * Fraction(-one.movement.number)
            used[one.entry] = used.get(one.entry, Fraction(0)) + cost
    left = (
        found.prices.by_lot[lot].paid * Fraction(held, 10**9) for lot, held in lots.balances.items()
    )
    return list(used.values()), sum(left, Fraction(0))


def _sold(store: MoneyStore, units: str) -> None:
    store.do(
        lambda shelf: Booking(
            movements=used_of_item(
                shelf, shelf.material("glove"), of_number(Decimal(units)), day(FIRST)
            )
        ),
        FIRST,
    )


@pytest.mark.parametrize("example", FIRST_IN_FIRST_OUT)
def test_lot_by_lot_each_sale_costs_what_the_table_says(example: str, tmp_path: Path) -> None:
    store = MoneyStore(tmp_path, tmp_path / "prepstore.db")
    turns: Iterable[Row] = FIRST_IN_FIRST_OUT[example]
    for turn in turns:
        if turn["what"] == "purchase":
            _bought(store, turn["units"], turn["unit_cost"], f"T{turn['turn']}")
        else:
            _sold(store, turn["units"])
        sales, left = _costs(store)
        assert left == Fraction(turn["left_cost"])
        if turn["cost_of_sale"]:
            assert sales[-1] == Fraction(turn["cost_of_sale"])


@pytest.mark.parametrize("case", rows_of("weighted_average"), ids=lambda case: case["example"])
def test_in_one_lot_a_sale_costs_the_average_that_the_table_says(case: Row, tmp_path: Path) -> None:
    store = MoneyStore(tmp_path, tmp_path / "prepstore.db")
    for purchase in case["purchases"].split("; "):
        units, unit_cost = purchase.split(" at ")
        _bought(store, units, unit_cost, "T1")
    _sold(store, case["sold"])
    (sale,), left = _costs(store)
    for cost, printed in ((sale, case["cost_of_sale"]), (left, case["left_cost"])):
        is_rounded = case["confidence"] == "from memory"
        tolerance = Fraction(half_a_unit(printed)) if is_rounded else Fraction(0)
        assert abs(cost / Fraction(printed) - 1) <= tolerance
