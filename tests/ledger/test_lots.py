import pytest

from prepstore.ledger.labels import began_again
from prepstore.ledger.load import written_rows
from prepstore.ledger.lots import balances, lot_cells, lot_names
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, Movement, NameChange, NameWhat, What
from tests.ledger.rows_of import SIGNED, book, movement, put, row, store_with_lots


@pytest.fixture
def store(place: Place) -> Place:
    return store_with_lots(place, L1="500", L2="20")


def _gone(store: Place, lot: str = "L2") -> None:
    back = Movement(lot=lot, what=What.UNDONE, billionths=-20 * 10**9, unit="g", reverses=2)  # type: ignore[arg-type]
    with writing(store) as connection:
        record(connection, Booking(movements=(back,), gone={"l2": "undone"}), SIGNED)


def _labels(store: Place) -> list[str]:
    with reading(store) as connection:
        return [found.text["lot"] for found in written_rows(connection, "stock")["stock"]]


def test_a_lot_that_is_gone_is_in_no_table_and_its_history_has_its_name(store: Place) -> None:
    _gone(store)
    assert _labels(store) == ["L1"]
    with reading(store) as connection:
        assert lot_names(connection)["l2"] == ("L2", "salt")
        assert lot_cells(connection, ["l2", "l9"]) == {
            "l2": {"lot": "L2", "item": "salt", "amount": "20 g"}
        }
        assert balances(connection)["l2"] == 0
        assert list(faults(connection)) == []


def test_a_lot_that_is_there_again_is_in_the_table_again(store: Place) -> None:
    _gone(store)
    with writing(store) as connection:
        again = Movement(lot="L2", what=What.UNDONE, billionths=20 * 10**9, unit="g", reverses=3)  # type: ignore[arg-type]
        record(connection, Booking(movements=(again,), gone={"l2": ""}), SIGNED)
    assert _labels(store) == ["L1", "L2"]


def test_the_label_of_a_lot_that_is_gone_can_be_given_again(store: Place) -> None:
    _gone(store)
    came = Movement(lot="l2", what=What.RECEIVED, billionths=10**9, unit="mL", item="water")  # type: ignore[arg-type]
    cells = {"lot": "l2", "item": "water", "amount": "1 mL"}
    with writing(store) as connection:
        record(connection, Booking(movements=(came,), new_lots=(cells,)), SIGNED)
    assert _labels(store) == ["L1", "l2"]
    with reading(store) as connection:
        assert list(faults(connection)) == []


def test_a_load_may_give_the_label_of_a_lot_that_is_gone(store: Place) -> None:
    _gone(store)
    with writing(store) as connection:
        both = [row("stock", lot=lot, item="salt", amount="5 g") for lot in ("L1", "L2")]
        put(connection, {"stock": both})
    assert _labels(store) == ["L1", "L2"]


def test_what_was_in_the_lots_of_a_label_that_was_used_again_is_known(store: Place) -> None:
    for item in ("salt", "sugar"):
        came = Movement(lot="L1", what=What.RECEIVED, billionths=1, unit="g", item=item)  # type: ignore[arg-type]
        book(store, came)
    book(store, movement("L2", "1", What.RECEIVED))
    with reading(store) as connection:
        assert began_again(connection) == {"l1": [(3, "salt"), (4, "sugar")]}


def test_a_row_that_made_room_for_another_lot_keeps_its_place_when_its_item_is_renamed(
    store: Place,
) -> None:
    _gone(store)
    came = Movement(lot="L2", what=What.RECEIVED, billionths=10**9, unit="g", item="sugar")  # type: ignore[arg-type]
    cells = {"lot": "L2", "item": "sugar", "amount": "1 g"}
    change = NameChange(what=NameWhat.RENAMED, table="items", was="salt", now="table salt")
    with writing(store) as connection:
        record(connection, Booking(movements=(came,), new_lots=(cells,)), SIGNED)
        record(connection, Booking(names=(change,)), SIGNED)
    with reading(store) as connection:
        assert lot_names(connection) == {"l1": ("L1", "table salt"), "l2": ("L2", "sugar")}
        assert list(faults(connection)) == []
