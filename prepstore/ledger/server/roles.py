"""The three roles of a store on a server: made, given their rights, and asked after."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import psycopg
from psycopg import sql
from sqlalchemy.exc import DBAPIError

from prepstore.ledger.errors import StoreError
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.role import GIVEN, WANTED, Role
from prepstore.ledger.server.connections import SCHEMA, Ledger
from prepstore.ledger.server.rights import CALLED_BY_CHECKS, WRITING, role_name, wanted_for

_SCHEMA = sql.Identifier(SCHEMA)

_WHO: Final = f"""
SELECT current_database(), session_user::text,
    pg_get_userbyid(coalesce((SELECT nspowner FROM pg_namespace WHERE nspname = '{SCHEMA}'),
        datdba))::text,
    ARRAY(SELECT rolname::text FROM pg_roles WHERE rolname = ANY(%s)),
    ARRAY(SELECT rolname::text FROM pg_roles
        WHERE rolname = ANY(%s) AND pg_has_role(session_user, oid, 'MEMBER'))
FROM pg_database WHERE datname = current_database()
"""


@dataclass(frozen=True, slots=True)
class Roles:
    """What there is of a store's roles: their names, which are there, and which the user has."""

    database: str
    user: str
    owner: str
    there: frozenset[Role]
    mine: frozenset[Role]

    def name(self, role: Role) -> str:
        """Return what a role is called on the server."""
        return role_name(self.database, role)


def roles_of(ledger: Ledger) -> Roles:
    """Return what there is of the roles of the database that one is connected to."""
    ((database,),) = ledger.execute("SELECT current_database()").fetchall()
    names = {role_name(database, role): role for role in GIVEN}
    ((_, user, owner, there, mine),) = ledger.execute(_WHO, (list(names), list(names))).fetchall()
    return Roles(
        database,
        user,
        owner,
        frozenset(names[name] for name in there),
        frozenset(names[name] for name in mine),
    )


def make_roles(ledger: Ledger, owner: str) -> Mapping[Role, str]:
    """Make the roles that are wanting, and give all of them their rights.

    In the running transaction; `ledger` is that of the store's owner, or of an administrator.

    Returns:
        What each role is called on the server, in words of SQL.

    Raises:
        StoreError: This user may not make roles; the sentence says what an administrator does.
        psycopg.errors.InsufficientPrivilege: This user may not act as the owner.
    """
    found = roles_of(ledger)
    for role in GIVEN:
        if role not in found.there:
            made = sql.SQL("CREATE ROLE {} NOLOGIN").format(sql.Identifier(found.name(role)))
            try:
                ledger.execute(made)
            except psycopg.errors.InsufficientPrivilege:
                raise StoreError(_cannot_be_made(found)) from None
    ledger.execute(sql.SQL("SET LOCAL ROLE {}").format(sql.Identifier(owner)))
    renew_rights(ledger)
    return {role: sql.Identifier(found.name(role)).as_string() for role in GIVEN}


def _cannot_be_made(found: Roles) -> str:
    names = (sql.Identifier(found.name(role)).as_string() for role in GIVEN)
    making = "; ".join(f"CREATE ROLE {name}" for name in names)
    return (
        f"{found.user} may not make roles on this server. Ask an administrator of the server to "
        f"do it once ({making}), and run this again. Nothing was changed."
    )


def renew_rights(ledger: Ledger) -> None:
    """Take every right on the store from everybody, and give the roles that are there theirs.

    In the running transaction, which is that of the owner.
    """
    for grantee in _who_has_rights(ledger):
        for what in (f"ALL TABLES IN SCHEMA {SCHEMA}", f"ALL FUNCTIONS IN SCHEMA {SCHEMA}",
                     f"SCHEMA {SCHEMA}"):  # fmt: skip
            revoked = sql.SQL("REVOKE ALL ON {} FROM {} CASCADE")
            ledger.execute(revoked.format(sql.SQL(what), grantee))
    found = roles_of(ledger)
    for role in found.there:
        _give_rights(ledger, role, sql.Identifier(found.name(role)))


_GRANTEES = f"""
SELECT DISTINCT rolname::text FROM (
    SELECT relacl AS acl, relowner AS owner FROM pg_class
        WHERE relnamespace = '{SCHEMA}'::regnamespace
    UNION ALL SELECT attacl, relowner FROM pg_attribute JOIN pg_class c ON c.oid = attrelid
        WHERE relnamespace = '{SCHEMA}'::regnamespace
    UNION ALL SELECT proacl, proowner FROM pg_proc WHERE pronamespace = '{SCHEMA}'::regnamespace
    UNION ALL SELECT nspacl, nspowner FROM pg_namespace WHERE nspname = '{SCHEMA}'
) AS kept, aclexplode(acl) AS given JOIN pg_roles r ON r.oid = given.grantee
WHERE given.grantee <> owner
"""


