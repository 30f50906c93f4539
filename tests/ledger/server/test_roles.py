"""Roles of a store on a real server: made, given their rights again, told where one is lacking."""

import re
from pathlib import Path

import psycopg
import pytest
from sqlalchemy import text

from prepstore.ledger.errors import StoreError
from prepstore.ledger.ledger import Ledger
from prepstore.ledger.movements import Asked, people_and_sessions, recorded
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.role import GIVEN, Role
from prepstore.ledger.schema import STEPS
from prepstore.ledger.server import line, server_keeper, steps
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import all_or_nothing, copy_whole, is_there, make_roles, reading
from prepstore.movements import What
from tests.ledger.rows_of import book, movement, store_with_lots
from tests.past_our_code import answered
from tests.people import People, give_roles, new_department
from tests.servers import Server, asked

pytestmark = pytest.mark.server


@pytest.fixture
def people(server: Server) -> People:
    made = new_department(server)
    store_with_lots(made.owner, L1="500")
    give_roles(made)
    return made


def _refused(place: ServerPlace) -> str:
    with pytest.raises(StoreError) as raised:
        all_or_nothing(place, lambda connection: connection.execute(text("SELECT 1")))
    said = str(raised.value)
    assert re.fullmatch(r"[^\n]+\.", said)
    return said


def test_a_store_that_is_not_there_is_made_with_its_roles(server: Server) -> None:
    people = new_department(server)
    names = make_roles(people.owner)
    assert names == {role: f'"prepstore_{people.name}_{role.value}"' for role in GIVEN}
    assert is_there(people.owner)
    assert make_roles(people.owner) == names
    logins = f"SELECT rolcanlogin FROM pg_roles WHERE rolname LIKE 'prepstore_{people.name}_%'"
    assert asked(people.owner, logins) == [(False,)] * len(GIVEN)


def test_a_store_that_is_made_after_its_roles_gives_them_their_rights(server: Server) -> None:
    people = new_department(server)
    give_roles(people)
    asked(people.owner, "DROP SCHEMA prepstore CASCADE")
    store_with_lots(people.owner, L1="5")
    book(people.of(Role.RECORDER), movement("L1", "-1", What.USED))
    with reading(people.of(Role.READER)) as connection:
        assert [one.movement.what for one in recorded(connection, Asked())][1:] == [What.USED]


def test_roles_of_one_store_are_strangers_to_another(people: People, server: Server) -> None:
    other = new_department(server)
    give_roles(other)
    for role in GIVEN:
        login = people.of(role).address.rpartition("/")[0]
        there = ServerPlace(f"{login}/{other.name}", other.name)
        assert "wants the role of a reader" in _refused(there)
        assert f'"prepstore_{other.name}_reader"' in _refused(there)


def test_who_is_not_the_owner_makes_no_roles(people: People) -> None:
    for role in GIVEN:
        with pytest.raises(StoreError, match=f"Only {people.name}_owner, who owns "):
            make_roles(people.of(role))


def test_an_administrator_makes_them_for_the_owner(server: Server) -> None:
    people = new_department(server)
    asked(server.place("postgres"), f'ALTER ROLE "{people.name}_owner" NOCREATEROLE')
    with pytest.raises(StoreError) as raised:
        make_roles(people.owner)
    said = str(raised.value)
    assert f"{people.name}_owner may not make roles on this server. Ask an administrator" in said
    making = re.findall(r'CREATE ROLE "[^"]+"', said)
    assert len(making) == len(GIVEN)
    for words in making:
        asked(server.place("postgres"), words)
    assert len(make_roles(people.owner)) == len(GIVEN)
    owners = "SELECT DISTINCT tableowner FROM pg_tables WHERE schemaname = 'prepstore'"
    # Run by an administrator, all still belongs to the owner.
    make_roles(server.place(people.name))
    assert asked(people.owner, owners) == [(f"{people.name}_owner",)]


def test_a_store_that_an_administrator_makes_belongs_to_the_owner(server: Server) -> None:
    people = new_department(server)
    make_roles(server.place(people.name))
    owners = "SELECT DISTINCT tableowner FROM pg_tables WHERE schemaname = 'prepstore'"
    assert asked(people.owner, owners) == [(f"{people.name}_owner",)]


def test_nobody_but_the_owner_makes_a_store(people: People, server: Server) -> None:
    other = new_department(server)
    login = people.of(Role.KEEPER).address.rpartition("/")[0]
    there = ServerPlace(f"{login}/{other.name}", other.name)
    assert f"Only {other.name}_owner, who owns " in _refused(there)
    with pytest.raises(StoreError, match=f"Only {other.name}_owner, who owns "):
        copy_whole(people.of(Role.READER), there)
    assert not is_there(other.owner)


