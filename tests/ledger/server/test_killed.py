"""Servers and clients that are killed at any moment, while commands book and load.

The environment variable KILLS lets it go on longer; SEED says which moments are taken.
"""

import os
import select
import signal
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, partial
from pathlib import Path
from random import Random

import pytest
from typer.main import get_command
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.place import ServerPlace
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import reading
from tests.bad_input.small_set import folder_of
from tests.journeys.department import rows_of
from tests.ledger.faults import child
from tests.ledger.rows_of import store_with_lots
from tests.past_our_code import answered
from tests.servers import Server, running

KILLS = int(os.environ.get("KILLS", "5"))
SEED = int(os.environ.get("SEED", "1"))

LOTS_OF_A_LOAD = 30
HELD = 1_000_000
REFUSALS = ("was lost", "cannot be reached", "is just starting or stopping")
"""With which a command may be refused whose server is killed."""

pytestmark = [
    pytest.mark.server,
    pytest.mark.slow,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="clients are forked children"),
]


@dataclass
class Account:
    """What clients were told: entries of bookings, loads by name, and how they were refused."""

    booked: list[int] = field(default_factory=list)
    loaded: list[str] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)

    def note(self, told: str) -> None:
        """Note what a client told; a line in half was told to nobody."""
        for line in told.splitlines(keepends=True):
            kind, _, what = line.rstrip("\n").partition(" ")
            if not line.endswith("\n"):
                continue
            if kind == "entry":
                self.booked.append(int(what))
            else:
                (self.loaded if kind == "load" else self.refused).append(what)


class Client:
    """A child that works, and what it has told so far."""

    def __init__(self, work: Callable[[int], None]) -> None:
        self.pid, self._pipe = child(work)
        self._told = b""

    def work_until(self, lines: int, share: float) -> None:
        """Wait until it has told some lines, and then for a share of the time that one takes."""
        begun = time.monotonic()
        while self._told.count(b"\n") < lines and self._read(seconds=20):
            pass
        self._read(seconds=share * (time.monotonic() - begun) / lines)

    def _read(self, seconds: float) -> bool:
        """Read what it tells within some seconds; return whether there was anything."""
        if not select.select([self._pipe], [], [], seconds)[0]:
            return False
        piece = os.read(self._pipe, 65_536)
        self._told += piece
        return bool(piece)

    def ended(self) -> str:
        """Wait for its end; return all that it told."""
        while self._read(seconds=60):
            pass
        os.close(self._pipe)
        os.waitpid(self.pid, 0)
        return self._told.decode()


def _work_until_refused(store: ServerPlace, by: str, folder: Path, out: int) -> None:
    """Book and load, in turn, with the commands themselves; tell each that is confirmed."""
    turn = 0
    while True:
        turn += 1
        if turn % 3:
            lot = f"L{turn % 2 + 1}"
            words: tuple[str, ...] = ("stock", "use", lot, "1 g", "--by", by)
        else:
            words = ("load", str(_more(f"{by}.{turn}", folder)))
        result = CliRunner().invoke(app, ["--db", str(store), *words])
        if result.exit_code:
            said = " ".join(result.stderr.split()) or f"a fault of its own {result.exception!r}"
            os.write(out, f"refused {said}\n".encode())
            return
        found = result.stdout.rpartition("Recorded as entry ")[2].split(".")[0]
        told = f"entry {found}" if turn % 3 else f"load {by}.{turn}"
        os.write(out, f"{told}\n".encode())


def _more(name: str, folder: Path) -> Path:
    """Return a set of an item of that name and lots of it."""
    item = rows_of("items", {"item": name, "kind": "reagent", "unit": "g"})
    numbers = range(LOTS_OF_A_LOAD)
    lots = [{"lot": f"{name}.{one}", "item": name, "amount": "7 g"} for one in numbers]
    return folder_of({**item, **rows_of("stock", *lots)}, folder / name)


