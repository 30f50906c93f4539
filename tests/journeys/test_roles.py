"""Each command tried in each role: who has less is told which role it wants, and nothing changes.

What may be done is derived from the list of all commands, so that a new one without a role fails.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.cli.wanted_roles import WANTED_BY
from prepstore.ledger.role import GIVEN, Role
from tests.past_our_code import answered
from tests.people import (
    TODAY,
    People,
    content,
    department_with_roles,
    done,
    give_roles,
    new_department,
    run,
)
from tests.servers import Server

WEEK = ("--week", "2027-W10", "--today", TODAY)
BY = ("--by", "Kim")
LAST = "the last entry"
"""Stands for the number of the last entry."""

TRIED: dict[str, tuple[tuple[str, ...], ...]] = {
    "export": (("export", "out", "--history"),),
    "plan": (("plan", *WEEK, "--json", "-"), ("plan", *WEEK)),
    "ahead": (("ahead", "--from", "2027-W10", "--today", TODAY),),
    "cautions": (("cautions", "--session", "W10-Wed-1"),),
    "trace": (("trace", "acetone", *WEEK),),
    "backup": (("backup", "copy.db"),),
    "check": (("check",),),
    "stock list": (("stock", "list"),),
    "stock history": (("stock", "history"), ("stock", "history", "--json")),
    "stock usage": (("stock", "usage"),),
    "stock names": (("stock", "names"),),
    "stock expiry": (("stock", "expiry"),),
    "stock peroxides": (("stock", "peroxides"),),
    "stock labels": (("stock", "labels"),),
    "stock spending": (("stock", "spending"),),
    "order export": (("order", "export", *WEEK, "--out", "orders"),),
    "order list": (("order", "list"),),
    "order history": (("order", "history"),),
    "session list": (("session", "list"),),
    "session history": (("session", "history"),),
    "waste": (("waste", *WEEK),),
    "waste containers": (("waste", "containers"),),
    "waste compare": (("waste", "compare", "--from", "2027-03-01", "--to", "2027-03-03"),),
    "labels": (("labels", *WEEK),),
    "stock receive": (
        ("stock", "receive", "acetone", "1 L", "--lot", "N1", "--expiry", "2029-01-31", *BY),
        ("stock", "receive", "BC-1170", *BY),
    ),
    "stock undo": (
        # The delivery of an order, and that undone in turn.
        ("stock", "undo", LAST, *BY),
        ("stock", "undo", LAST, *BY),
    ),
    "stock use": (
        ("stock", "use", "L0236", "1 mL", *BY),
        ("stock", "undo", LAST, *BY),
        ("stock", "use", "--session", "W10-Wed-1", "--as-far-as-there-is", *BY),
    ),
    "stock make": (("stock", "make", "acetone-water 1:1", "--volume", "100 mL", *BY),),
    "stock count": (("stock", "count", "L0236", "1 L", "--reason", "spilt", *BY),),
    "stock open": (("stock", "open", "L0237", *BY),),
    "stock move": (("stock", "move", "L0236", "cabinet A", *BY),),
    "stock state": (("stock", "state", "L0236", "quarantine", *BY),),
    "stock correct": (
        ("stock", "correct", "L0236", "--place", "cabinet B", *BY),
        ("stock", "correct", "L0237", "--label", "L9237", *BY),
        ("stock", "undo", LAST, *BY),
        ("stock", "receive", "acetone", "1 L", "--lot", "N2", "--expiry", "2029-01-31", *BY),
        ("stock", "undo", LAST, *BY),
        # A lot that is gone makes room for another with its label, and stands there again.
        ("stock", "receive", "acetone", "2 L", "--lot", "N2", "--expiry", "2029-01-31", *BY),
        ("stock", "undo", LAST, *BY),
    ),
    "stock discard": (("stock", "discard", "L0236", "--reason", "old", *BY),),
    "stock test": (("stock", "test", "L0243", "--result", "5 mg/L", *BY),),
    "session add": (
        ("session", "add", "N", "ANA-02", "2027-03-12", "--students", "3", *BY),
        ("stock", "undo", LAST, *BY),
        ("stock", "undo", LAST, *BY),
    ),
    "session students": (("session", "students", "W10-Tue-4", "36", *BY),),
    "session move": (
        ("session", "move", "W10-Mon-3", "2027-03-09", "--start", "9:15", "--room", "West", *BY),
    ),
    "session swap": (("session", "swap", "W10-Wed-2", "ana-04", *BY),),
    "session cancel": (("session", "cancel", "W10-Fri-1", *BY), ("stock", "undo", LAST, *BY)),
    "waste add": (("waste", "add", "aqueous acid", "300 mL", "--item", "acetone", *BY),),
    "waste measure": (("waste", "measure", "aqueous acid", "60 %", *BY),),
    "waste seal": (("waste", "seal", "aqueous acid", *BY),),
    "waste open": (("waste", "open", "aqueous acid", "--as", "can 9", *BY),),
    "waste empty": (("waste", "empty", "aqueous acid", "5", *BY),),
    "waste call": (("waste", "call", "aqueous acid", "--expected", "2027-03-19", *BY),),
    "waste collect": (("waste", "collect", "--reason", "monthly round", *BY),),
    "load": (("load", "more"), ("load", "fewer", "--count")),
    "stock rename": (("stock", "rename", "acetone", "propanone", *BY),),
    "stock retire": (
        ("stock", "retire", "ANA-05", "--on", "2027-04-01", *BY),
        ("stock", "undo", LAST, *BY),
    ),
    "order place": (("order", "place", *WEEK, *BY), ("stock", "undo", LAST, *BY)),
    "order due": (("order", "due", "PO 27-044", "--to", "2027-03-20", *BY),),
    "order cancel": (("order", "cancel", "PO 27-044", *BY),),
    "store roles": (("store", "roles"),),
}
"""By command: what is tried, in this order; each that records finds something to record."""

ELSEWHERE = {
    "demo": "makes a store in a file of its own",
    "template": "asks no store",
    "restore": "into a database without a store, below",
    "store copy": "into a database without a store, below",
    "store take-in": "wants a copy in which something was recorded: test_store_take_in",
}


@pytest.fixture(autouse=True)
def _today(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_TODAY", TODAY)
    for folder, table, text in (
        ("more", "items", "item,kind,unit\nnew salt,reagent,g\n"),
        ("fewer", "stock", "lot,item,amount\nL0501,new salt,5 g\n"),
    ):
        Path(folder).mkdir()
        Path(folder, f"{table}.csv").write_text(text, encoding="utf-8")


def _commands(of: Any, before: tuple[str, ...] = ()) -> Iterator[str]:  # noqa: ANN401 - of typer
    for name, command in getattr(of, "commands", {}).items():
        words = (*before, name)
        if not hasattr(command, "commands") or command.invoke_without_command:
            yield " ".join(words)
        yield from _commands(command, words)


def test_every_command_has_a_role_and_is_tried() -> None:
    commands = set(_commands(get_command(app)))
    assert commands == set(WANTED_BY)
    assert commands == {*TRIED, *ELSEWHERE}


def _tries() -> Iterator[tuple[str, tuple[str, ...]]]:
    for command, tries in TRIED.items():
        for words in tries:
            yield command, words


def _numbered(people: People, words: tuple[str, ...]) -> list[str]:
    ((last,),) = answered(people.owner, "SELECT max(entry) FROM entries")
    return [str(last) if word == LAST else word for word in words]


@pytest.mark.server
def test_who_has_less_is_told_what_it_wants_and_who_has_it_does_it(server: Server) -> None:
    people = department_with_roles(server)
    done(people.owner, "load", "more")
    Path("more", "items.csv").write_text("item,kind,unit\nnewer salt,reagent,g\n", encoding="utf-8")
    for command, words in _tries():
        wanted = WANTED_BY[command]
        before = content(people)
        for place in people.below(wanted):
            said = run(place, *_numbered(people, words))
            assert said.exit_code == 1, (place, words, said.output)
            # What an undo wants is known once it is tried to undo it.
            is_known = words[:2] != ("stock", "undo") or place == people.of(Role.RECORDER)
            _assert_says(people, wanted if is_known else Role.RECORDER, said.stderr)
        assert content(people) == before, words
        done(people.of(wanted), *_numbered(people, words))
        is_written = wanted not in (Role.READER, Role.OWNER)
        assert (content(people) != before) == is_written, words
    assert "is sound" in done(people.owner, "check")


def _assert_says(people: People, wanted: Role, said: str) -> None:
    """Hold that a refusal is one sentence or two, names role and owner, and how it is given."""
    line = said.strip().splitlines()[-1]
    owner = people.owner.address.split("@")[0].removeprefix("postgresql://")
    if wanted is Role.OWNER:
        assert line.startswith(f"Only {owner}, who owns {people.owner.address[:13]}"), line
        return
    assert f"wants the role of a {wanted.value} of " in line, said
    assert (
        f'Ask {owner}, who owns the store, or an administrator of the server, for it: GRANT "'
        in line
    )
    assert f'"prepstore_{people.name}_{wanted.value}" TO "{people.name}_' in line


@pytest.mark.server
def test_a_keeper_does_all_that_others_may(server: Server) -> None:
    people = department_with_roles(server)
    done(people.of(Role.KEEPER), "load", "more")
    Path("more", "items.csv").write_text("item,kind,unit\nnewer salt,reagent,g\n", encoding="utf-8")
    for command, words in _tries():
        if WANTED_BY[command] is not Role.OWNER:
            done(people.of(Role.KEEPER), *_numbered(people, words))
    assert "is sound" in done(people.of(Role.READER), "check")
    users = {user for (user,) in answered(people.owner, "SELECT database_user FROM entries")}
    assert users == {f"{people.name}_owner", f"{people.name}_a_keeper"}


@pytest.mark.server
def test_a_reader_prints_what_needs_no_numbers_and_numbers_that_are_reserved(
    server: Server,
) -> None:
    people = department_with_roles(server)
    reader = people.of(Role.READER)
    for words in (("--of", "waste", *WEEK), ("--of", "lots"), (*WEEK, "--json", "-")):
        done(reader, "labels", *words)
    before = content(people)
    _assert_says(people, Role.RECORDER, run(reader, "labels", *WEEK, "--out", "new.pdf").stderr)
    assert not Path("new.pdf").exists()
    assert content(people) == before
    done(people.of(Role.RECORDER), "labels", *WEEK, "--out", "first.pdf")
    done(reader, "labels", *WEEK, "--out", "again.pdf")
    assert Path("again.pdf").stat().st_size == Path("first.pdf").stat().st_size


@pytest.mark.server
def test_trials_and_checks_want_a_reader(server: Server) -> None:
    people = department_with_roles(server)
    reader = people.of(Role.READER)
    done(reader, "stock", "use", "L0236", "1 mL", "--dry-run")
    done(reader, "load", "more", "--check")


@pytest.mark.server
def test_the_owner_alone_fills_a_database_without_a_store(server: Server) -> None:
    people = department_with_roles(server)
    done(people.of(Role.RECORDER), "stock", "use", "L0236", "1 mL", *BY)
    done(people.of(Role.READER), "backup", "friday.db")
    done(people.of(Role.READER), "export", "out", "--history")
    other = new_department(server)
    for role in (None, *GIVEN):
        place = other.stranger if role is None else other.of(role)
        for words in (
            ("--db", str(place), "restore", "friday.db"),
            ("store", "copy", "friday.db", str(place)),
            ("--db", str(place), "load", "out"),
        ):
            said = CliRunner().invoke(app, list(words))
            assert said.exit_code == 1, words
            _assert_says(other, Role.OWNER, said.stderr)
    done(other.owner, "restore", "friday.db")
    users = "SELECT database_user FROM entries ORDER BY entry"
    assert answered(other.owner, users) == answered(people.owner, users)


@pytest.mark.server
def test_a_history_is_loaded_by_the_owner_since_it_speaks_for_others(server: Server) -> None:
    people = department_with_roles(server)
    done(people.of(Role.RECORDER), "stock", "use", "L0236", "1 mL", *BY)
    done(people.of(Role.READER), "export", "out", "--history")
    other = new_department(server)
    give_roles(other)
    said = run(other.of(Role.KEEPER), "load", "out")
    _assert_says(other, Role.OWNER, said.stderr)
    done(other.owner, "load", "out")
    users = "SELECT database_user FROM entries ORDER BY entry"
    known_as = [(f"{people.name}_owner",), (f"{people.name}_a_recorder",)]
    assert answered(other.owner, users) == answered(people.owner, users) == known_as
    told = done(other.of(Role.READER), "stock", "history", "--by", f"{people.name}_a_recorder")
    assert f"Kim as {people.name}_a_recorder" in told
