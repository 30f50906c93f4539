"""What a server refuses of people who speak to it past all of our own code, by their role."""

from contextlib import closing

import psycopg
import pytest

from prepstore.ledger.place import ServerPlace
from prepstore.ledger.role import GIVEN, Role
from tests.people import People, content, department_with_roles
from tests.servers import Server, asked

pytestmark = pytest.mark.server

HISTORY = (
    "entries", "movements", "session_uses", "order_changes", "name_changes", "timetable_changes",
    "container_changes", "label_changes",
)  # fmt: skip
SUMS = ("balances", "containers", "empty_containers")

NEW = (
    "INSERT INTO entries (entry, on_day, at_utc, by) "
    "SELECT max(entry) + 1, '2027-03-03', 'now', 'Kim' FROM entries"
)
"""An entry as anybody may record one who records."""

USED = (
    "INSERT INTO movements (entry, lot, what, billionths, unit) "
    "SELECT max(entry), 'l0236', 'used', -1000000000, 'mL' FROM entries"
)


def _of_order(what: str, packs: str, reverses: str = "NULL") -> str:
    """Return what records a change of the first pack that is on order."""
    return (
        "INSERT INTO order_changes (entry, what, pack, packs, due, reference, reverses) "
        f"SELECT (SELECT max(entry) FROM entries), '{what}', pack, {packs}, due, "
        f"coalesce(reference, ''), {reverses} FROM on_order ORDER BY position LIMIT 1"
    )


def _of_session(changed: str, was: str, now: str, session: str = "W10-Tue-4") -> str:
    return (
        "INSERT INTO timetable_changes (entry, session, changed, was, now) "
        f"SELECT max(entry), '{session}', '{changed}', '{was}', '{now}' FROM entries"
    )


_FIRST = "position = (SELECT min(position) FROM on_order)"

OF_NOBODY: dict[str, tuple[str, ...]] = {
    **{f"empty {table}": (f"TRUNCATE {table} CASCADE",) for table in (*HISTORY, *SUMS, "stock")},
    **{f"rewrite {table}": (f"UPDATE {table} SET entry = entry",) for table in HISTORY},
    **{f"take from {table}": (f"DELETE FROM {table}",) for table in (*HISTORY, *SUMS)},
    **{
        f"let {table} go unguarded": (f"ALTER TABLE {table} DISABLE TRIGGER ALL",)
        for table in (*HISTORY, "stock", "on_order", "timetable", "schema_steps")
    },
    **{f"drop {table}": (f"DROP TABLE {table} CASCADE",) for table in (*HISTORY, *SUMS, "items")},
    "write a balance": ("UPDATE balances SET billionths = billionths + 1",),
    "add a balance": ("INSERT INTO balances VALUES ('l9', 1, NULL)",),
    "write what is in a container": ("UPDATE containers SET billionths = 0",),
    "write how many are empty": ("UPDATE empty_containers SET number = 99",),
    "say who recorded it": (
        "INSERT INTO entries (entry, on_day, at_utc, by, database_user) "
        "SELECT max(entry) + 1, '2027-03-03', 'now', 'Kim', 'somebody' FROM entries",
    ),
    "let another be the usual one": (
        "ALTER TABLE entries ALTER COLUMN database_user SET DEFAULT 'somebody'",
    ),
    "add to what somebody else recorded": (USED.replace("max(entry)", "min(entry)"),),
    "leave a gap between entries": (NEW.replace("+ 1", "+ 10"), USED),
    "number a movement": (
        NEW,
        "INSERT INTO movements (movement, entry, lot, what, billionths, unit) "
        "SELECT 10000000, max(entry), 'l0236', 'used', -1, 'mL' FROM entries",
    ),
    "use more than there is": (NEW, USED.replace("-1000000000", "-1000000000000000")),
    "divert the sums": (
        "CREATE TEMPORARY TABLE balances (lot TEXT UNIQUE, billionths INT8, last_movement INT8)",
        NEW,
        USED.replace("-1000000000", "-1000000000000000"),
    ),
    "make a table": ("CREATE TABLE prepstore.mine (a int)",),
    "make a function": ("CREATE FUNCTION prepstore.mine() RETURNS int LANGUAGE sql AS 'SELECT 1'",),
    "change a function": (
        "CREATE OR REPLACE FUNCTION prepstore.only_added() RETURNS trigger LANGUAGE plpgsql AS "
        "'BEGIN RETURN NULL; END'",
    ),
    "make a trigger": (
        "CREATE TRIGGER mine BEFORE INSERT ON movements EXECUTE FUNCTION only_added()",
    ),
    "make a rule": ("CREATE RULE mine AS ON INSERT TO movements DO INSTEAD NOTHING",),
    "drop the schema": ("DROP SCHEMA prepstore CASCADE",),
    "rename the schema": ("ALTER SCHEMA prepstore RENAME TO mine",),
    "own a table": ("ALTER TABLE movements OWNER TO CURRENT_USER",),
    "be the owner": ("SET ROLE {owner}",),
    "log in as the owner": ("SET SESSION AUTHORIZATION {owner}",),
    "be an administrator": ("SET ROLE postgres",),
    "pass triggers by": ("SET session_replication_role = replica", NEW, USED),
    "give oneself a role": ('GRANT "prepstore_{name}_keeper" TO CURRENT_USER',),
    "give others a right": ("GRANT SELECT ON items TO PUBLIC", "SELECT 1 / 0"),
    "pretend that a step was taken": ("UPDATE schema_steps SET taken = taken + 1",),
    "pretend that no step was taken": ("DELETE FROM schema_steps",),
    "change what parts are made as": ("DELETE FROM made_as",),
    "read another schema": ("SELECT * FROM theirs.things",),
    "change another schema": ("INSERT INTO theirs.things VALUES (1)",),
    "make a schema": ("CREATE SCHEMA mine",),
}
"""What nobody may but the owner, in statements of one transaction."""

