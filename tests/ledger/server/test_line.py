"""What goes along with what, counted on the wire; and that nothing is answered from before."""

from collections.abc import Iterator
from typing import Any

import psycopg
import pytest
from sqlalchemy import Connection, Select, insert, select, text

from prepstore.amounts import Kind
from prepstore.ledger.ahead import ask_ahead
from prepstore.ledger.entries import ENTRIES
from prepstore.ledger.errors import StoreError
from prepstore.ledger.lots import STOCK, all_balances, balances
from prepstore.ledger.movements import MOVEMENTS
from prepstore.ledger.place import ServerPlace, place_of
from prepstore.ledger.server import line
from prepstore.ledger.store import all_or_nothing, reading
from tests.ledger.rows_of import store_with_lots
from tests.relay import Relay, relayed
from tests.servers import Server, asked

pytestmark = pytest.mark.server

ALL_LOTS: Select[Any] = select(STOCK.c.lot).order_by(STOCK.c.lot)
TO_CONNECT = 3
"""TCP's beginning, the question for TLS, the user's name."""


@pytest.fixture
def store(server: Server) -> Iterator[ServerPlace]:
    place = server.fresh()
    store_with_lots(place, L1="5", L2="7")
    yield place
    server.drop(place.name)


@pytest.fixture
def relay(server: Server) -> Iterator[Relay]:
    with relayed(server.port) as one:
        yield one


@pytest.fixture
def far(store: ServerPlace, relay: Relay) -> ServerPlace:
    """The store by way of the relay."""
    found = place_of(f"postgresql://postgres@127.0.0.1:{relay.port}/{store.name}")
    assert isinstance(found, ServerPlace)
    return found


def _enter(connection: Connection, entry: int, change: int) -> None:
    connection.execute(
        insert(ENTRIES).values(entry=entry, on_day="2027-02-01", at_utc="2027", by="kim")
    )
    values = {"entry": entry, "lot": "l1", "what": "counted", "unit": str(Kind.MASS)}
    connection.execute(insert(MOVEMENTS).values(billionths=change, **values))


def test_what_is_asked_ahead_is_one_trip(far: ServerPlace, relay: Relay) -> None:
    with reading(far) as connection:
        relay.trips = 0
        ask_ahead(connection, [ALL_LOTS], [all_balances()])
        assert relay.trips == 0
        assert list(connection.execute(ALL_LOTS).scalars()) == ["L1", "L2"]
        assert balances(connection) == {"l1": 5 * 10**9, "l2": 7 * 10**9}
        assert balances(connection)["l2"] == 7 * 10**9
        assert relay.trips == 1
        connection.execute(text("SELECT 1"))
        assert relay.trips == 2


def test_what_is_written_goes_with_the_next_question(far: ServerPlace, relay: Relay) -> None:
    def act(connection: Connection) -> None:
        relay.trips = 0
        _enter(connection, 2, 10**9)
        assert relay.trips == 0
        assert balances(connection, "l1") == {"l1": 6 * 10**9}
        # To connect, and no trip of its own to begin.
        assert relay.trips == 1

    all_or_nothing(far, act)
    assert relay.trips == 2


def test_all_of_a_transaction_is_one_trip_where_nothing_is_asked(
    far: ServerPlace, relay: Relay
) -> None:
    all_or_nothing(far, lambda connection: _enter(connection, 2, 10**9))
    assert relay.trips == TO_CONNECT + 1
    with reading(far) as connection:
        assert balances(connection)["l1"] == 6 * 10**9


def test_an_answer_is_forgotten_once_a_table_of_it_is_written(store: ServerPlace) -> None:
    def act(connection: Connection) -> None:
        ask_ahead(connection, [all_balances(), ALL_LOTS, select(ENTRIES.c.entry)])
        assert balances(connection)["l1"] == 5 * 10**9
        before = connection.execute(select(ENTRIES.c.entry)).scalars().all()
        _enter(connection, before[-1] + 1, 10**9)
        # What triggers add up follows as well.
        assert balances(connection)["l1"] == 6 * 10**9
        assert len(connection.execute(select(ENTRIES.c.entry)).all()) == len(before) + 1
        connection.execute(text("UPDATE stock SET lot = 'L9' WHERE key = 'l1'"))
        assert list(connection.execute(ALL_LOTS).scalars()) == ["L2", "L9"]

    all_or_nothing(store, act)


def test_what_cannot_be_written_is_told_at_the_end_at_the_latest(store: ServerPlace) -> None:
    with pytest.raises(StoreError, match="balances"):
        all_or_nothing(store, lambda connection: _enter(connection, 2, -(10**12)))
    assert asked(store, "SELECT count(*) FROM entries") == [(1,)]


@pytest.mark.parametrize("rows", [3, line.MANY + 1])
def test_many_rows_are_written_in_their_order(store: ServerPlace, rows: int) -> None:
    def act(connection: Connection) -> list[int]:
        _enter(connection, 2, 1)
        words = "INSERT INTO movements (entry, lot, what, billionths, unit) VALUES (%s,%s,%s,%s,%s)"
        of_rows = [(2, "l2", "counted", turn, "g") for turn in range(rows)]
        connection.exec_driver_sql(words, of_rows)
        found = select(MOVEMENTS.c.billionths).where(MOVEMENTS.c.lot == "l2")
        return list(connection.execute(found.order_by(MOVEMENTS.c.movement)).scalars())

    assert all_or_nothing(store, act)[1:] == list(range(rows))


def test_what_is_held_back_is_not_held_without_end(
    far: ServerPlace, relay: Relay, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(line, "_HELD_BACK_AT_MOST", 4)

    def act(connection: Connection) -> int:
        for entry in (2, 3, 4):
            _enter(connection, entry, 1)
        return relay.trips

    assert all_or_nothing(far, act) == TO_CONNECT + 1


def test_signs_that_a_statement_ends_with_are_only_signs(store: ServerPlace) -> None:
    hostile = "L1'; DELETE FROM stock; -- 100 % \\ \n"

    def act(connection: Connection) -> str:
        connection.execute(
            insert(STOCK).values(position=9, key="hostile", lot=hostile, item="x; y %s")
        )
        cell = select(STOCK.c.lot).where(STOCK.c.lot == hostile)
        return str(connection.execute(cell).scalar_one())

    assert all_or_nothing(store, act) == hostile
    assert asked(store, "SELECT count(*) FROM stock") == [(3,)]


def test_who_reads_writes_nothing_and_is_told_at_once(store: ServerPlace) -> None:
    with pytest.raises(StoreError, match="can only be read"), reading(store) as connection:
        _enter(connection, 2, 1)


def test_a_connection_is_lost_or_closed_as_the_driver_says(store: ServerPlace) -> None:
    ledger = psycopg.connect(store.address)
    one = line.Line(ledger)
    assert not one.closed
    assert not one.broken
    one.close()
    assert one.closed


def test_rows_come_one_after_the_other(store: ServerPlace) -> None:
    with psycopg.connect(store.address) as ledger:
        cursor = line.Line(ledger).cursor()
        cursor.execute("SELECT generate_series(1, 5)")
        assert cursor.fetchone() == (1,)
        assert cursor.fetchmany(2) == [(2,), (3,)]
        assert cursor.fetchall() == [(4,), (5,)]
        assert cursor.fetchone() is None
