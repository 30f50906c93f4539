"""A department on a server: an owner who is no administrator, and people with a role each."""

from dataclasses import dataclass
from pathlib import Path

import pytest
from psycopg import sql
from typer.testing import CliRunner, Result

from prepstore.cli.main import app
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.role import GIVEN, Role
from tests.servers import Server, asked

SAMPLE = Path(__file__).parents[1] / "sample_inventory"
TODAY = "2027-03-03"


@dataclass(frozen=True)
class People:
    """Whoever logs in to one database, each as a store's place; a stranger has no role."""

    server: Server
    name: str

    @property
    def owner(self) -> ServerPlace:
        """Return the store as its owner reaches it."""
        return self.server.place(self.name, f"{self.name}_owner")

    @property
    def stranger(self) -> ServerPlace:
        """Return it as somebody does who may log in and nothing else."""
        return self.server.place(self.name, f"{self.name}_stranger")

    def of(self, role: Role) -> ServerPlace:
        """Return it as somebody with a role does."""
        if role is Role.OWNER:
            return self.owner
        return self.server.place(self.name, f"{self.name}_a_{role.value}")

    def below(self, role: Role) -> list[ServerPlace]:
        """Return it as each does who has less than a role."""
        order = list(Role)
        return [self.stranger, *map(self.of, order[: order.index(role)])]


def new_department(server: Server) -> People:
    """Make a database with an owner of its own and people who may log in; no store, no roles."""
    people = People(server, server.fresh().name)
    name = sql.Identifier(people.name)
    owner = sql.Identifier(f"{people.name}_owner")
    server.run(sql.SQL("CREATE ROLE {} LOGIN CREATEROLE").format(owner))
    server.run(sql.SQL("ALTER DATABASE {} OWNER TO {}").format(name, owner))
    for one in ("stranger", *(f"a_{role.value}" for role in GIVEN)):
        login = sql.Identifier(f"{people.name}_{one}")
        server.run(sql.SQL("CREATE ROLE {} LOGIN").format(login))
    return people


def give_roles(people: People) -> None:
    """Let the owner give the roles that were made, in the words that the command printed."""
    said = done(people.owner, "store", "roles")
    giving = [line.strip() for line in said.splitlines() if line.strip().startswith("GRANT")]
    assert len(giving) == len(GIVEN)
    for role, words in zip(GIVEN, giving, strict=True):
        asked(people.owner, words.replace("kim", f"{people.name}_a_{role.value}"))


def content(people: People) -> str:
    """Return a digest of every row of every table of the store."""
    words = asked(
        people.server.place(people.name),
        "SELECT format('SELECT %L, md5(string_agg(one::text, %L ORDER BY one::text)) FROM %I AS "
        "one', tablename, ',', tablename) FROM pg_tables WHERE schemaname = 'prepstore' ORDER BY 1",
    )
    return repr(asked(people.owner, " UNION ALL ".join(words_of for (words_of,) in words)))


def run(place: ServerPlace, *words: str) -> Result:
    """Run a command on a store as somebody."""
    result = CliRunner().invoke(app, ["--db", str(place), *words])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


def done(place: ServerPlace, *words: str) -> str:
    """Return what a command says that must succeed."""
    result = run(place, *words)
    assert result.exit_code == 0, (words, result.output)
    return result.stdout


def department_with_roles(server: Server) -> People:
    """Make a department with the sample's tables and all roles given."""
    people = new_department(server)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PREPSTORE_TODAY", TODAY)
        done(people.owner, "load", str(SAMPLE))
        give_roles(people)
    return people
