"""The steps in the words of a server; what the server makes of them is tried on a real one."""

import pytest
from sqlalchemy import text

from prepstore.ledger.errors import StoreError
from prepstore.ledger.ledger import Ledger
from prepstore.ledger.schema import STEPS
from prepstore.ledger.server import server_keeper, steps
from prepstore.ledger.server.steps import in_words_of_the_server
from prepstore.ledger.store import reading, writing
from tests.ledger.rows_of import store_with_lots
from tests.ledger.test_schema import EVERY_TABLE, LIGHT
from tests.servers import Server, asked


@pytest.mark.parametrize(
    ("statement", "on_a_server"),
    [
        (
            'CREATE TABLE "items" (position INTEGER PRIMARY KEY, key TEXT UNIQUE)',
            ['CREATE TABLE "items" (position BIGINT PRIMARY KEY, key TEXT COLLATE "C" UNIQUE)'],
        ),
        (
            "CREATE TABLE a (b TEXT PRIMARY KEY, c INTEGER CHECK (typeof(c) = 'integer'), "
            "d TEXT CHECK (d IS date(d, '+0 days'))) WITHOUT ROWID",
            [
                'CREATE TABLE a (b TEXT COLLATE "C" PRIMARY KEY, c BIGINT, '
                'd TEXT COLLATE "C" CHECK (is_day(d)))'
            ],
        ),
        ("CREATE INDEX a_by_b ON a (b)", ["CREATE INDEX a_by_b ON a (b)"]),
        ("DROP TRIGGER keep", ["DROP FUNCTION keep() CASCADE"]),
        (
            "CREATE TRIGGER a_no_update BEFORE UPDATE ON a "
            "BEGIN SELECT RAISE(ABORT, 'a are only added'); END",
            [
                "CREATE TRIGGER a_no_update BEFORE UPDATE ON a FOR EACH ROW "
                "EXECUTE FUNCTION only_added()"
            ],
        ),
    ],
)
def test_what_the_two_call_by_other_names_is_put_in_other_words(
    statement: str, on_a_server: list[str]
) -> None:
    assert list(in_words_of_the_server(statement)) == on_a_server


@pytest.mark.server
def test_a_store_on_a_server_has_the_tables_and_columns_of_a_file(server: Server) -> None:
    place = store_with_lots(server.fresh())
    found: dict[object, list[object]] = {}
    for table, column in asked(
        place,
        "SELECT table_name::text, column_name::text FROM information_schema.columns "
        "WHERE table_schema = 'prepstore' ORDER BY table_name, ordinal_position",
    ):
        found.setdefault(table, []).append(column)
    assert set(found) == {*EVERY_TABLE, "schema_steps", "made_as"}
    for light in LIGHT:
        assert found[light.name] == list(light.columns.keys())
    assert asked(place, "SELECT taken FROM schema_steps") == [(len(STEPS),)]


@pytest.mark.server
def test_every_text_is_sorted_by_the_numbers_of_its_signs(server: Server) -> None:
    place = store_with_lots(server.fresh())
    others = asked(
        place,
        "SELECT table_name, column_name FROM information_schema.columns WHERE "
        "table_schema = 'prepstore' AND data_type = 'text' AND collation_name <> 'C' "
        "AND table_name <> 'made_as'",
    )
    assert others == []


@pytest.mark.server
def test_every_whole_number_has_64_bits(server: Server) -> None:
    place = store_with_lots(server.fresh())
    kinds = asked(
        place,
        "SELECT DISTINCT data_type::text FROM information_schema.columns WHERE "
        "table_schema = 'prepstore' ORDER BY 1",
    )
    assert kinds == [("bigint",), ("text",)]


ONLY_ADDED = (
    "entries", "movements", "session_uses", "order_changes", "name_changes", "timetable_changes",
    "container_changes",
)  # fmt: skip


