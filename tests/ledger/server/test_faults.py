import pytest

from prepstore.ledger.place import ServerPlace
from prepstore.ledger.soundness import counts, faults
from prepstore.ledger.store import checks_of, reading
from tests.ledger.rows_of import store_with_lots
from tests.servers import Server, asked

pytestmark = pytest.mark.server


@pytest.fixture
def store(server: Server) -> ServerPlace:
    return store_with_lots(server.fresh(), L1="500", L2="20")


def _faults(place: ServerPlace) -> list[str]:
    with reading(place) as connection:
        return list(faults(connection))


def test_a_store_is_sound(store: ServerPlace) -> None:
    assert _faults(store) == []
    with reading(store) as connection:
        assert counts(connection) == (2, 2)
        assert checks_of(connection).damage_of(connection) == []


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("DROP INDEX movements_by_lot", "The index movements_by_lot of the database is not as"),
        ("ALTER TABLE items ADD COLUMN x int", "The column items.x of the database is not as"),
        (
            "ALTER TABLE entries DISABLE TRIGGER entries_no_delete",
            "The trigger entries_no_delete of the database is not as",
        ),
        (
            "CREATE OR REPLACE FUNCTION only_added() RETURNS trigger LANGUAGE plpgsql "
            "AS 'BEGIN RETURN OLD; END'",
            "The function only_added of the database is not as",
        ),
        (
            "ALTER TABLE balances DROP CONSTRAINT balances_billionths_check",
            "The rule balances.balances_billionths_check of the database is not as",
        ),
        (
            "UPDATE balances SET billionths = 1 WHERE lot = 'l1'",
            "Lot l1: its movements come to 500, but its balance is 0.000000001.",
        ),
        (
            "SET session_replication_role = replica; DELETE FROM stock WHERE key = 'l2'",
            "A row of movements belongs to a row of stock that is not there.",
        ),
    ],
)
def test_what_another_program_has_done_is_found(
    statement: str, says: str, store: ServerPlace
) -> None:
    asked(store, statement)
    found = _faults(store)
    assert any(one.startswith(says) for one in found), found
    assert all(one.endswith("made, or ask who looks after it.") for one in found)
