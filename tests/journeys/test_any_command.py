"""Any command after any other, with plausible slips and worse: nothing locks or loses the store.

The environment variable STEPS lets it go on longer, with a process for each core; SEED says which
chances are taken. A journey that breaks a law is told as the commands that break it.
"""

import gc
import json
import os
from collections import Counter
from collections.abc import Sequence
from functools import cache, partial
from traceback import format_exc

import pytest
from typer.main import get_command

from tests.journeys.held_to_laws import LawBrokenError, shortest, travelled
from tests.ledger.faults import child

STEPS = int(os.environ.get("STEPS", "60"))
SEED = int(os.environ.get("SEED", "1"))
JOURNEYS = -(-STEPS // 50)
"""Longer ones find little more, and take longer to be made short."""

ENOUGH = 2000
COMMANDS = {
    *("backup", "load", "order cancel", "order due", "order place", "restore", "stock count"),
    *("stock discard", "stock make", "stock move", "stock open", "stock receive", "stock rename"),
    *("stock retire", "stock state", "stock test", "stock undo", "stock use", "session"),
    *("waste open", "waste add", "waste measure", "waste seal", "waste empty"),
    "waste call",
    "waste collect",
}
"""All that change a store are done in so many steps, since refusals alone prove little."""

PROCESSES = os.cpu_count() or 1

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="journeys go on in forked children")


def _travel(seeds: Sequence[int]) -> tuple[Counter[str], str]:
    """Go on journeys; return which commands were done, and how the first law was broken."""
    done: Counter[str] = Counter()
    for seed in seeds:
        try:
            done.update(travelled(seed, -(-STEPS // JOURNEYS)))
        except LawBrokenError as broken:
            return done, f"Seed {seed}.\n{shortest(broken).told()}"
        except Exception:
            # Told where it can be read: what goes wrong in a child is seen by nobody else.
            return done, f"Seed {seed}.\n{format_exc()}"
    return done, ""


def _tell(seeds: Sequence[int], out: int) -> None:
    gc.disable()  # as the command line itself does
    os.write(out, json.dumps(_travel(seeds)).encode())


@pytest.mark.slow
def test_any_commands_keep_the_store_whole_and_all_of_them_can_be_undone(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.delenv("PREPSTORE_DB", raising=False)
    # Building the command line anew for each command would take half of the time.
    monkeypatch.setattr("typer.testing._get_command", cache(get_command))
    seeds = range(SEED, SEED + JOURNEYS)
    children = [child(partial(_tell, seeds[first::PROCESSES])) for first in range(PROCESSES)]
    told = []
    for pid, pipe in children:
        with os.fdopen(pipe) as lines:
            told.append(json.loads(lines.read()))
        os.waitpid(pid, 0)
    broken = [how for _, how in told if how]
    assert not broken, "\n\n".join(broken)
    done = sum((Counter(of_child) for of_child, _ in told), Counter[str]())
    assert len(done) > 5
    assert STEPS < ENOUGH or set(done) == COMMANDS, COMMANDS - set(done)