def _assert_true(store: ServerPlace, account: Account, perhaps: int) -> None:
    """Hold the store to what clients were told; at most so many things more may be there."""
    uses = answered(store, "SELECT entry, lot, billionths FROM movements WHERE what = 'used'")
    entries = [entry for entry, *_ in uses]
    assert len(set(entries)) == len(entries)
    assert set(entries) >= set(account.booked)
    assert {billionths for *_, billionths in uses} == {-(10**9)}
    used = {lot: sum(1 for _, one, _ in uses if one == lot) for lot in ("l1", "l2")}
    held = dict(answered(store, "SELECT lot, billionths FROM balances"))
    for lot, times in used.items():
        assert held[lot] == (HELD - times) * 10**9
    loads = _loads_of(store)
    assert loads.keys() >= set(account.loaded)
    assert set(loads.values()) <= {(LOTS_OF_A_LOAD, LOTS_OF_A_LOAD * 7 * 10**9)}
    assert set(answered(store, "SELECT item FROM items")) == {("salt",), *((one,) for one in loads)}
    more = len(entries) - len(account.booked) + len(loads) - len(account.loaded)
    assert more <= perhaps
    with reading(store) as connection:
        assert list(faults(connection)) == []
    assert CliRunner().invoke(app, ["--db", str(store), "check"]).exit_code == 0


def _loads_of(store: ServerPlace) -> dict[str, tuple[int, int]]:
    """Return of each load that left anything how many of its lots there are and what they hold."""
    rows = answered(
        store,
        "SELECT item, count(*), sum(b.billionths) FROM stock s JOIN balances b ON b.lot = s.key "
        "WHERE item <> 'salt' GROUP BY item",
    )
    return {item: (lots, int(held)) for item, lots, held in rows}


@pytest.fixture(autouse=True)
def _one_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-01")
    monkeypatch.setattr("typer.testing._get_command", cache(get_command))


def _store(on: Server, folder: Path) -> ServerPlace:
    store = store_with_lots(on.fresh(), L1=str(HELD), L2=str(HELD))
    # Else each child would spend its time on importing the commands.
    for words in (("stock", "use", "L1", "1 g", "--dry-run"), ("load", str(_more("a", folder)))):
        done = CliRunner().invoke(app, ["--db", str(store), *words])
        assert done.exit_code == 0, done.output
    return store


@pytest.fixture(scope="module")
def own() -> Iterator[Server]:
    with running({"synchronous_commit": "on"}) as one:
        yield one


def test_of_a_server_killed_during_bookings_and_loads_all_is_there_that_was_confirmed(
    own: Server, tmp_path: Path
) -> None:
    chance = Random(SEED)
    account = Account(loaded=["a"])
    store = _store(own, tmp_path)
    for turn in range(KILLS):
        clients = [
            Client(partial(_work_until_refused, store, f"{who}{turn}", tmp_path))
            for who in ("kim", "ana")
        ]
        clients[0].work_until(chance.randint(1, 5), chance.random())
        # The whole of it, as a power cut does, or what serves one client in the middle of its work.
        own.kill() if chance.random() < 0.5 else own.kill_inside(store)
        for client in clients:
            if not _has_ended(client.pid):
                own.kill()
            account.note(client.ended())
    # It may not have noticed yet that one of its processes was killed.
    own.kill()
    _assert_true(store, account, perhaps=2 * KILLS)
    assert len(account.booked) > KILLS
    assert len(account.loaded) > 1
    assert len(account.refused) == 2 * KILLS
    strange = {one for one in account.refused if not any(way in one for way in REFUSALS)}
    assert not strange, "\n".join(strange)


def _has_ended(pid: int) -> bool:
    """Return whether a child comes to an end by itself: one that was just in between does not."""
    until = time.monotonic() + 1
    while time.monotonic() < until:
        if os.waitid(os.P_PID, pid, os.WEXITED | os.WNOHANG | os.WNOWAIT) is not None:
            return True
        time.sleep(0.02)
    return False


def test_of_clients_that_are_killed_all_is_there_that_was_confirmed(
    own: Server, tmp_path: Path
) -> None:
    chance = Random(SEED)
    account = Account(loaded=["a"])
    store = _store(own, tmp_path)
    for turn in range(2 * KILLS):
        client = Client(partial(_work_until_refused, store, f"kim{turn}", tmp_path))
        client.work_until(chance.randint(1, 4), chance.random())
        os.kill(client.pid, signal.SIGKILL)
        account.note(client.ended())
    assert account.refused == []
    assert len(account.booked) > KILLS
    assert len(account.loaded) > 1
    _assert_true(store, account, perhaps=2 * KILLS)
    # Nobody has to wait for one who is dead.
    last = CliRunner().invoke(app, ["--db", str(store), "stock", "use", "L1", "1 g", "--by", "ana"])
    assert last.exit_code == 0
    assert "Waiting" not in last.stderr
