from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import text

from prepstore.history import HISTORY
from prepstore.ledger.containers import containers_held
from prepstore.ledger.errors import StoreError
from prepstore.ledger.kept_rows import history_rows, is_blank, put_history
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import Asked, record, recorded
from prepstore.ledger.place import Place
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import is_there, reading, writing
from prepstore.movements import Booking, Change, What
from prepstore.tables.history_intake import history_intake
from tests.conftest import Places
from tests.ledger.rows_of import SIGNED, book, movement, put, row, store_with_lots
from tests.tables.small_history import SET
from tests.tables.written_rows import written

BILLION = 10**9


@pytest.fixture
def moved(places: Places) -> Place:
    """A store into which the small history was put."""
    path = places("moved.db")
    taken = history_intake(written(**SET), [])
    with writing(path) as connection:
        put_history(connection, taken.intake.rows, taken.former_lots, taken.history)
    return path


def _cells(path: Place, table: str) -> list[dict[str, str]]:
    with reading(path) as connection:
        return [dict(one.text) for one in history_rows(connection)[table]]


def test_a_movement_says_its_change_in_digits_and_its_lot_as_it_is_spelled(place: Place) -> None:
    store = store_with_lots(place, L1="1.5")
    book(store, movement("L1", "-0.000000001", What.USED))
    first, used = _cells(store, "movements")
    assert first == {
        "movement": "1", "entry": "1", "lot": "L1", "what": "opening amount", "change": "1.5",
        "unit": "g",
    }  # fmt: skip
    assert used["change"] == "-0.000000001"


def test_what_is_blank_is_left_out_and_a_day_is_iso(place: Place) -> None:
    store = store_with_lots(place, L1="1")
    known_as = {} if isinstance(store, Path) else {"database_user": "postgres"}
    assert _cells(store, "entries") == [
        {"entry": "1", "day": "2027-01-25", "at_utc": SIGNED.at_utc, "by": "somebody", **known_as}
    ]


def test_every_table_is_there_though_nothing_is_in_it(places: Places) -> None:
    with writing(places("new.db")) as connection:
        assert history_rows(connection) == {name: [] for name in HISTORY}


def test_lots_that_are_gone_say_above_which_row_of_stock_they_stood(place: Place) -> None:
    store = store_with_lots(place, A="1", B="2", C="3", D="4")
    with writing(store) as connection:
        connection.execute(text("UPDATE stock SET gone = 'undone' WHERE lot IN ('A', 'C', 'D')"))
    assert [(one["lot"], one["above_row"]) for one in _cells(store, "former_lots")] == [
        ("A", "2"),
        ("C", "3"),
        ("D", "3"),
    ]


def test_a_new_store_holds_what_the_history_comes_to(moved: Place) -> None:
    with reading(moved) as connection:
        held = balances(connection)
        assert held == {"s1": 480 * BILLION, "s2": 1000 * BILLION, "g1": 0, "s9": 0}
        history = recorded(connection, Asked())
        assert [one.number for one in history] == list(range(1, 12))
        assert list(faults(connection)) == []
    undone = [one.undone_by for one in history if one.undone_by is not None]
    assert undone == [3, 6, 10]
    change = next(one for one in history if one.movement.change is not None)
    assert change.movement.change == Change(column="place", was="shelf 1", now="shelf 2")
    assert (change.on_day, change.by, change.reason) == (date(2027, 2, 3), "Ana", "tidied")


def test_the_containers_of_a_new_store_stand_as_the_history_leaves_them(moved: Place) -> None:
    with reading(moved) as connection:
        held = containers_held(connection)
    assert [(one.label, str(one.state), int(one.filled)) for one in held.containers] == [
        ("W27-001", "sealed", 3400),
        ("W27-002", "open", 200),
    ]
    assert held.empty == {"acid": 1}


def test_what_was_put_in_comes_out_the_same(moved: Place) -> None:
    for table in HISTORY:
        expected = [dict(one.text) for one in written(**SET)[table]]
        if table == "session_uses":
            expected = [{**one, "lacked": "0"} for one in expected]
        assert _cells(moved, table) == expected


def test_former_lots_stand_among_the_others(moved: Place) -> None:
    with reading(moved) as connection:
        rows = connection.execute(text("SELECT lot, gone FROM stock ORDER BY position")).all()
    assert [tuple(one) for one in rows] == [
        ("S1", None),
        ("S9", "undone"),
        ("S2", None),
        ("G1", None),
    ]


def test_a_changed_cell_that_was_blank_comes_back_as_blank_and_not_as_nothing(
    places: Places,
) -> None:
    rows = {**SET, "movements": SET["movements"].replace("place,shelf 1,", "place,,")}
    taken = history_intake(written(**rows), [])
    path = places("moved.db")
    with writing(path) as connection:
        put_history(connection, taken.intake.rows, taken.former_lots, taken.history)
        found = connection.execute(text("SELECT was, now FROM movements WHERE movement IN (8, 9)"))
        assert [tuple(one) for one in found] == [(None, None), ("", "shelf 2")]
    assert "was" not in _cells(path, "movements")[8]


def test_what_is_recorded_next_has_the_next_numbers(moved: Place) -> None:
    with writing(moved) as connection:
        entry = record(connection, Booking(movements=(movement("S1", "-1", What.USED),)), SIGNED)
    assert entry == 11
    assert [one["movement"] for one in _cells(moved, "movements")][-1] == "12"


def test_a_store_is_blank_until_anything_is_in_it(places: Places) -> None:
    with writing(places("new.db")) as connection:
        assert is_blank(connection)
        put(connection, {"settings": [row("settings", setting="currency", value="EUR")]})
        assert not is_blank(connection)


def test_an_entry_alone_is_something(places: Places) -> None:
    with writing(places("new.db")) as connection:
        connection.execute(
            text(
                "INSERT INTO entries (entry, on_day, at_utc, by) "
                "VALUES (1, '2027-01-01', 'now', 'Kim')"
            )
        )
        assert not is_blank(connection)


def test_rows_that_do_not_agree_leave_nothing_behind(places: Places) -> None:
    taken = history_intake(written(**SET), [])
    short = replace(taken.history, movements=taken.history.movements[2:])
    with pytest.raises(StoreError), writing(places("new.db")) as connection:
        put_history(connection, taken.intake.rows, taken.former_lots, short)
    assert not is_there(places("new.db"))
