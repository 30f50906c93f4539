from pathlib import Path

import pytest
from sqlalchemy import Connection, select

from prepstore.ledger import damage
from prepstore.ledger.errors import StoreError
from prepstore.ledger.lots import STOCK, balances
from prepstore.ledger.movements import record
from prepstore.ledger.store import all_or_nothing, back_up, checks_of, is_there, reading, restore
from prepstore.movements import Booking
from tests.ledger.rows_of import SIGNED, movement, store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="500")


def _held(store: Path) -> dict[str, int]:
    with reading(store) as connection:
        return balances(connection)


def test_a_store_is_there_once_it_is_made(tmp_path: Path) -> None:
    place = tmp_path / "prepstore.db"
    assert not is_there(place)
    with pytest.raises(StoreError, match="There is no store"), reading(place):
        pass
    assert all_or_nothing(place, lambda _: "made") == "made"
    assert is_there(place)


def test_what_is_done_is_kept_and_what_it_returns_is_returned(store: Path) -> None:
    def use(connection: Connection) -> int:
        return record(connection, Booking(movements=(movement("L1", "-200"),)), SIGNED)

    assert all_or_nothing(store, use) == 2
    assert _held(store) == {"l1": 300 * 10**9}


def test_of_what_fails_nothing_is_kept(store: Path) -> None:
    def fail(connection: Connection) -> None:
        record(connection, Booking(movements=(movement("L1", "-200"),)), SIGNED)
        raise KeyError

    with pytest.raises(KeyError):
        all_or_nothing(store, fail)
    assert _held(store) == {"l1": 500 * 10**9}


def test_a_backup_is_kept_and_put_back(store: Path, tmp_path: Path) -> None:
    kept = tmp_path / "kept.db"
    assert back_up(store, kept) is None
    all_or_nothing(store, lambda connection: connection.execute(STOCK.update().values(place="x")))
    looked_at: list[Connection] = []
    aside = restore(store, kept, looked_at.append)
    assert len(looked_at) == 1
    assert aside is not None
    for place, expected in ((store, None), (aside, "x")):
        with reading(place) as connection:
            assert connection.execute(select(STOCK.c.place)).scalar() == expected


def test_faults_of_a_file_are_found_by_what_knows_files(store: Path) -> None:
    with reading(store) as connection:
        assert checks_of(connection) is damage