@pytest.mark.server
@pytest.mark.parametrize("table", ONLY_ADDED)
def test_what_happened_is_only_added_to(table: str, server: Server) -> None:
    place = store_with_lots(server.fresh(), L1="5")
    triggers = asked(
        place,
        "SELECT tgname::text, tgenabled::text FROM pg_trigger WHERE tgrelid = "
        f"'{table}'::regclass AND NOT tgisinternal AND tgname LIKE '%no%' ORDER BY 1",
    )
    changes = ("delete", "truncate", "update")
    assert triggers == [(f"{table}_no_{change}", "O") for change in changes]
    with pytest.raises(StoreError, match="are only added"), writing(place) as connection:
        connection.exec_driver_sql(f"TRUNCATE {table} CASCADE")
    if table in ("entries", "movements"):
        for change in (f"UPDATE {table} SET entry = 7", f"DELETE FROM {table}"):
            with (
                pytest.raises(StoreError, match=f"{table} are only added"),
                writing(place) as connection,
            ):
                connection.exec_driver_sql(change)
    assert asked(place, "SELECT count(*) FROM entries") == [(1,)]


REFUSED = {
    "less than nothing": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'used', -6000000000, 'g')",
    "a use that adds": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'used', 1, 'g')",
    "another unit": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l1', 'received', 1, 'mol')",
    "a lot that is not there": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (1, 'l2', 'received', 1, 'g')",
    "an entry that is not there": "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "VALUES (2, 'l1', 'received', 1, 'g')",
    "nobody": "INSERT INTO entries (entry, on_day, at_utc, by) VALUES (2, '2027-01-25', '', '')",
    "no day": "INSERT INTO entries (entry, on_day, at_utc, by) "
    "VALUES (2, '2027-02-30', '', 'somebody')",
    "no day either": "INSERT INTO entries (entry, on_day, at_utc, by) "
    "VALUES (2, 'monday', '', 'somebody')",
    "a lot taken away": "DELETE FROM stock",
}


@pytest.mark.server
@pytest.mark.parametrize("what", REFUSED)
def test_the_server_itself_refuses_what_cannot_be(what: str, server: Server) -> None:
    place = store_with_lots(server.fresh(), L1="5")
    with pytest.raises(StoreError, match="constraint"), writing(place) as connection:
        connection.exec_driver_sql(REFUSED[what])


@pytest.mark.server
def test_numbers_go_on_without_a_gap_as_in_a_file(server: Server) -> None:
    place = store_with_lots(server.fresh(), L1="5")
    received = "INSERT INTO movements (entry, lot, what, billionths, unit) VALUES (1, 'l1', "
    with pytest.raises(StoreError), writing(place) as connection:
        connection.exec_driver_sql(f"{received} 'received', 1, 'g'), (1, 'l1', 'used', 1, 'g')")
    with writing(place) as connection:
        connection.exec_driver_sql(f"{received} 'received', 1, 'g'), (1, 'l1', 'used', -1, 'g')")
    assert asked(place, "SELECT movement FROM movements ORDER BY 1") == [(1,), (2,), (3,)]


def _renames(ledger: Ledger) -> None:
    """A step of the future: it takes rows over, and has values."""
    ledger.execute("ALTER TABLE items ADD COLUMN later TEXT")
    for (key,) in ledger.execute("SELECT key FROM items"):
        ledger.execute("UPDATE items SET later = ? WHERE key = ?", ("100 % of it", key))


@pytest.mark.server
def test_a_step_that_is_wanting_is_taken_with_the_rows_that_are_there(
    server: Server, monkeypatch: pytest.MonkeyPatch
) -> None:
    place = store_with_lots(server.fresh(), L1="5")
    for module in (steps, server_keeper):
        monkeypatch.setattr(module, "STEPS", (*STEPS, _renames))
    with reading(place) as connection:
        assert connection.execute(text("SELECT later FROM items")).scalar() == "100 % of it"
    assert asked(place, "SELECT taken FROM schema_steps") == [(len(STEPS) + 1,)]


@pytest.mark.server
def test_a_step_that_fails_leaves_no_trace(server: Server, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails_half_way(ledger: Ledger) -> None:
        _renames(ledger)
        raise StoreError("half way")

    place = store_with_lots(server.fresh(), L1="5")
    for module in (steps, server_keeper):
        monkeypatch.setattr(module, "STEPS", (*STEPS, fails_half_way))
    with pytest.raises(StoreError, match="half way"), writing(place):
        pass
    assert asked(place, "SELECT taken FROM schema_steps") == [(len(STEPS),)]
    columns = "SELECT 1 FROM information_schema.columns WHERE column_name = 'later'"
    assert asked(place, columns) == []
