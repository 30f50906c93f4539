from pathlib import Path

import pytest

from prepstore.amounts import of_billionths, plain
from prepstore.ledger.place import Place
from tests.shelf.money_store import MoneyStore


@pytest.fixture
def store(tmp_path: Path, place: Place) -> MoneyStore:
    return MoneyStore(tmp_path, place)


def _lots(store: MoneyStore, on: str) -> dict[str, tuple[str, str]]:
    """Return by label how a list of a day says the amount, and the amount itself."""
    lots = store.lots(on)
    return {
        row.text["lot"]: (row.text["amount"], plain(of_billionths(lots.balances[row.key[0]])))
        for row in lots.rows
    }


def _cell(store: MoneyStore, on: str, column: str, lot: str = "a1") -> str:
    (row,) = (row for row in store.lots(on).rows if row.key[0] == lot)
    return row.text.get(column, "")


def test_a_lot_is_listed_from_the_day_it_came_with_what_it_held_on_each(store: MoneyStore) -> None:
    store.receive("acetone", "2.5 L", "A1", on="02-03")
    store.use("A1", "500 mL", on="02-05")
    assert "A1" not in _lots(store, "02-02")
    assert _lots(store, "02-03")["A1"] == ("2.5 L", "2500")
    assert _lots(store, "02-04")["A1"] == ("2.5 L", "2500")
    assert _lots(store, "02-05")["A1"] == ("2000 mL", "2000")


def test_what_was_typed_later_counts_on_the_day_of_which_it_is(store: MoneyStore) -> None:
    store.receive("acetone", "2.5 L", "A1", on="02-03")
    store.use("A1", "500 mL", on="02-09")
    store.use("A1", "100 mL", on="02-05")
    assert _lots(store, "02-04")["A1"] == ("2.5 L", "2500")
    assert _lots(store, "02-05")["A1"] == ("2400 mL", "2400")


def test_an_undo_counts_on_its_own_day(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", on="02-03")
    use = store.use("A1", "400 mL", on="02-04")
    undo = store.undo(use, on="02-06")
    store.undo(undo, on="02-08")
    held = [_lots(store, f"02-{on:02}")["A1"][1] for on in range(3, 9)]
    assert held == ["1000", "600", "600", "1000", "1000", "600"]


def test_a_lot_whose_receipt_was_undone_was_there_until_then(store: MoneyStore) -> None:
    came = store.receive("acetone", "1 L", "A1", on="02-03")
    undo = store.undo(came, on="02-05")
    store.undo(undo, on="02-07")
    there = [on for on in range(2, 8) if "A1" in _lots(store, f"02-{on:02}")]
    assert there == [3, 4, 7]


def test_a_count_is_said_in_the_words_in_which_it_was_typed(store: MoneyStore) -> None:
    store.receive("acetone", "1 L", "A1", on="02-03")
    store.use("A1", "400 mL", on="02-04")
    store.count("A1", "0.5 L", on="02-05")
    store.use("A1", "100 mL", on="02-09")
    assert _lots(store, "02-05")["A1"] == ("0.5 L", "500")
    # a use of the day before the count, typed after it
    store.use("A1", "10 mL", on="02-04")
    assert _lots(store, "02-05")["A1"] == ("490 mL", "490")
    assert _lots(store, "02-04")["A1"] == ("590 mL", "590")


def test_a_count_of_a_day_before_a_later_use_is_not_what_the_lot_held_after_it(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "1 L", "A1", on="02-03")
    store.use("A1", "400 mL", on="02-06")
    store.count("A1", "0.9 L", on="02-05")
    store.use("A1", "1 mL", on="02-09")
    assert _lots(store, "02-05")["A1"] == ("0.9 L", "900")
    assert _lots(store, "02-06")["A1"] == ("500 mL", "500")


def test_cells_stand_as_they_did(store: MoneyStore) -> None:
    store.receive("acetone", "2 L", "A1", on="02-03", containers=2)
    store.change("A1", "place", "shelf 2", on="02-04")
    store.change("A1", "place", "shelf 3", on="02-06")
    store.open("A1", on="02-06")
    assert [_cell(store, on, "place") for on in ("02-03", "02-04", "02-05", "02-06")] == [
        "",
        "shelf 2",
        "shelf 2",
        "shelf 3",
    ]
    assert [_cell(store, on, "containers") for on in ("02-05", "02-06")] == ["2", ""]
    assert "A1-1" not in _lots(store, "02-05")
    assert "A1-1" in _lots(store, "02-06")


def test_a_change_of_an_earlier_day_that_was_typed_later_counts_from_that_day(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "2 L", "A1", on="02-03")
    store.change("A1", "place", "shelf 2", on="02-06")
    store.change("A1", "place", "shelf 3", on="02-04")
    assert [_cell(store, on, "place") for on in ("02-03", "02-04")] == ["", "shelf 3"]


def test_what_the_store_began_with_was_there_before_from_the_day_it_came(
    tmp_path: Path, place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-05")
    stock = "lot,item,amount,received\nA0,acetone,1 L,\nA1,acetone,2 L,2027-02-03"
    store = MoneyStore(tmp_path, place, stock=stock)
    store.use("A0", "400 mL", on="02-06")
    store.receive("acetone", "1 L", "A2", on="02-05")
    assert _lots(store, "02-02") == {"A0": ("1 L", "1000")}
    assert set(_lots(store, "02-03")) == {"A0", "A1"}
    assert _lots(store, "02-06")["A0"] == ("600 mL", "600")
    assert set(_lots(store, "02-05")) == {"A0", "A1", "A2"}


def test_a_list_since_the_store_began_shows_its_first_lots_whenever_they_came(
    tmp_path: Path, place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-05")
    stock = "lot,item,amount,received\nA0,acetone,1 L,2027-02-08"
    store = MoneyStore(tmp_path, place, stock=stock)
    store.use("A0", "400 mL", on="02-09")
    assert _lots(store, "02-06") == {"A0": ("1 L", "1000")}


def test_a_lot_of_a_later_load_is_listed_from_that_day(
    tmp_path: Path, place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-02")
    store = MoneyStore(tmp_path, place, stock="lot,item,amount\nA0,acetone,1 L")
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-05")
    store.load(tmp_path / "later", {"stock": "lot,item,amount\nA1,acetone,1 L"})
    assert set(_lots(store, "02-04")) == {"A0"}
    assert set(_lots(store, "02-05")) == {"A0", "A1"}


def test_a_lot_under_a_new_label_had_the_old_one_before(store: MoneyStore) -> None:
    store.receive("acetone", "2 L", "A1", on="02-03")
    store.change("A1", "place", "shelf 2", on="02-04")
    store.relabel("A1", "A2", on="02-06")
    assert set(_lots(store, "02-05")) == {"A1"}
    assert _lots(store, "02-05")["A1"][1] == "2000"
    assert _cell(store, "02-05", "place") == "shelf 2"
    assert set(_lots(store, "02-06")) == {"A2"}


def test_a_label_that_another_lot_has_now_shows_what_was_in_the_one_before(
    store: MoneyStore,
) -> None:
    store.receive("acetone", "2 L", "A1", on="02-03")
    store.relabel("A1", "A2", on="02-06")
    store.receive("salt", "1 kg", "A1", on="02-07")
    store.use("A1", "1 g", on="02-09")
    assert _lots(store, "02-05")["A1"] == ("2 L", "2000")
    assert _cell(store, "02-05", "item") == "acetone"
    assert "A1" not in _lots(store, "02-06")
    assert (_cell(store, "02-08", "item"), _lots(store, "02-08")["A1"][1]) == ("salt", "1000")