OF_A_KEEPER: dict[str, tuple[str, ...]] = {
    "write an item": ("UPDATE items SET minimum = '1 g'",),
    "add an item": ("INSERT INTO items (position, key, item) VALUES (9999, 'x', 'x')",),
    "take an item away": ("DELETE FROM practicals",),
    "change a setting": ("UPDATE settings SET value = '0 %'",),
    "change a name": (
        NEW,
        "INSERT INTO name_changes (entry, what, of_table, was, now) "
        "SELECT max(entry), 'renamed', 'items', 'a', 'b' FROM entries",
    ),
    "place an order": (NEW, _of_order("placed", "1")),
    "cancel an order": (NEW, _of_order("cancelled", "-1")),
    "call it undone": (NEW, _of_order("undone", "1")),
    "undo what was placed": (
        NEW,
        _of_order("undone", "-packs::bigint", "(SELECT min(order_change) FROM order_changes)"),
    ),
    "order more without a word": (f"UPDATE on_order SET packs = '99' WHERE {_FIRST}",),
    "order less without a word": (f"DELETE FROM on_order WHERE {_FIRST}",),
    "order anew without a word": (
        "INSERT INTO on_order (position, key, pack, packs, due) "
        "VALUES (9999, 'x', 'BC-1170', '1', '2027-03-20')",
    ),
    "take a delivery and leave it on order": (NEW, _of_order("arrived", "-1")),
    "take more than was ordered": (
        NEW,
        _of_order("arrived", "-99"),
        f"UPDATE on_order SET packs = (packs::bigint - 99)::text WHERE {_FIRST}",
    ),
    "let an order be another pack": (f"UPDATE on_order SET pack = 'x' WHERE {_FIRST}",),
    "bring in an opening amount": (NEW, USED.replace("'used', -", "'opening amount', ")),
    "bring in an opening amount of waste": (
        NEW,
        "INSERT INTO container_changes (entry, stream, what, billionths, unit, empty, "
        "item_billionths) SELECT max(entry), 'aqueous acid', 'opening amount', 0, 'mL', 1, 0 "
        "FROM entries",
    ),
    "move a lot without a word": ("UPDATE stock SET place = 'mine' WHERE key = 'l0236'",),
    "move one lot for another": (
        NEW,
        USED,
        "UPDATE stock SET place = 'mine' WHERE key = 'l0237'",
    ),
    "say that a lot is gone": ("UPDATE stock SET gone = 'undone' WHERE key = 'l0236'",),
    "give a lot another key": ("UPDATE stock SET key = 'x' WHERE key = 'l0236'",),
    "add a lot without a movement": (
        "INSERT INTO stock (position, key, lot, item) VALUES (9999, 'x', 'x', 'acetone')",
    ),
    "take a lot away": ("DELETE FROM stock WHERE key = 'l0236'",),
    "let a lot hold something else": ("UPDATE stock SET item = 'ethanol' WHERE key = 'l0236'",),
    "move a session without a word": (
        "UPDATE timetable SET date = '2027-03-12' WHERE session = 'W10-Tue-4'",
    ),
    "take a session out without a word": ("DELETE FROM timetable WHERE session = 'W10-Tue-4'",),
    "add a session without a word": (
        "INSERT INTO timetable (position, key, session) VALUES (9999, 'x', 'x')",
    ),
    "change more of a session than is said": (
        NEW,
        _of_session("students", "30", "36"),
        "UPDATE timetable SET students = '36', room = 'mine' WHERE session = 'W10-Tue-4'",
    ),
    "change a session to something else than is said": (
        NEW,
        _of_session("students", "30", "36"),
        "UPDATE timetable SET students = '37' WHERE session = 'W10-Tue-4'",
    ),
    "say that a session was something else": (
        NEW,
        _of_session("students", "31", "36"),
        "UPDATE timetable SET students = '36' WHERE session = 'W10-Tue-4'",
    ),
    "change one session and say another": (
        NEW,
        _of_session("students", "30", "36", session="W10-Mon-1"),
        "UPDATE timetable SET students = '36' WHERE session = 'W10-Tue-4'",
    ),
    "give a session another key": (
        NEW,
        _of_session("students", "30", "36"),
        "UPDATE timetable SET students = '36', key = 'x' WHERE session = 'W10-Tue-4'",
    ),
}
"""What a recorder may not, and more than a keeper may."""

