"""Two prep rooms, a counter and an office act a week on one server, whose lines are cut.

Each keeps its own account of what it was told; at the end the store tells what all of them do. The
environment variable ACTIONS says how many things each does a day; SEED which chances are taken.
"""

import json
import os
import time
from collections import Counter
from functools import cache, partial
from pathlib import Path
from random import Random

import pytest
from typer.main import get_command

from prepstore.ledger.place import Place, ServerPlace
from tests.bad_input.small_set import folder_of
from tests.journeys.acted_week import DAYS, ITEM, SHARED, Account, Person
from tests.journeys.college import done
from tests.journeys.department import WEEK, department, rows_of
from tests.journeys.entries import containers_that_differ, entries_in
from tests.ledger.faults import child
from tests.past_our_code import answered
from tests.servers import Server, asked

ACTIONS = int(os.environ.get("ACTIONS", "2"))
SEED = int(os.environ.get("SEED", "1"))
PEOPLE = ("room A", "room B", "counter", "office")
HELD = 400
"""Of each shared lot at the beginning, g."""

LONGEST_PEACE = 1.0
"""Seconds between two lines that are cut, at most."""

pytestmark = [
    pytest.mark.server,
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="they are forked children"),
]


@pytest.fixture
def store(server: Server, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ServerPlace:
    place = server.fresh()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_DB", str(place))
    monkeypatch.setenv("PREPSTORE_TODAY", DAYS[0])
    monkeypatch.setattr("typer.testing._get_command", cache(get_command))
    done("load", str(folder_of(department(), tmp_path / "first")))
    lots = [{"lot": lot, "item": ITEM, "amount": f"{HELD} g"} for lot in SHARED]
    done("load", str(folder_of(rows_of("stock", *lots), tmp_path / "shared")))
    done("stock", "use", "T1", "1 g", "--dry-run")
    return place


def _acted(store: ServerPlace, folder: Path) -> dict[str, Account]:
    """Let all of them act, and cut lines meanwhile; return their accounts."""
    people = [Person(who, store, folder, Random(f"{SEED} {who}")) for who in PEOPLE]
    children = [child(partial(one.act_the_week, ACTIONS)) for one in people]
    _cut_lines_until_all_are_done(store, [pid for pid, _ in children])
    accounts = {}
    for who, (pid, pipe) in zip(PEOPLE, children, strict=True):
        with os.fdopen(pipe) as lines:
            accounts[who] = Account(**json.loads(lines.read()))
        os.waitpid(pid, 0)
    return accounts


def _cut_lines_until_all_are_done(store: ServerPlace, children: list[int]) -> None:
    """End one of the lines now and then, as a server does: rather one that is just being kept."""
    chance = Random(SEED)
    rather = "query LIKE 'COMMIT%' DESC, xact_start IS NULL, random()"
    lines = (
        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
        f"WHERE datname = '{store.name}' AND pid <> pg_backend_pid() ORDER BY {rather} LIMIT 1"
    )
    working = set(children)
    while working:
        time.sleep(chance.uniform(0, LONGEST_PEACE))
        asked(store, lines)
        working = {pid for pid in working if _works(pid)}


def _works(pid: int) -> bool:
    """Return whether a child goes on; it is left to be waited for."""
    return os.waitid(os.P_PID, pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is None


def test_a_week_of_four_on_one_server_tells_one_true_story(
    store: ServerPlace, tmp_path: Path
) -> None:
    before = set(entries_in(store))
    accounts = _acted(store, tmp_path)
    assert {who: account.wrong for who, account in accounts.items() if account.wrong} == {}
    _assert_entries_are_those_told(store, accounts, before)
    _assert_lots_hold_what_was_told(store, accounts)
    _assert_histories_agree(store, accounts)
    _assert_sessions_have_the_students_told(store, accounts)
    assert containers_that_differ(store) == []
    done("check")
    _assert_backups_were_each_of_one_moment(store, accounts)
    _assert_a_copy_tells_the_same(store, tmp_path / "end.db")
    # Else nothing would have been tried.
    assert sum(len(account.entries) for account in accounts.values()) > 2 * ACTIONS * len(DAYS)
    assert sum(account.cut + account.looked for account in accounts.values()) > 0


def _assert_entries_are_those_told(
    store: ServerPlace, accounts: dict[str, Account], before: set[int]
) -> None:
    entries = entries_in(store)
    assert sorted(entries) == list(range(1, len(entries) + 1))
    assert all(entry.parts for entry in entries.values())
    for who, account in accounts.items():
        own = {number for number, entry in entries.items() if entry.by == who}
        assert own == {int(number) for number in account.entries}, who
    assert before | {int(one) for account in accounts.values() for one in account.entries} == set(
        entries
    )


def _changes(accounts: dict[str, Account]) -> dict[int, tuple[str, int]]:
    """Return by entry which lot changed by how many g, of those that tell it."""
    return {
        int(entry): (lot.casefold(), grams)
        for account in accounts.values()
        for entry, (lot, grams) in account.entries.items()
        if lot
    }


def _assert_lots_hold_what_was_told(store: ServerPlace, accounts: dict[str, Account]) -> None:
    told = Counter({lot.casefold(): HELD for lot in SHARED})
    for lot, grams in _changes(accounts).values():
        told[lot] += grams
    rows = answered(
        store,
        "SELECT b.lot, b.billionths FROM balances b JOIN stock s ON s.key = b.lot "
        f"WHERE s.item = '{ITEM}'",
    )
    assert dict(rows) == {lot: grams * 10**9 for lot, grams in told.items()}


def _assert_histories_agree(store: ServerPlace, accounts: dict[str, Account]) -> None:
    """Every change of a lot that somebody kept account of is told, once, with its amount."""
    told = json.loads(done("stock", "history", "--all", "--json").stdout)
    wanted = _changes(accounts)
    found = Counter(one["entry"] for one in told if one["entry"] in wanted)
    assert found == Counter(wanted.keys())
    moved = dict(answered(store, "SELECT entry, sum(billionths) FROM movements GROUP BY entry"))
    assert {entry: int(moved[entry]) for entry in wanted} == {
        entry: grams * 10**9 for entry, (_, grams) in wanted.items()
    }


def _assert_sessions_have_the_students_told(
    store: ServerPlace, accounts: dict[str, Account]
) -> None:
    rows = dict(answered(store, "SELECT session, students FROM timetable"))
    for session, students in accounts["office"].students.items():
        assert int(rows[session]) == students


def _assert_backups_were_each_of_one_moment(
    store: ServerPlace, accounts: dict[str, Account]
) -> None:
    whole = answered(store, "SELECT entry, by, on_day, at_utc FROM entries ORDER BY entry")
    for copy in accounts["office"].copies:
        done("--db", copy, "check")
        kept = answered(Path(copy), "SELECT entry, by, on_day, at_utc FROM entries ORDER BY entry")
        assert kept == whole[: len(kept)]


def _assert_a_copy_tells_the_same(store: Place, copy: Path) -> None:
    done("store", "copy", str(store), str(copy))
    for words in (
        ("stock", "list", "--json"),
        ("stock", "history", "--all", "--json"),
        ("order", "list", "--json"),
        ("waste", "containers", "--json"),
        ("plan", "--week", WEEK, "--json", "-"),
    ):
        of_copy = done("--db", str(copy), *words).stdout.replace(str(copy), str(store))
        assert of_copy == done(*words).stdout, words
