from datetime import date

import pytest
from sqlalchemy import text

from prepstore.ledger.load import written_rows
from prepstore.ledger.movements import record, session_uses
from prepstore.ledger.names import recorded_names, renamed_by_now
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, NameChange, NameWhat, NewName, SessionUse
from prepstore.written import WrittenRow
from tests.ledger.rows_of import SIGNED, movement, put, row, store_with_lots


def _rename(table: str, was: str, now: str) -> NameChange:
    return NameChange(what=NameWhat.RENAMED, table=table, was=was, now=now)


def _book(path: Place, *changes: NameChange) -> None:
    with writing(path) as connection:
        record(connection, Booking(names=changes), SIGNED)


@pytest.fixture
def store(place: Place) -> Place:
    path = store_with_lots(place, L1="5")
    rows: dict[str, list[WrittenRow]] = {
        "items": [row("items", item=name) for name in ("pepper", "salt", "sugar")],
        "solution_parts": [row("solution_parts", solution="brine", item="Salt", amount="5 % w/v")],
        "practical_lines": [row("practical_lines", practical="P", item="salt")],
        "packs": [row("packs", pack="K1", item="SALT", supplier="salt")],
        "suppliers": [row("suppliers", supplier="salt")],
    }
    with writing(path) as connection:
        put(connection, rows)
    return path


def _cells(path: Place, table: str, column: str) -> list[str]:
    with reading(path) as connection:
        return [found.text[column] for found in written_rows(connection)[table]]


def test_a_new_name_stands_wherever_the_old_one_stood_and_in_its_place(store: Place) -> None:
    _book(store, _rename("items", "salt", "sodium chloride"))
    assert _cells(store, "items", "item") == ["sodium chloride", "pepper", "sugar"]
    for table in ("solution_parts", "practical_lines", "packs", "stock"):
        assert _cells(store, table, "item") == ["sodium chloride"], table
    assert _cells(store, "packs", "supplier") == ["salt"]  # the supplier is another thing
    assert _cells(store, "suppliers", "supplier") == ["salt"]


def test_keys_follow_so_that_a_load_finds_the_rows_again(store: Place) -> None:
    _book(store, _rename("items", "salt", "Sodium Chloride"))
    with reading(store) as connection:
        keys = set(connection.execute(text("SELECT key FROM solution_parts")).scalars())
        assert keys == {"brine\x1fsodium chloride"}
        assert (
            "sodium chloride" in connection.execute(text("SELECT key FROM items")).scalars().all()
        )


def test_what_is_retired_has_its_day_until_it_is_taken_into_use_again(store: Place) -> None:
    gone = NameChange(what=NameWhat.RETIRED, table="items", was="salt", now="2027-02-01")
    _book(store, gone)
    with reading(store) as connection:
        assert written_rows(connection)["items"][0].text["retired"] == "2027-02-01"
    _book(store, NameChange(what=NameWhat.REINSTATED, table="items", was="salt", now="2027-02-01"))
    with reading(store) as connection:
        assert "retired" not in written_rows(connection)["items"][0].text
        assert [one.change.what for one in recorded_names(connection)] == ["retired", "reinstated"]
        assert recorded_names(connection, entry=2)[0].change == gone


def _use(item: str, practical: str = "P") -> SessionUse:
    return SessionUse(
        session="S", session_date=date(2027, 2, 1), practical=practical, item=item,
        unit=movement().unit, planned=1, used=1,
    )  # fmt: skip


def test_what_was_used_before_a_rename_is_used_by_the_new_name(store: Place) -> None:
    with writing(store) as connection:
        record(connection, Booking(uses=(_use("salt"),)), SIGNED)
    _book(store, _rename("items", "salt", "sodium chloride"), _rename("practicals", "P", "Q"))
    with writing(store) as connection:
        record(connection, Booking(uses=(_use("salt"),)), SIGNED)  # another thing by then
    with reading(store) as connection:
        found = [(use.item, use.practical) for use in session_uses(connection)]
    assert found == [("sodium chloride", "Q"), ("salt", "P")]


def test_a_name_that_is_borne_again_is_free(store: Place) -> None:
    _book(store, _rename("items", "salt", "halite"))
    _book(store, _rename("items", "halite", "sodium chloride"))
    with reading(store) as connection:
        assert renamed_by_now(recorded_names(connection)) == {
            ("items", "salt"): NewName("sodium chloride", SIGNED.on_day),
            ("items", "halite"): NewName("sodium chloride", SIGNED.on_day),
        }
    _book(store, _rename("items", "sodium chloride", "Salt"))
    with reading(store) as connection:
        assert renamed_by_now(recorded_names(connection)) == {
            ("items", "halite"): NewName("Salt", SIGNED.on_day),
            ("items", "sodium chloride"): NewName("Salt", SIGNED.on_day),
        }