def test_where_there_are_no_roles_yet_the_owner_is_named(server: Server) -> None:
    people = new_department(server)
    store_with_lots(people.owner, L1="5")
    said = _refused(people.stranger)
    assert "there are no roles there yet" in said
    owner = f"{people.name}_owner"
    assert f"Ask {owner}, who owns the store, to make them: prepstore store roles." in said


def _makes_a_table(ledger: Ledger) -> None:
    """A step of the future."""
    ledger.execute('ALTER TABLE "items" ADD COLUMN "later" TEXT')
    ledger.execute("CREATE TABLE things (thing INTEGER PRIMARY KEY, word TEXT)")


@pytest.fixture
def _step(people: People, monkeypatch: pytest.MonkeyPatch) -> None:  # noqa: ARG001 - made before
    for module in (steps, server_keeper, line):
        monkeypatch.setattr(module, "STEPS", (*STEPS, _makes_a_table))


@pytest.mark.usefixtures("_step")
def test_a_step_is_taken_by_the_owner_alone_and_gives_its_rights(people: People) -> None:
    for role in GIVEN:
        place = people.of(role)
        with pytest.raises(StoreError, match="was made by an older prepstore"), reading(place):
            pass
    said = _refused(people.of(Role.RECORDER))
    assert f"Ask {people.name}_owner, who owns it, to bring it up to date" in said
    with reading(people.owner):
        pass
    assert asked(people.of(Role.READER), "SELECT count(*) FROM things") == [(0,)]
    asked(people.of(Role.KEEPER), "UPDATE items SET later = 'yes'")
    for role in GIVEN:
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            asked(people.of(role), "INSERT INTO things VALUES (1, 'x')")


@pytest.mark.usefixtures("_step")
def test_a_step_that_an_administrator_takes_leaves_all_to_the_owner(
    people: People, server: Server
) -> None:
    with reading(server.place(people.name)):
        pass
    owners = "SELECT DISTINCT tableowner FROM pg_tables WHERE schemaname = 'prepstore'"
    assert asked(people.owner, owners) == [(f"{people.name}_owner",)]


def test_rights_that_were_given_by_hand_are_found_and_taken_away(people: People) -> None:
    stranger, role = f'"{people.name}_stranger"', f'"prepstore_{people.name}_recorder"'
    for words in (
        f"GRANT USAGE ON SCHEMA prepstore TO {stranger}",
        f"GRANT SELECT, UPDATE ON balances TO {stranger}",
        f"GRANT INSERT (database_user) ON entries TO {role}",
        f"GRANT DELETE ON stock TO {role}",
        "GRANT INSERT ON settings TO PUBLIC",
    ):
        asked(people.owner, words)
    with reading(people.owner) as connection:
        said = list(faults(connection))
    told = sorted(re.findall(r"The right of (\S+) to (\S+ \S+) of the database", " ".join(said)))
    assert told == [
        ("PUBLIC", "INSERT settings"),
        (f"{people.name}_stranger", "UPDATE balances"),
        (f"prepstore_{people.name}_recorder", "DELETE stock"),
        (f"prepstore_{people.name}_recorder", "INSERT entries"),
    ]
    make_roles(people.owner)
    with reading(people.owner) as connection:
        assert list(faults(connection)) == []
    with pytest.raises(psycopg.errors.InsufficientPrivilege):
        asked(people.stranger, "SELECT * FROM prepstore.balances")
    book(people.of(Role.RECORDER), movement("L1", "-1", What.USED))


def test_a_guard_that_is_taken_away_is_found(people: People) -> None:
    asked(people.owner, "ALTER TABLE stock DISABLE TRIGGER stock_lot_as_recorded")
    asked(people.owner, "ALTER FUNCTION movements_keep_balances() SECURITY INVOKER")
    with reading(people.owner) as connection:
        said = " ".join(faults(connection))
    assert "The trigger stock_lot_as_recorded of the database is not as" in said
    assert "The function movements_keep_balances of the database is not as" in said


def test_who_recorded_it_goes_along_to_and_fro(
    people: People, server: Server, tmp_path: Path
) -> None:
    book(people.of(Role.RECORDER), movement("L1", "-1", What.USED))
    book(people.of(Role.KEEPER), movement("L1", "-1", What.USED))
    users = [f"{people.name}_owner", f"{people.name}_a_recorder", f"{people.name}_a_keeper"]
    file, other = tmp_path / "copy.db", new_department(server).owner
    copy_whole(people.of(Role.READER), file)
    book(file, movement("L1", "-1", What.USED))
    copy_whole(file, other)
    for place, known_as in ((file, [*users, None]), (other, [*users, None])):
        found = answered(place, "SELECT database_user FROM entries ORDER BY entry")
        assert [user for (user,) in found] == known_as
    with reading(other) as connection:
        asked_for = Asked(by=f"{people.name}_a_keeper")
        assert [one.entry for one in recorded(connection, asked_for)] == [3]
        assert people_and_sessions(connection)[0] == {"somebody", *users}
