"""Any command after any other, with plausible slips and worse: nothing locks or loses the store.

The environment variable STEPS lets it go on longer (on a server STEPS_ON_A_SERVER, since a step
takes longer there), with a process for each core; SEED says which chances are taken. A journey that
breaks a law is told as the commands that break it.
"""

import gc
import json
import os
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, partial
from traceback import format_exc
from typing import TYPE_CHECKING

import pytest
from typer.main import get_command

from tests.journeys.held_to_laws import LawBrokenError, shortest, travelled
from tests.ledger.faults import child

if TYPE_CHECKING:
    from prepstore.ledger.place import Place
    from tests.servers import Server

STEPS = int(os.environ.get("STEPS", "60"))
STEPS_ON_A_SERVER = int(os.environ.get("STEPS_ON_A_SERVER", "60"))
SEED = int(os.environ.get("SEED", "1"))
LONGEST = 50
"""Steps of a journey: longer ones find little more, and take longer to be made short."""

ENOUGH = 2000
COMMANDS = {
    *("backup", "load", "order cancel", "order due", "order place", "restore", "stock count"),
    *("stock discard", "stock make", "stock move", "stock open", "stock receive", "stock rename"),
    *("stock retire", "stock state", "stock test", "stock undo", "stock use", "session"),
    *("waste open", "waste add", "waste measure", "waste seal", "waste empty"),
    *("waste call", "waste collect", "labels"),
}
"""All that change a store are done in so many steps, since refusals alone prove little."""

PROCESSES = os.cpu_count() or 1

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="journeys go on in forked children")


@dataclass(frozen=True)
class _Journeys:
    """What a process does: journeys by the seeds of their chances, on a server or in files."""

    seeds: Sequence[int]
    steps: int
    server: "Server | None"

    def places(self) -> "Iterator[Place] | None":
        """Yield places without a store; None for files."""
        return None if self.server is None else _one_after_another(self.server)


def _one_after_another(server: "Server") -> "Iterator[Place]":
    """Yield databases; they are gone once the journey is over."""
    made: list[str] = []
    try:
        while True:
            place = server.fresh()
            made.append(place.name)
            yield place
    finally:
        for name in made:
            server.drop(name)


def _travel(journeys: _Journeys) -> tuple[Counter[str], str]:
    """Go on journeys; return which commands were done, and how the first law was broken."""
    done: Counter[str] = Counter()
    for seed in journeys.seeds:
        try:
            done.update(travelled(seed, journeys.steps, journeys.places()))
        except LawBrokenError as broken:
            return done, f"Seed {seed}.\n{shortest(broken, journeys.places()).told()}"
        except Exception:
            # Told where it can be read: what goes wrong in a child is seen by nobody else.
            return done, f"Seed {seed}.\n{format_exc()}"
    return done, ""


def _tell(journeys: _Journeys, out: int) -> None:
    gc.disable()  # as the command line itself does
    os.write(out, json.dumps(_travel(journeys)).encode())


@pytest.mark.slow
@pytest.mark.parametrize("kept", ["file", pytest.param("server", marks=pytest.mark.server)])
def test_any_commands_keep_the_store_whole_and_all_of_them_can_be_undone(
    kept: str, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    server: Server | None = None if kept == "file" else request.getfixturevalue("server")
    # Building the command line anew for each command would take half of the time.
    monkeypatch.setattr("typer.testing._get_command", cache(get_command))
    steps = STEPS if server is None else STEPS_ON_A_SERVER
    number = -(-steps // LONGEST)
    seeds = range(SEED, SEED + number)
    children = []
    for first in range(PROCESSES):
        own = None if server is None else server.for_child(first)
        journeys = _Journeys(seeds[first::PROCESSES], -(-steps // number), own)
        children.append(child(partial(_tell, journeys)))
    told = []
    for pid, pipe in children:
        with os.fdopen(pipe) as lines:
            told.append(json.loads(lines.read()))
        os.waitpid(pid, 0)
    broken = [how for _, how in told if how]
    assert not broken, "\n\n".join(broken)
    done = sum((Counter(of_child) for of_child, _ in told), Counter[str]())
    assert len(done) > 5
    assert steps < ENOUGH or set(done) == COMMANDS, COMMANDS - set(done)
