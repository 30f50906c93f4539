from typing import Any

from prepstore.amounts import Kind
from prepstore.ledger.labels import relabelled, with_earlier_labels
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, Change, Movement, What
from tests.ledger.rows_of import SIGNED, store_with_lots


def _under(store: Place, was: str, now: str) -> None:
    change = Change(column="label", was=was, now=now)
    amount = 500 * 10**9
    both: dict[str, Any] = {"what": What.CORRECTED, "unit": Kind.MASS, "change": change}
    away = Movement(lot=was, billionths=-amount, **both)
    there = Movement(lot=now, billionths=amount, item="salt", **both)
    cells = {"lot": now, "item": "salt", "amount": "500 g"}
    with writing(store) as connection:
        record(
            connection,
            Booking(
                movements=(away, there), new_lots=(cells,), gone={was.casefold(): "relabelled"}
            ),
            SIGNED,
        )


def test_a_lot_is_found_under_its_present_label_and_with_its_earlier_ones(place: Place) -> None:
    store = store_with_lots(place, L1="500")
    _under(store, "L1", "L2")
    _under(store, "L2", "L3")
    with reading(store) as connection:
        now = relabelled(connection)
        assert {old: name.name for (_, old), name in now.items()} == {"l1": "L3", "l2": "L3"}
        assert with_earlier_labels(connection, "l3") == {"l3": None, "l2": 4, "l1": 2}
        assert with_earlier_labels(connection, "l1") == {"l1": None}
