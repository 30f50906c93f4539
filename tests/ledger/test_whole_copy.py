from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy import Connection, TableClause

from prepstore.ledger import whole_copy
from prepstore.ledger.errors import StoreError
from prepstore.ledger.file_keeper import FileKeeper
from prepstore.ledger.kept_rows import put_history
from prepstore.ledger.place import Place
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import all_or_nothing, copy_whole, is_there, keeper_of, reading
from prepstore.ledger.whole_copy import sums_of
from prepstore.tables.history_intake import history_intake
from tests.conftest import Places
from tests.ledger.rows_of import book, movement, store_with_lots
from tests.ledger.test_schema import EVERY_TABLE
from tests.past_our_code import answered
from tests.servers import Server
from tests.tables.small_history import SET
from tests.tables.written_rows import written

WAYS = [
    "file to file",
    pytest.param("file to server", marks=pytest.mark.server),
    pytest.param("server to file", marks=pytest.mark.server),
    pytest.param("server to server", marks=pytest.mark.server),
]


@pytest.fixture(params=WAYS)
def way(request: pytest.FixtureRequest, tmp_path: Path) -> tuple[Place, Place]:
    """Two places without a store, each in a file or on a server."""

    def place(kind: str, name: str) -> Place:
        if kind == "file":
            return tmp_path / name
        server: Server = request.getfixturevalue("server")
        return server.fresh()

    first, _, second = request.param.split()
    return place(first, "old.db"), place(second, "new.db")


def _filled(place: Place) -> Place:
    taken = history_intake(written(**SET), [])

    def act(connection: Connection) -> None:
        put_history(connection, taken.intake.rows, taken.former_lots, taken.history)

    all_or_nothing(place, act)
    return place


def _content(place: Place) -> dict[str, list[tuple[object, ...]]]:
    names = {
        table: ", ".join(f'"{name}"' for name in columns) for table, columns in _columns().items()
    }
    return {
        table: answered(place, f"SELECT {columns} FROM {table} ORDER BY 1")
        for table, columns in names.items()
    }


def _columns() -> dict[str, list[str]]:
    copied = (*whole_copy._COPIED, *whole_copy._FOLLOW)  # noqa: SLF001 - held to below
    return {table.name: list(table.c.keys()) for table in copied}


def test_every_table_of_a_store_is_copied_or_follows() -> None:
    assert set(_columns()) == EVERY_TABLE


def test_a_copy_holds_every_row_of_every_table(way: tuple[Place, Place]) -> None:
    old, new = way
    sums = copy_whole(_filled(old), new)
    content = _content(old)
    assert _content(new) == content
    assert {table: one.rows for table, one in sums.items()} == {
        table: len(rows) for table, rows in content.items()
    }
    assert sum(bool(rows) for rows in content.values()) > len(content) // 2
    with reading(new) as connection:
        assert list(faults(connection)) == []
        assert sums_of(connection) == sums


def test_there_and_back_again_is_the_same(way: tuple[Place, Place], tmp_path: Path) -> None:
    old, new = way
    copy_whole(_filled(old), new)
    again = tmp_path / "again.db"
    copy_whole(new, again)
    assert _content(again) == _content(old)


def test_what_is_recorded_next_goes_on_in_the_copy(way: tuple[Place, Place]) -> None:
    old, new = way
    store_with_lots(old, L1="5", L2="6")
    copy_whole(old, new)
    assert book(new, movement("L1", "1")) == book(old, movement("L1", "1"))
    assert _content(new)["movements"] == _content(old)["movements"]
    assert _content(new)["balances"] == _content(old)["balances"]


def test_tables_of_more_rows_than_are_held_at_once_are_copied_whole(
    way: tuple[Place, Place], monkeypatch: pytest.MonkeyPatch
) -> None:
    old, new = way
    monkeypatch.setattr(whole_copy, "_AT_ONCE", 3)
    store_with_lots(old, **{f"L{number}": "5" for number in range(10)})
    assert copy_whole(old, new)["movements"].rows == 10
    assert _content(new) == _content(old)


def test_nothing_is_copied_to_where_a_store_is(place: Place, tmp_path: Path) -> None:
    store_with_lots(place, L1="5")
    other = store_with_lots(tmp_path / "other.db", L2="6")
    before = _content(place)
    with pytest.raises(StoreError, match="There is something at"):
        copy_whole(other, place)
    assert _content(place) == before


def test_what_was_recorded_in_the_new_place_meanwhile_stays(place: Place, tmp_path: Path) -> None:
    store_with_lots(place, L1="5")
    other = store_with_lots(tmp_path / "other.db", L2="6")
    before = _content(place)
    with pytest.raises(StoreError, match="in the meantime"):
        whole_copy.copy_whole(FileKeeper(other), keeper_of(place))
    assert _content(place) == before


def test_what_is_not_there_cannot_be_copied(places: Places) -> None:
    with pytest.raises(StoreError, match="There is no store at"):
        copy_whole(places("none.db"), places("new.db"))
    assert not is_there(places("new.db"))


def _spoilt(copy: Callable[..., None], statement: str) -> Callable[..., None]:
    """Return what copies a table, and then does something to its copy."""

    def spoiling(source: Connection, target: Connection, table: TableClause) -> None:
        copy(source, target, table)
        if table.name == "items":
            target.exec_driver_sql(statement)

    return spoiling


@pytest.mark.parametrize("statement", ["DELETE FROM items", "UPDATE items SET item = 'Salt'"])
def test_a_copy_that_is_not_alike_is_not_kept(
    statement: str, place: Place, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    store = store_with_lots(tmp_path / "store.db", L1="5")
    spoilt = _spoilt(whole_copy._copy, statement)  # noqa: SLF001
    monkeypatch.setattr(whole_copy, "_copy", spoilt)
    with pytest.raises(StoreError, match=r"is not what was there \(items\), so nothing was kept"):
        copy_whole(store, place)
    assert not is_there(place)


def test_a_digest_tells_rows_apart_that_differ_in_one_sign(place: Place) -> None:
    store_with_lots(place, L1="5")
    with reading(place) as connection:
        before = sums_of(connection)
    all_or_nothing(
        place, lambda connection: connection.exec_driver_sql("UPDATE items SET item = 'Salt'")
    )
    with reading(place) as connection:
        after = sums_of(connection)
    assert [table for table in before if before[table] != after[table]] == ["items"]
    assert before["items"].rows == after["items"].rows