OF_A_RECORDER: dict[str, tuple[str, ...]] = {
    "record an entry": (NEW, USED),
    "wait for one's turn to write": ("LOCK TABLE schema_steps IN SHARE ROW EXCLUSIVE MODE",),
    "change a session": (
        NEW,
        _of_session("students", "30", "36"),
        "UPDATE timetable SET students = '36' WHERE session = 'W10-Tue-4'",
    ),
    "take a delivery": (
        NEW,
        _of_order("arrived", "-1"),
        f"UPDATE on_order SET packs = (packs::bigint - 1)::text WHERE {_FIRST}",
    ),
    "move a lot": (NEW, USED, "UPDATE stock SET place = 'mine' WHERE key = 'l0236'"),
}
"""What a recorder may, and a reader may not."""


@pytest.fixture(scope="module")
def people(server: Server) -> People:
    """A department with the sample's tables; another program has a schema of its own there."""
    made = department_with_roles(server)
    asked(made.owner, "CREATE SCHEMA theirs CREATE TABLE things (a int)")
    return made


def _try(people: People, place: ServerPlace, statements: tuple[str, ...]) -> str:
    """Do something in one transaction; return the code with which it was refused."""
    names = {"{owner}": f'"{people.name}_owner"', "{name}": people.name}
    with closing(psycopg.connect(place.address, autocommit=True)) as connection:
        try:
            for statement in ("SET search_path = prepstore", "BEGIN", *statements, "COMMIT"):
                words = statement
                for name, known in names.items():
                    words = words.replace(name, known)
                connection.execute(words.encode())
        except psycopg.Error as error:
            return error.sqlstate or "lost"
    return ""


