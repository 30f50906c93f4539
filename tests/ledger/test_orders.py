from datetime import date

import pytest

from prepstore.ledger.load import written_rows
from prepstore.ledger.movements import record
from prepstore.ledger.orders import recorded_orders
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, OrderChange, OrderWhat
from tests.ledger.rows_of import SIGNED, put, row, store_with_lots

DUE = date(2027, 2, 5)


def _change(what: OrderWhat, packs: int, due: date = DUE, reference: str = "PO 1") -> OrderChange:
    return OrderChange(
        what=what, pack="H1", packs=packs, due=due, reference=reference, price="7.40"
    )


def _book(path: Place, *changes: OrderChange, rows_follow: bool = True) -> None:
    with writing(path) as connection:
        record(connection, Booking(orders=changes), SIGNED, rows_follow=rows_follow)


def _on_order(path: Place) -> list[dict[str, str]]:
    with reading(path) as connection:
        return [dict(found.text) for found in written_rows(connection, "on_order")["on_order"]]


@pytest.fixture
def store(place: Place) -> Place:
    return store_with_lots(place)


def test_what_is_on_order_is_the_sum_of_its_changes(store: Place) -> None:
    _book(store, _change(OrderWhat.PLACED, 3))
    expected = {"pack": "H1", "packs": "3", "due": "2027-02-05", "reference": "PO 1"}
    assert _on_order(store) == [{**expected, "price": "7.40"}]
    _book(store, _change(OrderWhat.ARRIVED, -1))
    _book(store, _change(OrderWhat.PLACED, 2))
    assert [found["packs"] for found in _on_order(store)] == ["4"]
    _book(store, _change(OrderWhat.CANCELLED, -4))
    assert _on_order(store) == []


def test_another_day_is_another_row(store: Place) -> None:
    _book(store, _change(OrderWhat.PLACED, 3))
    later = date(2027, 2, 9)
    _book(store, _change(OrderWhat.DUE_CHANGED, -3), _change(OrderWhat.DUE_CHANGED, 3, later))
    assert [(found["due"], found["packs"]) for found in _on_order(store)] == [("2027-02-09", "3")]


def test_an_order_without_a_reference_has_none(store: Place) -> None:
    _book(store, _change(OrderWhat.PLACED, 1, reference=""))
    assert "reference" not in _on_order(store)[0]
    _book(store, _change(OrderWhat.ARRIVED, -1, reference=""))
    assert _on_order(store) == []


def test_rows_that_a_load_has_saved_are_left_alone(store: Place) -> None:
    with writing(store) as connection:
        put(connection, {"on_order": [row("on_order", pack="H1", packs="3", due="2027-02-05")]})
    _book(store, _change(OrderWhat.PLACED, 3, reference=""), rows_follow=False)
    assert [found["packs"] for found in _on_order(store)] == ["3"]


def test_the_history_of_orders_keeps_price_and_who(store: Place) -> None:
    _book(store, _change(OrderWhat.PLACED, 3))
    _book(store, _change(OrderWhat.ARRIVED, -1))
    with reading(store) as connection:
        placed, arrived = recorded_orders(connection)
        assert recorded_orders(connection, entry=arrived.entry) == [arrived]
    assert (placed.change.price, placed.by, placed.on_day) == ("7.40", SIGNED.by, SIGNED.on_day)
    assert arrived.change == _change(OrderWhat.ARRIVED, -1)
    assert arrived.undone_by is None
