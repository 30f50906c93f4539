"""Four processes that record 2,500 movements each on the same fifty lots: sums, errors, time.

Run by hand: python tests/benchmarks/together.py
"""

import os
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from prepstore.ledger.lots import balances
from prepstore.ledger.movements import Asked, recorded
from prepstore.ledger.soundness import faults
from prepstore.ledger.store_file import reading
from prepstore.movements import What
from tests.ledger.faults import LOTS, child, signed
from tests.ledger.rows_of import book, movement, store_with_lots

PROCESSES, EACH = 4, 2_500


def _work(path: Path, out: int) -> None:
    by, slowest = str(os.getpid()), 0.0
    for turn in range(EACH):
        what, change = (What.USED, "-0.3") if turn % 2 else (What.RECEIVED, "0.2")
        begun = time.perf_counter()
        book(path, movement(f"L{turn % 50}", change, what), signed=signed(by))
        slowest = max(slowest, time.perf_counter() - begun)
    os.write(out, f"{slowest:.3f}\n".encode())


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")


def main() -> None:
    """Let them work, and print what came of it."""
    with tempfile.TemporaryDirectory() as folder:
        path = store_with_lots(Path(folder) / "prepstore.db", **LOTS)
        begun = time.perf_counter()
        children = [child(lambda out: _work(path, out)) for _ in range(PROCESSES)]
        told = []
        for pid, pipe in children:
            with os.fdopen(pipe) as lines:
                told += [float(line) for line in lines]
            os.waitpid(pid, 0)
        seconds = time.perf_counter() - begun
        with reading(path) as connection:
            kept = len(recorded(connection, Asked(first_day=signed("").on_day)))
            total = sum(balances(connection).values())
            wrong = list(faults(connection))
    expected = (50 * 10**6 * 10 - PROCESSES * EACH // 2) * 10**8
    _say(f"{len(told)} of {PROCESSES} processes ended without an error")
    _say(f"{kept} of {PROCESSES * EACH} movements are there")
    _say(f"the sum is {'exact' if total == expected else f'wrong by {total - expected}'}")
    _say(f"faults: {wrong or 'none'}")
    _say(f"{seconds:.1f} s, {kept / seconds:.0f} movements a second")
    _say(f"the longest that one movement took: {max(told):.2f} s")


if __name__ == "__main__":
    main()
