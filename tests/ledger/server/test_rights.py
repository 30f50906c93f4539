"""Who may write what, as it is stated and as the server has it."""

import pytest

from prepstore.ledger.role import GIVEN, Role
from prepstore.ledger.server.rights import WRITING, role_name, wanted_for
from tests.people import give_roles, new_department
from tests.servers import Server, asked

HISTORY = (
    "entries", "movements", "session_uses", "order_changes", "name_changes", "timetable_changes",
    "container_changes", "label_changes",
)  # fmt: skip
SUMS = ("balances", "containers", "empty_containers")


@pytest.mark.server
def test_every_table_of_a_store_has_its_rights_stated(server: Server) -> None:
    """A table that a new step makes fails here until somebody says who may write it."""
    people = new_department(server)
    give_roles(people)
    tables = asked(people.owner, "SELECT tablename FROM pg_tables WHERE schemaname = 'prepstore'")
    assert {table for (table,) in tables} == set(WRITING)


@pytest.mark.server
def test_the_server_has_what_is_stated_and_nothing_else(server: Server) -> None:
    people = new_department(server)
    give_roles(people)
    for role in GIVEN:
        name = role_name(people.name, role)
        given = asked(
            people.owner,
            "SELECT table_name, privilege_type FROM information_schema.table_privileges "
            f"WHERE table_schema = 'prepstore' AND grantee = '{name}'",
        )
        of_columns = asked(
            people.owner,
            "SELECT DISTINCT table_name, privilege_type FROM information_schema.column_privileges "
            f"WHERE table_schema = 'prepstore' AND grantee = '{name}'",
        )
        writing = {*given, *of_columns} - {(table, "SELECT") for table in WRITING}
        assert {(table, "SELECT") for table in WRITING} <= set(given)
        for table in WRITING:
            words = WRITING[table].of(role)
            may = {right for of_table, right in writing if of_table == table}
            stated = {right for right in ("INSERT", "UPDATE", "DELETE") if right in words}
            assert may == stated, (role, table)
    owners = "SELECT DISTINCT tableowner FROM pg_tables WHERE schemaname = 'prepstore'"
    assert asked(people.owner, owners) == [(f"{people.name}_owner",)]


def test_what_was_recorded_is_only_added_to_and_sums_are_written_by_nobody() -> None:
    for role in GIVEN:
        for table in HISTORY:
            words = WRITING[table].of(role)
            assert words == "" or words.startswith("INSERT (")
            assert "UPDATE" not in words
            assert "DELETE" not in words
            assert "database_user" not in words
        assert [WRITING[table].of(role) for table in SUMS] == ["", "", ""]
        assert WRITING["stock"].of(Role.READER) == ""


def test_the_least_role_is_told() -> None:
    assert wanted_for("movements") is Role.RECORDER
    assert wanted_for("items") is Role.KEEPER
    assert wanted_for("name_changes") is Role.KEEPER
    assert wanted_for("balances") is Role.OWNER
    assert wanted_for("of another program") is Role.OWNER


def test_roles_are_called_by_their_database_and_never_alike() -> None:
    """PostgreSQL's manual, "Lexical Structure": a name has 63 bytes at most, and is cut off."""
    long = "a" * 62
    names = [role_name(name, role) for name in ("prep", long, f"{long}b") for role in GIVEN]
    assert names[:3] == [
        "prepstore_prep_reader",
        "prepstore_prep_recorder",
        "prepstore_prep_keeper",
    ]
    assert len(set(names)) == len(names)
    assert all(len(name.encode()) <= 63 for name in [*names, role_name("ä" * 31, Role.RECORDER)])
    exact = "a" * (63 - len("prepstore__reader"))
    assert role_name(exact, Role.READER) == f"prepstore_{exact}_reader"
