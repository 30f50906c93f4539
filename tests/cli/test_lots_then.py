from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from prepstore.cli.lots_then import day_past, lots_of_day
from prepstore.ledger.store import reading
from tests.shelf.money_store import MoneyStore


@pytest.mark.parametrize(
    ("day", "past"),
    [("2027-03-30", "2027-03-30"), ("2027-03-31", None), ("2027-04-01", None)],
)
def test_today_and_later_days_are_no_past(
    day: str, past: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-31")
    assert day_past(date.fromisoformat(day)) == (past and date.fromisoformat(past))
    assert day_past(None) is None


def test_lots_of_no_day_are_those_that_are_there_now(tmp_path: Path) -> None:
    store = MoneyStore(tmp_path, tmp_path / "prepstore.db")
    store.receive("acetone", "1 L", "A1")
    gone = store.receive("acetone", "1 L", "A2")
    store.undo(gone)
    assert [row.text["lot"] for row in store.now().rows] == ["A1"]
    with reading(store.path) as connection:
        assert lots_of_day(connection, date(2027, 2, 1)) == lots_of_day(connection, None)


def test_what_is_in_a_lot_bears_its_name_of_now(tmp_path: Path) -> None:
    store = MoneyStore(tmp_path, tmp_path / "prepstore.db")
    store.receive("acetone", "1 L", "A1")
    found = store.priced()
    assert [found.item_of(one) for one in found.history] == ["acetone"]
    assert found.estimates.of("salt").estimated == Fraction("0.005")
