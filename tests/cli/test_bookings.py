from dataclasses import replace
from pathlib import Path

import pytest

from prepstore.amounts import Kind
from prepstore.cli.booking_options import Hand
from prepstore.cli.bookings import book
from prepstore.ledger.errors import StoreError
from prepstore.ledger.movements import Asked, recorded
from prepstore.ledger.store_file import reading
from prepstore.movements import Booking, Movement, What
from prepstore.problems import RefusedError
from tests.builders import day
from tests.ledger.rows_of import store_with_lots

USED = Booking(movements=(Movement(lot="L1", what=What.USED, billionths=-(10**9), unit=Kind.MASS),))


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-28")
    return store_with_lots(tmp_path / "prepstore.db", L1="5")


def _entries(path: Path) -> list[tuple[int, str, str]]:
    with reading(path) as connection:
        found = recorded(connection, Asked(lots=("l1",)))
    return [(one.entry, one.by, one.on_day.isoformat()) for one in found][1:]


def test_what_is_decided_is_recorded_and_told(
    store: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book(store, Hand("Kim", day("02-03")), lambda _shelf, _day: USED)
    assert _entries(store) == [(2, "Kim", "2027-02-03")]
    assert capsys.readouterr().out.splitlines() == [
        "L1 salt: used 1 g, 4 g left",
        "Recorded as entry 2. To undo it: prepstore stock undo 2",
    ]


def test_it_is_decided_from_the_shelf_and_the_day(store: Path) -> None:
    seen = []

    def decide(shelf: object, on: object) -> Booking:
        seen.append((shelf.lot("L1").amount, on))  # type: ignore[attr-defined]
        return USED

    book(store, Hand("Kim", day("02-03")), decide)
    book(store, Hand("Kim", day("02-04")), decide)
    assert seen == [(5, day("02-03")), (4, day("02-04"))]


def test_a_trial_is_told_and_not_recorded(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book(store, Hand("Kim", day("02-03"), is_trial=True), lambda _shelf, _day: USED)
    assert _entries(store) == []
    assert capsys.readouterr().out.endswith("Nothing was recorded.\n")


def test_what_is_refused_is_not_recorded(store: Path) -> None:
    def refuse(_shelf: object, _day: object) -> Booking:
        raise RefusedError("No.")

    with pytest.raises(RefusedError):
        book(store, Hand(None, None), refuse)
    assert _entries(store) == []


def test_a_store_that_is_not_there_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="There is no store"):
        book(tmp_path / "none.db", Hand(None, None), lambda _shelf, _day: USED)
    assert list(tmp_path.iterdir()) == []


class Screen:
    """Standard input of a person at a terminal, who answers as told."""

    def __init__(self, answer: str) -> None:
        self._answer = answer

    def isatty(self) -> bool:
        return True

    def readline(self, _limit: int = -1) -> str:
        return f"{self._answer}\n"


FAR = Hand("Kim", day("2028-03-01"))
"""More than a year after the end of February 2027, which is today in these tests."""


@pytest.mark.parametrize(("answer", "entries"), [("y", 1), ("n", 0)])
def test_a_doubt_is_asked_about_at_a_terminal(
    answer: str, entries: int, store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Screen(answer))
    book(store, FAR, lambda _shelf, _day: USED)
    assert len(_entries(store)) == entries


def test_a_doubt_is_a_warning_where_nobody_can_be_asked(
    store: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    book(store, FAR, lambda _shelf, _day: USED)
    assert len(_entries(store)) == 1
    assert "2028-03-01 is more than a year ahead of today" in capsys.readouterr().err


def test_nobody_is_asked_where_nothing_is_in_doubt(
    store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Screen("n"))
    book(store, Hand("Kim", day("02-03")), lambda _shelf, _day: USED)
    assert len(_entries(store)) == 1


def test_nobody_is_asked_who_has_agreed_already(
    store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Screen("n"))
    book(store, replace(FAR, is_agreed=True), lambda _shelf, _day: USED)
    assert len(_entries(store)) == 1


def test_what_has_changed_while_somebody_was_asked_is_not_recorded(
    store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", Screen("y"))
    turns = iter((USED, replace(USED, reason="another")))
    with pytest.raises(RefusedError, match="Something else was recorded in the meantime"):
        book(store, FAR, lambda _shelf, _day: next(turns))
    assert _entries(store) == []


def test_nothing_is_no_entry(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book(store, Hand("Kim", day("02-03")), lambda _shelf, _day: Booking())
    assert capsys.readouterr().out == "Nothing was recorded.\n"
    assert _entries(store) == []
