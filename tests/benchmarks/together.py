"""Many who record at once on the same fifty lots, each with whole commands: sums, refusals, speed.

Run by hand: python tests/benchmarks/together.py [MOVEMENTS]

In a file 4 clients record 2,500 movements each; on a server, which waits for its disk as a
department's does, 20 record 500 each.
"""

import gc
import json
import os
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path
from statistics import quantiles
from typing import Final

import pytest
from typer.main import get_command
from typer.testing import CliRunner

sys.path.insert(0, str(Path(__file__).parents[2]))

from prepstore.cli.main import app
from prepstore.ledger.place import Place
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import reading
from tests.ledger.faults import child
from tests.ledger.rows_of import store_with_lots
from tests.past_our_code import answered
from tests.servers import running

LOTS: Final = 50
SCARCE: Final = 10
"""The first lots, of which only is used, and more than there is."""

MOVEMENTS: Final = 10_000
CLIENTS_OF_A_FILE: Final = 4
CLIENTS_OF_A_SERVER: Final = 20
USED, CAME, PLENTY = 3, 2, 10_000_000
"""Tenths of a gram."""

AS_A_DEPARTMENT_S: Final = {"fsync": "on", "synchronous_commit": "on", "full_page_writes": "on"}


@dataclass(frozen=True)
class Done:
    """What came of it: what was wrong, and how long commands took, s."""

    wrong: list[str]
    seconds: float
    kept: int
    each: list[float]


def at_once(place: Place, clients: int, each: int) -> Done:
    """Let clients record, each some movements with a command each, and hold the store to the sums.

    Args:
        place: Without a store.
        clients: How many, each a process of its own.
        each: How many movements each of them asks for.
    """
    asked = [_asked(client, turn) for client in range(clients) for turn in range(each)]
    uses = Counter(lot for lot, is_use in asked if is_use)
    # For about two of three, so that who comes last has nothing left.
    there = {lot: uses[lot] * 2 // 3 * USED if lot < SCARCE else PLENTY for lot in range(LOTS)}
    store_with_lots(place, **{f"L{lot}": _grams(held) for lot, held in there.items()})
    with _as_on_the_command_line():
        _run(place, "stock", "use", f"L{LOTS - 1}", "1 g", "--dry-run")
        begun = time.perf_counter()
        working = [child(partial(_work, place, client, each)) for client in range(clients)]
        told = [_told(*one) for one in working]
        seconds = time.perf_counter() - begun
    lines = [line for of_client in told for line in of_client]
    kept = sum(1 for *_, said, _ in lines if not said)
    wrong = [*_wrong_with_what_is_told(lines, len(asked), there), *_wrong_with(place, lines, there)]
    return Done(wrong, seconds, kept, [took for *_, took in lines])


Line = tuple[int, bool, str, float]
"""What a client tells of a command: the lot, whether it uses, how it was refused, and seconds."""


def _asked(client: int, turn: int) -> tuple[int, bool]:
    """Return the lot of a command, and whether some of it is used, or comes."""
    lot = (turn * 7 + client) % LOTS
    return lot, lot < SCARCE or (turn // LOTS + lot) % 2 == 1


def _grams(tenths: int) -> str:
    return f"{tenths // 10}.{tenths % 10}"


@contextmanager
def _as_on_the_command_line() -> Iterator[None]:
    """Build the commands once, and look for no cycles, as a command that ends soon does."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("typer.testing._get_command", cache(get_command))
        gc.disable()
        yield
        gc.enable()


def _run(place: Place, *words: str) -> str:
    """Run a command; return how it was refused, blank where it was done."""
    result = CliRunner().invoke(app, ["--db", str(place), *words])
    if not result.exit_code:
        return ""
    return result.stderr.strip() or f"a fault of its own: {result.exception!r}"


def _work(place: Place, client: int, each: int, out: int) -> None:
    lines: list[Line] = []
    for turn in range(each):
        lot, is_use = _asked(client, turn)
        what = ("use", f"L{lot}", f"{_grams(USED)} g")
        words = what if is_use else ("receive", f"L{lot}", f"{_grams(CAME)} g")
        begun = time.perf_counter()
        said = _run(place, "stock", *words, "--by", f"client {client}")
        lines.append((lot, is_use, said, time.perf_counter() - begun))
    os.write(out, json.dumps(lines).encode())


def _told(pid: int, pipe: int) -> list[Line]:
    with os.fdopen(pipe) as lines:
        text = lines.read()
    os.waitpid(pid, 0)
    return [(lot, is_use, said, took) for lot, is_use, said, took in json.loads(text or "[]")]


def _wrong_with_what_is_told(lines: list[Line], asked: int, there: dict[int, int]) -> Iterator[str]:
    """Yield where a command has no answer, or is refused though there was stock."""
    if len(lines) != asked:
        yield f"of {asked} commands {len(lines)} were answered"
    for lot, _, said, _ in lines:
        if said and not (lot < SCARCE and f"Lot L{lot} of salt holds 0 g, less" in said):
            yield said
    for lot in range(SCARCE):
        kept = sum(1 for one, _, said, _ in lines if one == lot and not said)
        if kept != there[lot] // USED:
            yield f"of lot L{lot} {kept} were used, and there were {there[lot] // USED}"


def _wrong_with(place: Place, lines: list[Line], there: dict[int, int]) -> Iterator[str]:
    """Yield where a store is not what its clients were told."""
    held = dict(answered(place, "SELECT lot, billionths FROM balances"))
    for lot, began in there.items():
        changes = [
            -USED if is_use else CAME for one, is_use, said, _ in lines if one == lot and not said
        ]
        if held[f"l{lot}"] != (began + sum(changes)) * 10**8:
            yield f"lot L{lot} holds {held[f'l{lot}']}, not {began + sum(changes)} tenths of a gram"
    kept = sum(1 for *_, said, _ in lines if not said)
    for table in ("entries", "movements"):
        ((rows,),) = answered(place, f"SELECT count(*) FROM {table} WHERE entry > 1")
        if rows != kept:
            yield f"{rows} {table} for {kept} that were told to be recorded"
    with reading(place) as connection:
        yield from map(str, faults(connection))


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _report(name: str, clients: int, done: Done) -> None:
    later = quantiles(done.each, n=100)
    _say(
        f"{name}, {clients} clients: {done.kept} of {len(done.each)} recorded, the rest refused "
        f"since nothing was left; wrong: {done.wrong or 'nothing'}"
    )
    _say(
        f"  {done.seconds:.1f} s, {len(done.each) / done.seconds:.0f} commands a second; one took "
        f"{later[49]:.2f} s (median), {later[98]:.2f} s (99 of 100), {max(done.each):.2f} s at most"
    )


def main(movements: int = MOVEMENTS) -> None:
    """Let them work, first beside a file and then beside a server, and print what came of it."""
    os.environ["PREPSTORE_TODAY"] = "2027-02-01"
    with tempfile.TemporaryDirectory() as folder, running(AS_A_DEPARTMENT_S) as server:
        for name, place, clients in (
            ("a file", Path(folder) / "prepstore.db", CLIENTS_OF_A_FILE),
            ("a server", server.fresh(), CLIENTS_OF_A_SERVER),
        ):
            _report(name, clients, at_once(place, clients, movements // clients))


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