ALLOWED = ("42501", "23514", "22012")
"""No right to it; a rule of the table; and, where no right was given, the division that follows."""


def _tries(of: dict[str, tuple[str, ...]], *roles: Role) -> list[tuple[str, Role]]:
    return [(what, role) for what in of for role in roles]


@pytest.mark.parametrize(("what", "role"), _tries(OF_NOBODY, *GIVEN))
def test_what_nobody_may_is_refused_and_changes_nothing(
    what: str, role: Role, people: People
) -> None:
    before = content(people)
    assert _try(people, people.of(role), OF_NOBODY[what]) in ALLOWED
    assert content(people) == before


@pytest.mark.parametrize(("what", "role"), _tries(OF_A_KEEPER, Role.READER, Role.RECORDER))
def test_what_a_keeper_may_is_refused_to_those_who_record(
    what: str, role: Role, people: People
) -> None:
    before = content(people)
    # A key that movements bear is refused by the rule of the table before it is by a guard.
    assert _try(people, people.of(role), OF_A_KEEPER[what]) in ("42501", "23503")
    assert content(people) == before


@pytest.mark.parametrize("what", OF_A_KEEPER)
def test_what_is_refused_to_others_a_keeper_may(what: str, people: People) -> None:
    assert _try(people, people.of(Role.KEEPER), (*OF_A_KEEPER[what], "ROLLBACK")) == ""


@pytest.mark.parametrize("what", OF_A_RECORDER)
def test_what_a_recorder_may_is_refused_to_readers_alone(what: str, people: People) -> None:
    before = content(people)
    assert _try(people, people.of(Role.READER), OF_A_RECORDER[what]) == "42501"
    assert content(people) == before
    undone = (*OF_A_RECORDER[what], "SET CONSTRAINTS ALL IMMEDIATE", "ROLLBACK")
    assert _try(people, people.of(Role.RECORDER), undone) == ""


def test_rights_given_are_no_rights_to_give(people: People) -> None:
    _try(people, people.of(Role.KEEPER), ("GRANT SELECT ON items TO PUBLIC",))
    assert _try(people, people.stranger, ("SELECT * FROM prepstore.items",)) == "42501"


def test_an_entry_bears_the_name_of_who_is_logged_in(people: People) -> None:
    """Also where a person acts as one of the roles: who logged in stays the same."""
    recorder = f'SET ROLE "prepstore_{people.name}_recorder"'
    undone = (recorder, NEW, USED, "SELECT 1 / (SELECT count(*) FROM entries WHERE entry = "
              f"(SELECT max(entry) FROM entries) AND database_user = '{people.name}_a_recorder')",
              "ROLLBACK")  # fmt: skip
    assert _try(people, people.of(Role.RECORDER), undone) == ""


def test_balances_follow_what_a_recorder_records(people: People) -> None:
    held = "SELECT billionths FROM balances WHERE lot = 'l0236'"
    with psycopg.connect(people.of(Role.RECORDER).address) as connection:
        connection.execute("SET search_path = prepstore")
        before = connection.execute(held).fetchall()[0][0]
        connection.execute(NEW.encode())
        connection.execute(USED.encode())
        assert connection.execute(held).fetchall() == [(before - 10**9,)]
        connection.rollback()


def test_the_sums_are_not_diverted(people: People) -> None:
    """A table that somebody makes for a while does not stand before the store's."""
    functions = asked(
        people.owner,
        "SELECT proname FROM pg_proc WHERE pronamespace = 'prepstore'::regnamespace AND "
        "proname <> 'is_day' AND NOT 'search_path=prepstore, pg_temp' = ANY(proconfig)",
    )
    assert functions == []
    definers = asked(
        people.owner,
        "SELECT proname::text FROM pg_proc WHERE pronamespace = 'prepstore'::regnamespace "
        "AND prosecdef ORDER BY 1",
    )
    assert definers == [("container_changes_keep_sums",), ("movements_keep_balances",)]
