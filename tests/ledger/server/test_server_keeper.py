"""A store on a real server: whose turn it is, what is kept, and what is said where it is not."""

import os
import threading
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random

import psycopg
import pytest
from psycopg import sql
from sqlalchemy import Connection, select, text

from prepstore.ledger.errors import StoreError
from prepstore.ledger.lots import STOCK, balances
from prepstore.ledger.movements import Asked, record, recorded
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.schema import STEPS
from prepstore.ledger.server import server_keeper
from prepstore.ledger.server.line import Line
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import all_or_nothing, back_up, is_there, reading, restore, writing
from prepstore.ledger.teller import TOLD_BY
from prepstore.movements import Booking, What
from tests.ledger.rows_of import SIGNED, book, movement, store_with_lots
from tests.servers import Server, asked, running

pytestmark = pytest.mark.server


@pytest.fixture
def store(server: Server) -> ServerPlace:
    return store_with_lots(server.fresh(), L1="500", L2="20")


def _held(place: ServerPlace) -> dict[str, int]:
    with reading(place) as connection:
        return {lot: held // 10**9 for lot, held in balances(connection).items()}


def _use(grams: int, seen: list[int] | None = None) -> Callable[[Connection], int]:
    """Return what uses some g of the first lot; what it holds before is noted."""

    def act(connection: Connection) -> int:
        if seen is not None:
            seen.append(balances(connection, "l1")["l1"] // 10**9)
        used = movement("L1", str(-grams), What.USED)
        return record(connection, Booking(movements=(used,)), SIGNED)

    return act


def _refused(place: ServerPlace, act: Callable[[Connection], object] = lambda _: None) -> str:
    with pytest.raises(StoreError) as raised:
        all_or_nothing(place, act)
    said = str(raised.value)
    assert said.endswith(".")
    assert "\n" not in said
    return said


# What is there, and what is made


def test_a_database_without_a_store_is_told_apart(server: Server) -> None:
    place = server.fresh()
    assert not is_there(place)
    with (
        pytest.raises(StoreError, match=f"There is no store at {place}. Make one with: prepstore"),
        reading(place),
    ):
        pass
    store_with_lots(place, L1="5")
    assert is_there(place)
    assert _held(place) == {"l1": 5}


def test_a_store_of_which_the_making_fails_is_not_there(server: Server) -> None:
    place = server.fresh()

    def fail(_: Connection) -> None:
        raise KeyError

    with pytest.raises(KeyError):
        all_or_nothing(place, fail)
    assert not is_there(place)


def test_a_database_of_another_program_is_left_alone(server: Server) -> None:
    place = server.fresh()
    asked(place, "CREATE TABLE public.theirs (a int)")
    assert is_there(place)
    said = _refused(place)
    assert said.startswith(f"{place} holds no prepstore store, but tables of another program")
    with pytest.raises(StoreError, match="tables of another program"), reading(place):
        pass
    assert asked(place, "SELECT count(*) FROM pg_namespace WHERE nspname = 'prepstore'") == [(0,)]


def test_a_newer_store_is_refused(store: ServerPlace) -> None:
    asked(store, f"UPDATE schema_steps SET taken = {len(STEPS) + 1}")
    assert "was written by a newer prepstore" in _refused(store)
    with pytest.raises(StoreError, match="newer prepstore"), reading(store):
        pass


def test_of_several_who_make_a_store_at_once_one_does_and_the_rest_are_told(
    server: Server,
) -> None:
    place = server.fresh()
    told: list[str] = []

    def make() -> None:
        try:
            store_with_lots(place, L1="5")
            told.append("made")
        except StoreError as error:
            told.append(str(error))

    makers = [threading.Thread(target=make) for _ in range(4)]
    for maker in makers:
        maker.start()
    for maker in makers:
        maker.join()
    assert told.count("made") >= 1
    others = [one for one in told if one != "made"]
    # Who comes late finds a store, and cannot give its lot another opening amount.
    assert all("in the meantime" in one or "constraint" in one for one in others), others
    assert _held(place)["l1"] % 5 == 0
    with reading(place) as connection:
        assert list(faults(connection)) == []


def test_a_database_that_has_not_all_signs_is_refused(server: Server) -> None:
    name = "latin"
    server.run(
        sql.SQL(
            "CREATE DATABASE latin ENCODING 'LATIN1' LC_COLLATE 'C' LC_CTYPE 'C' TEMPLATE template0"
        )
    )
    assert "keeps text as LATIN1" in _refused(server.place(name))


# Reading in one state


def test_who_reads_sees_one_state_however_long_it_takes(store: ServerPlace) -> None:
    with reading(store) as connection:
        before = balances(connection)
        book(store, movement("L1", "-100", What.USED))
        assert balances(connection) == before
    assert _held(store) == {"l1": 400, "l2": 20}


def test_who_reads_cannot_write(store: ServerPlace) -> None:
    with (
        pytest.raises(StoreError, match="can only be read at present"),
        reading(store) as connection,
    ):
        connection.execute(STOCK.delete())


# Whose turn it is


def test_what_several_record_at_once_is_all_there(store: ServerPlace) -> None:
    failed: list[BaseException] = []

    def work() -> None:
        try:
            for _ in range(15):
                all_or_nothing(store, _use(1))
        except BaseException as error:
            failed.append(error)

    workers = [threading.Thread(target=work) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()
    assert failed == []
    assert _held(store)["l1"] == 440
    with reading(store) as connection:
        assert [one.entry for one in recorded(connection, Asked())][2:] == list(range(2, 62))
        assert list(faults(connection)) == []


def _between(store: ServerPlace, *, times: int) -> Callable[[Connection], int]:
    """Return what uses 1 g, and before it is kept somebody else does who does not queue."""
    left = [times]

    def act(connection: Connection) -> int:
        entry = _use(1)(connection)
        if left[0]:
            left[0] -= 1
            with psycopg.connect(store.address) as other:
                other.execute("SET TRANSACTION ISOLATION LEVEL SERIALIZABLE")
                other.execute("UPDATE prepstore.stock SET place = 'there' WHERE key = 'l2'")
        # Changed by both, so that only one of the two can be kept.
        connection.execute(STOCK.update().where(STOCK.c.key == "l2").values(place="here"))
        return entry

    return act


def test_where_somebody_comes_in_between_all_is_decided_again(store: ServerPlace) -> None:
    assert all_or_nothing(store, _between(store, times=2)) == 2
    assert _held(store)["l1"] == 499
    with reading(store) as connection:
        place = select(STOCK.c.place).where(STOCK.c.key == "l2")
        assert connection.execute(place).scalar() == "here"


def test_it_is_decided_again_from_what_is_there_by_then(store: ServerPlace) -> None:
    seen: list[int] = []
    first = [True]

    def act(connection: Connection) -> None:
        seen.append(balances(connection, "l1")["l1"] // 10**9)
        if first.pop() if first else False:
            with psycopg.connect(store.address) as other:
                other.execute(
                    "UPDATE prepstore.balances SET billionths = 7000000000 WHERE lot = 'l1'"
                )
        _use(1)(connection)

    all_or_nothing(store, act)
    assert seen == [500, 7]
    assert _held(store)["l1"] == 6


def test_who_never_comes_to_an_end_of_it_is_told(
    store: ServerPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(server_keeper, "WAIT_SECONDS", -1)
    with pytest.raises(StoreError, match="is in use by others"):
        all_or_nothing(store, _between(store, times=10**6))
    assert _held(store)["l1"] == 500


def test_who_waits_is_told_and_gets_a_turn(store: ServerPlace) -> None:
    told: list[str] = []
    with psycopg.connect(store.address) as other:
        other.execute("LOCK TABLE prepstore.schema_steps IN SHARE ROW EXCLUSIVE MODE")

        def wait() -> None:
            TOLD_BY.set(told.append)
            all_or_nothing(store, _use(1))

        waiting = threading.Thread(target=wait)
        waiting.start()
        until = time.monotonic() + 20
        while not told and time.monotonic() < until:
            time.sleep(0.05)
        other.commit()
        waiting.join()
    (said,) = told
    assert said.startswith(f"{store} is in use by somebody else. Waiting until it is free, at most")
    assert _held(store)["l1"] == 499


def test_who_waits_too_long_is_told(store: ServerPlace, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(server_keeper, "_SILENT_SECONDS", 1)
    monkeypatch.setattr(server_keeper, "WAIT_SECONDS", 2)
    with psycopg.connect(store.address) as other:
        other.execute("LOCK TABLE prepstore.schema_steps IN SHARE ROW EXCLUSIVE MODE")
        assert "in use by others" in _refused(store, _use(1))


# A line that is cut


def _cut(connection: Connection) -> None:
    """End the connection as a server does that goes away."""
    line = connection.connection.dbapi_connection
    assert isinstance(line, Line)
    driver = line.ledger
    with psycopg.connect(
        host=driver.info.host, port=driver.info.port, user="postgres", dbname="postgres"
    ) as other:
        other.execute("SELECT pg_terminate_backend(%s)", (driver.info.backend_pid,))


def test_a_connection_lost_in_the_middle_leaves_nothing(store: ServerPlace) -> None:
    def act(connection: Connection) -> None:
        _use(1)(connection)
        _cut(connection)
        connection.execute(text("SELECT 1"))

    assert "was lost in the middle" in _refused(store, act)
    assert _held(store)["l1"] == 500


def test_a_connection_lost_while_it_is_kept_is_told_as_not_known(store: ServerPlace) -> None:
    def act(connection: Connection) -> None:
        _use(1)(connection)
        _cut(connection)

    said = _refused(store, act)
    assert "was lost at the very moment of recording" in said
    assert "it may have been recorded or not. Look before you do it again" in said


def test_a_connection_lost_while_reading_is_told(store: ServerPlace) -> None:
    def read() -> None:
        with reading(store) as connection:
            _cut(connection)
            balances(connection)

    with pytest.raises(StoreError, match="was lost in the middle"):
        read()


def _moves_until_refused(place: ServerPlace, confirmed: list[int], told: list[str]) -> None:
    """Move 1 g from one lot to the other, over and over; note each entry that is confirmed."""
    while True:
        used, came = movement("L1", "-1", What.USED), movement("L2", "1", What.RECEIVED)
        try:
            confirmed.append(book(place, used, came))
        except StoreError as error:
            told.append(str(error))
            return


@pytest.mark.slow
def test_of_a_server_that_is_killed_all_is_there_that_was_confirmed_and_nothing_in_half() -> None:
    kills = int(os.environ.get("KILLS", "5"))
    chance = Random(int(os.environ.get("SEED", "1")))
    confirmed: list[int] = []
    told: list[str] = []
    with running({"synchronous_commit": "on"}) as own:
        store = store_with_lots(own.fresh(), L1="1000000", L2="0")
        for _ in range(kills):
            moving = threading.Thread(target=_moves_until_refused, args=(store, confirmed, told))
            moving.start()
            time.sleep(chance.uniform(0.1, 0.6))
            own.kill()
            moving.join()
        with reading(store) as connection:
            entries = {one.entry for one in recorded(connection, Asked())}
            assert list(faults(connection)) == []
        held = _held(store)
    assert len(confirmed) > kills
    assert entries >= set(confirmed)
    # At most the one that was being kept when the server was killed, each time.
    assert len(entries) <= 1 + len(confirmed) + kills
    assert (held["l1"], held["l2"]) == (1_000_000 - len(entries) + 1, len(entries) - 1)
    assert len(told) == kills
    ways = ("was lost", "cannot be reached", "is just starting or stopping")
    assert [one for one in told if not any(way in one for way in ways)] == []


@pytest.mark.slow
def test_a_server_that_only_follows_another_is_read_and_not_written() -> None:
    with running() as own:
        place, empty = store_with_lots(own.fresh(), L1="500"), own.fresh()
        own.follow()
        assert _held(place) == {"l1": 500}
        for one in (place, empty):
            said = _refused(one, _use(1))
            assert "can only be read at present: it is a copy of another server" in said


# Who is not let in


def test_a_database_that_is_not_there_is_told(server: Server) -> None:
    said = _refused(server.place("nowhere"))
    assert "There is no such database or user" in said


def test_nobody_listens(server: Server) -> None:
    place = replace(server.place("x"), address="postgresql://127.0.0.1:1/x")
    assert "cannot be reached" in _refused(place)


@pytest.mark.parametrize("secrets", [{}, {"password": "S3cr!t"}])
def test_a_wrong_password_is_told_and_not_repeated(
    secrets: dict[str, str], server: Server, store: ServerPlace
) -> None:
    locked = server.place(store.name, user="locked")
    if not asked(store, "SELECT 1 FROM pg_roles WHERE rolname = 'locked'"):
        asked(store, "CREATE ROLE locked LOGIN PASSWORD 'right'")
    said = _refused(replace(locked, secrets=secrets))
    assert "does not let you in" in said
    assert "S3cr" not in said
    # With the right one it goes on, to be stopped by what this user may not do.
    assert "wants the role of a reader" in _refused(replace(locked, secrets={"password": "right"}))


def test_too_many_connections_are_told(server: Server, store: ServerPlace) -> None:
    server.run(sql.SQL("ALTER DATABASE {} CONNECTION LIMIT 0").format(
        sql.Identifier(store.name)
    ))  # fmt: skip
    if not asked(server.place("postgres"), "SELECT 1 FROM pg_roles WHERE rolname = 'ordinary'"):
        server.run(sql.SQL("CREATE ROLE ordinary LOGIN"))
    place = server.place(store.name, user="ordinary")
    assert "has as many connections as it takes" in _refused(place)


def test_a_database_that_may_only_be_read_is_read_and_not_written(
    server: Server, store: ServerPlace
) -> None:
    name = sql.Identifier(store.name)
    words = "ALTER DATABASE {} SET default_transaction_read_only = on"
    server.run(sql.SQL(words).format(name))
    assert _held(store) == {"l1": 500, "l2": 20}
    assert "can only be read at present" in _refused(store, _use(1))


def test_the_sign_nul_is_refused(store: ServerPlace) -> None:
    def act(connection: Connection) -> None:
        connection.execute(STOCK.update().values(place="a\0b"))

    assert "has the sign NUL" in _refused(store, act)


# What is not there yet


def test_a_backup_is_a_store_in_a_file_and_goes_back_into_an_empty_database(
    store: ServerPlace, server: Server, tmp_path: Path
) -> None:
    all_or_nothing(store, _use(30))
    file = tmp_path / "kept.db"
    assert back_up(store, file) is None
    all_or_nothing(store, _use(70))
    with reading(file) as connection:
        assert list(faults(connection)) == []
        assert balances(connection, "l1")["l1"] == 470 * 10**9
        assert len(recorded(connection, Asked())) == 3
    looked: list[int] = []
    new = server.fresh()
    restore(new, file, lambda connection: looked.append(len(recorded(connection, Asked()))))
    assert looked == [3]
    assert _held(new) == {"l1": 470, "l2": 20}
    # A backup that is there is kept aside, as that of a file is.
    aside = back_up(store, file)
    assert aside is not None
    assert aside.exists()


def test_a_backup_is_not_put_over_a_store_of_a_server(store: ServerPlace, tmp_path: Path) -> None:
    file = tmp_path / "kept.db"
    back_up(store, file)
    all_or_nothing(store, _use(30))
    with pytest.raises(StoreError, match=r"already, so nothing was changed: .* an empty database"):
        restore(store, file, lambda _: None)
    assert _held(store)["l1"] == 470


def test_a_backup_that_is_refused_or_none_leaves_the_database_empty(
    server: Server, tmp_path: Path
) -> None:
    new = server.fresh()
    with pytest.raises(StoreError, match="There is no backup at"):
        restore(new, tmp_path / "none.db", lambda _: None)
    file = store_with_lots(tmp_path / "kept.db", L1="5")
    assert isinstance(file, Path)

    def refuse(_: Connection) -> None:
        raise StoreError("It is not wanted.")

    with pytest.raises(StoreError, match="not wanted"):
        restore(new, file, refuse)
    assert not is_there(new)
    with pytest.raises(StoreError, match="There is no store at"):
        back_up(new, tmp_path / "other.db")
    assert not (tmp_path / "other.db").exists()


def test_writing_by_itself_keeps_all_or_nothing(store: ServerPlace) -> None:
    with writing(store) as connection:
        _use(1)(connection)
    with pytest.raises(KeyError), writing(store) as connection:  # noqa: PT012
        _use(1)(connection)
        raise KeyError
    assert _held(store)["l1"] == 499
