from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from sqlalchemy import text

from prepstore.amounts import Kind
from prepstore.ledger.errors import StoreError
from prepstore.ledger.load import written_rows
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import (
    Asked,
    booked_among,
    first_day,
    last_movement,
    last_used_or_came,
    moved_after,
    record,
    recorded,
    session_uses,
    use_of_entries,
)
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, Change, Movement, NameChange, NameWhat, SessionUse, What
from tests.conftest import Places
from tests.ledger.rows_of import SIGNED, book, movement, store_with_lots

BILLION = 10**9


@pytest.fixture
def store(place: Place) -> Place:
    return store_with_lots(place, L1="500", L2="20")


def _amounts(path: Place) -> dict[str, str]:
    with reading(path) as connection:
        return {row.text["lot"]: row.text["amount"] for row in written_rows(connection)["stock"]}


def _asked(path: Place, **asked: Any) -> list[tuple[int, str, int]]:  # noqa: ANN401 - a builder
    with reading(path) as connection:
        found = recorded(connection, Asked(**asked))
    return [(one.entry, one.movement.lot, one.movement.billionths // BILLION) for one in found]


def test_ten_receipts_of_a_tenth_and_one_use_of_one_leave_nothing(store: Place) -> None:
    book(store, movement("L2", "-20", What.USED))
    for _ in range(10):
        book(store, movement("L2", "0.1", What.RECEIVED))
    book(store, movement("L2", "-1", What.USED))
    with reading(store) as connection:
        assert balances(connection, "l2") == {"l2": 0}


def test_an_entry_has_a_number_and_all_its_movements(store: Place) -> None:
    first = book(store, movement("L1", "-5", What.USED), movement("L2", "-1", What.USED))
    second = book(store, movement("L1", "-7", What.USED))
    assert second == first + 1
    assert _asked(store, entry=first) == [(first, "l1", -5), (first, "l2", -1)]


def test_less_than_nothing_is_refused_and_nothing_of_it_is_kept(store: Place) -> None:
    with pytest.raises(StoreError, match="cannot be used"):
        book(store, movement("L1", "-5", What.USED), movement("L2", "-20.000000001", What.USED))
    assert _amounts(store) == {"L1": "500 g", "L2": "20 g"}
    assert len(_asked(store)) == 2


def test_the_row_of_a_lot_keeps_what_was_typed_last(store: Place) -> None:
    book(store, movement("L1", "-0.25", What.USED))
    assert _amounts(store)["L1"] == "500 g"
    counted = replace(movement("L1", "0.25", What.COUNTED), written="0.5 kg")
    with writing(store) as connection:
        record(connection, Booking(movements=(counted,)), SIGNED)
    assert _amounts(store)["L1"] == "0.5 kg"
    book(store, replace(movement("L1", "-100", What.USED), written="100 g"))
    assert _amounts(store)["L1"] == "0.5 kg"
    undone = replace(movement("L1", "-0.25", What.UNDONE), reverses=4)
    with writing(store) as connection:
        record(connection, Booking(movements=(undone,), amounts={"l1": "500 g"}), SIGNED)
    assert _amounts(store)["L1"] == "500 g"


def test_an_entry_without_anything_in_it_is_never_written(store: Place) -> None:
    with writing(store) as connection, pytest.raises(ValueError, match="without anything"):
        record(connection, Booking(reason="nothing"), SIGNED)


def test_a_cell_goes_back_letter_for_letter(store: Place) -> None:
    with writing(store) as connection:
        connection.execute(text("update stock set state = 'usable' where lot = 'L1'"))
    to = Change(column="state", was="", now="reserved")
    book(store, Movement(lot="L1", what=What.STATE_CHANGED, unit=Kind.MASS, change=to))
    with reading(store) as connection:
        assert recorded(connection, Asked(lots=("l1",)))[-1].movement.change == Change(
            column="state", was="usable", now="reserved"
        )


def test_a_changed_cell_follows_and_a_blank_one_is_emptied(store: Place) -> None:
    to = Change(column="place", was="", now="shelf 1")
    book(store, Movement(lot="L1", what=What.MOVED, unit=Kind.MASS, change=to))
    with reading(store) as connection:
        assert written_rows(connection)["stock"][0].text["place"] == "shelf 1"
    back = Change(column="place", was="shelf 1", now="")
    book(store, Movement(lot="L1", what=What.UNDONE, unit=Kind.MASS, change=back, reverses=3))
    with reading(store) as connection:
        assert "place" not in written_rows(connection)["stock"][0].text
        assert recorded(connection, Asked(lots=("l1",)))[1].movement.change == to


def test_a_new_lot_stands_last_with_its_cells(store: Place) -> None:
    cells = {"lot": "L9", "item": "salt", "amount": "1 kg", "received": "2027-01-25"}
    came = replace(movement("L9", "1000", What.RECEIVED), written="1 kg")
    with writing(store) as connection:
        record(connection, Booking(movements=(came,), new_lots=(cells,)), SIGNED)
    with reading(store) as connection:
        assert dict(written_rows(connection)["stock"][-1].text) == cells
        assert balances(connection)["l9"] == 1000 * BILLION


def test_movements_of_a_lot_that_is_not_there_are_refused(store: Place) -> None:
    with pytest.raises(StoreError):
        book(store, movement("L8", "1", What.RECEIVED))
    assert len(_asked(store)) == 2


@pytest.mark.parametrize(
    ("asked", "entries"),
    [
        ({}, [1, 1, 2, 3, 4]),
        ({"lots": ("l2",)}, [1, 3]),
        ({"lots": ()}, []),
        ({"session": "S"}, [3]),
        ({"by": "Kim"}, [4]),
        ({"first_day": date(2027, 2, 1)}, [4]),
        ({"last_day": date(2027, 1, 31)}, [1, 1, 2, 3]),
        ({"newest": 2}, [3, 4]),
        ({"by": "somebody", "newest": 1}, [3]),
    ],
)
def test_the_history_is_asked_by_lot_session_person_and_day(
    asked: dict[str, Any], entries: list[int], store: Place
) -> None:
    book(store, movement("L1", "-1", What.USED))
    with writing(store) as connection:
        used = Booking(movements=(movement("L2", "-1", What.USED),), session="S")
        record(connection, used, SIGNED)
    kim = replace(SIGNED, by="Kim", on_day=date(2027, 2, 1))
    book(store, movement("L1", "-2", What.USED), signed=kim)
    assert [entry for entry, _, _ in _asked(store, **asked)] == entries


def test_what_was_undone_says_by_which_entry(store: Place) -> None:
    book(store, movement("L1", "-1", What.USED))
    book(store, replace(movement("L1", "1", What.UNDONE), reverses=3))
    with reading(store) as connection:
        found = recorded(connection, Asked(lots=("l1",)))
    assert [one.undone_by for one in found] == [None, 3, None]
    with pytest.raises(StoreError):
        book(store, replace(movement("L1", "1", What.UNDONE), reverses=3))


def test_who_and_when_are_kept(store: Place) -> None:
    with reading(store) as connection:
        one = recorded(connection, Asked(newest=1))[0]
    assert (one.by, one.on_day, one.at_utc) == (SIGNED.by, SIGNED.on_day, SIGNED.at_utc)


def _use(session: str, on: date, planned: int, used: int) -> SessionUse:
    return SessionUse(
        session=session, session_date=on, practical="P", item="salt", unit=Kind.MASS,
        planned=planned, used=used,
    )  # fmt: skip


def test_a_session_is_booked_out_until_that_is_undone(store: Place) -> None:
    monday = date(2027, 2, 1)
    for use in (_use("Mon", monday, 5, 4), _use("Late", monday, 0, 3), _use("Tue", monday, 9, 9)):
        with writing(store) as connection:
            record(connection, Booking(uses=(use,), session=use.session), SIGNED)
    with reading(store) as connection:
        every = ["Mon", "Late", "Tue", "Wed"]
        assert booked_among(connection, every) == {"mon": monday, "tue": monday}
        assert booked_among(connection, ["Wed"]) == {}
        assert session_uses(connection, session="Mon") == [_use("Mon", monday, 5, 4)]
        assert len(session_uses(connection)) == 3
    with writing(store) as connection:
        record(connection, Booking(uses=(_use("Mon", monday, -5, -4),), session="Mon"), SIGNED)
    with reading(store) as connection:
        assert booked_among(connection, ["Mon", "Tue"]) == {"tue": monday}
        assert [one.used for one in session_uses(connection, entry=5)] == [-4]


def test_lots_that_moved_after_a_movement_are_those_whose_amount_changed(store: Place) -> None:
    with reading(store) as connection:
        before = last_movement(connection)
    assert before == 2
    book(store, movement("L1", "-1", What.USED))
    to = Change(column="place", was="", now="shelf 1")
    book(store, Movement(lot="L2", what=What.MOVED, unit=Kind.MASS, change=to))
    with reading(store) as connection:
        assert moved_after(connection, before) == {"l1"}


def test_the_balance_is_kept_by_the_file_itself(store: Place) -> None:
    with writing(store) as connection:
        connection.execute(
            text(
                "INSERT INTO movements (entry, lot, what, billionths, unit) "
                "VALUES (1, 'l1', 'used', -1000000000, 'g')"
            )
        )
    with reading(store) as connection:
        assert balances(connection, "l1") == {"l1": 499 * BILLION}


def test_balances_of_many_lots_are_asked_for_at_once(places: Places) -> None:
    lots = {f"N{number}": "1" for number in range(1200)}
    path = store_with_lots(places("many.db"), **lots)
    with reading(path) as connection:
        assert len(balances(connection, *(label.lower() for label in lots))) == 1200


def test_an_entry_of_a_session_names_it_and_its_practical_as_that_is_called_now(
    store: Place,
) -> None:
    monday = date(2027, 2, 1)
    uses = (_use("Mon", monday, 5, 4), replace(_use("Mon", monday, 1, 1), item="sand"))
    with writing(store) as connection:
        record(connection, Booking(uses=uses, session="Mon"), SIGNED)
        renamed = NameChange(what=NameWhat.RENAMED, table="practicals", was="P", now="Q")
        record(connection, Booking(names=(renamed,)), SIGNED)
        record(connection, Booking(uses=(_use("Tue", monday, 1, 1),)), SIGNED)
    with reading(store) as connection:
        found = use_of_entries(connection)
    assert [(entry, one.session, one.practical) for entry, one in found.items()] == [
        (2, "Mon", "Q"),
        (4, "Tue", "P"),
    ]


def test_the_store_began_on_the_day_of_its_first_entry(store: Place, places: Places) -> None:
    book(store, movement("L1", "-1", What.USED), signed=replace(SIGNED, on_day=date(2026, 1, 1)))
    with reading(store) as connection:
        assert first_day(connection) == SIGNED.on_day
    with writing(places("empty.db")):
        pass
    with reading(places("empty.db")) as connection:
        assert first_day(connection) is None


def test_a_lot_was_last_used_on_the_day_of_its_last_use_that_is_not_undone(store: Place) -> None:
    def last() -> object:
        with reading(store) as connection:
            return last_used_or_came(connection)["l1"]

    began = last()
    later = replace(SIGNED, on_day=SIGNED.on_day + timedelta(days=30))
    book(store, movement("L1", "-5", What.USED), signed=later)
    assert last() == later.on_day
    book(store, movement("L1", "5", What.COUNTED), signed=replace(later, on_day=date(2030, 1, 1)))
    assert last() == later.on_day
    with reading(store) as connection:
        used = next(
            one.number
            for one in recorded(connection, Asked(lots=("l1",)))
            if one.movement.what is What.USED
        )
    book(store, replace(movement("L1", "5", What.UNDONE), reverses=used), signed=later)
    assert last() == began