_TO_WRITE: Final = f"""
SELECT relname::text, NULL, coalesce(rolname, 'PUBLIC')::text, privilege_type
FROM pg_class CROSS JOIN LATERAL aclexplode(relacl) LEFT JOIN pg_roles r ON r.oid = grantee
WHERE relnamespace = '{SCHEMA}'::regnamespace AND grantee <> relowner
UNION ALL SELECT relname, attname, coalesce(rolname, 'PUBLIC'), privilege_type
FROM pg_class c JOIN pg_attribute ON attrelid = c.oid CROSS JOIN LATERAL aclexplode(attacl)
    LEFT JOIN pg_roles r ON r.oid = grantee
WHERE relnamespace = '{SCHEMA}'::regnamespace AND grantee <> relowner
"""


def strange_rights(ledger: Ledger) -> list[str]:
    """Return the rights to write tables, or columns, that no role has by what is stated."""
    found = roles_of(ledger)
    roles = {found.name(role): role for role in GIVEN}
    strange = []
    for table, column, grantee, right in ledger.execute(_TO_WRITE).fetchall():
        role = roles.get(grantee)
        stated = WRITING[table].of(role) if role is not None and table in WRITING else ""
        as_stated = rf"\b{right} \([^)]*\"{column}\"" if column else rf"\b{right}\b(?! \()"
        if right != "SELECT" and re.search(as_stated, stated) is None:
            strange.append(f"right of {grantee} to {right} {table}")
    return strange


def _who_has_rights(ledger: Ledger) -> list[sql.Composable]:
    named = [sql.Identifier(name) for (name,) in ledger.execute(_GRANTEES).fetchall()]
    return [sql.SQL("PUBLIC"), *named]


def _give_rights(ledger: Ledger, role: Role, name: sql.Identifier) -> None:
    given = ["USAGE ON SCHEMA {schema}", "SELECT ON ALL TABLES IN SCHEMA {schema}"]
    for table, writing in WRITING.items():
        if writing.of(role):
            given.append(f'{writing.of(role)} ON TABLE {{schema}}."{table}"')
    if role is not Role.READER:
        given += [f"EXECUTE ON FUNCTION {{schema}}.{one}" for one in CALLED_BY_CHECKS]
    for right in given:
        words = sql.SQL(f"GRANT {right} TO {{name}}")
        ledger.execute(words.format(schema=_SCHEMA, name=name))
    ((is_ours,),) = ledger.execute(
        "SELECT pg_has_role(datdba, 'MEMBER') FROM pg_database WHERE datname = current_database()"
    ).fetchall()
    if is_ours:
        connect = sql.SQL("GRANT CONNECT ON DATABASE {} TO {}")
        database = ledger.info.dbname
        ledger.execute(connect.format(sql.Identifier(database), name))


def beyond_role(
    place: ServerPlace, ledger: Ledger, error: psycopg.Error | DBAPIError
) -> StoreError:
    """Return a sentence for what the server did not let somebody do: which role it wants.

    Args:
        place: The store.
        ledger: The connection on which it was refused; what was done there is taken back.
        error: What the server said, with its code 42501.
    """
    ledger.execute("ROLLBACK")
    found = roles_of(ledger)
    wanted = _wanted(found, error)
    nothing = "Nothing was recorded."
    if wanted is Role.OWNER:
        return StoreError(
            f"Only {found.owner}, who owns {place}, may do this, and not {found.user}. Ask who "
            f"looks after the server. {nothing}"
        )
    if wanted not in found.there:
        return StoreError(
            f"This wants the role of a {wanted.value} of {place}, and there are no roles there "
            f"yet. Ask {found.owner}, who owns the store, to make them: prepstore store roles. "
            f"{nothing}"
        )
    return StoreError(
        f"This wants the role of a {wanted.value} of {place}, which {found.user} has not. Ask "
        f"{found.owner}, who owns the store, or an administrator of the server, for it: "
        f"{giving(found, wanted, found.user)}. {nothing}"
    )


def giving(found: Roles, role: Role, user: str) -> str:
    """Return what gives a role to somebody, in words of SQL."""
    words = sql.SQL("GRANT {} TO {}")
    return words.format(sql.Identifier(found.name(role)), sql.Identifier(user)).as_string()


def _wanted(found: Roles, error: psycopg.Error | DBAPIError) -> Role:
    """Return the least role that is wanted and that the user has not."""
    order = list(Role)
    least = max(WANTED.get(), _of_what_was_refused(error), key=order.index)
    lacking = (role for role in order[order.index(least) :] if role not in found.mine)
    return next(lacking)


def _of_what_was_refused(error: psycopg.Error | DBAPIError) -> Role:
    """Return the least role that may do what was refused, as far as the server tells it."""
    cause = error.orig if isinstance(error, DBAPIError) else error
    assert isinstance(cause, psycopg.Error)
    hint, said = cause.diag.message_hint, cause.diag.message_primary or ""
    if hint in {role.value for role in Role}:
        return Role(hint)
    if "owner" in said:
        return Role.OWNER
    # Whatever language the server speaks, it names what it does not let somebody touch.
    named = set(re.findall(r"\w+", said))
    for table in WRITING.keys() & named:
        return wanted_for(table)
    return Role.READER if SCHEMA in named else Role.OWNER
