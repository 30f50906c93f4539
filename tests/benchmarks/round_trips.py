"""How often commands go to a server and back, counted on the wire, and what 20 ms each make of it.

Run by hand: python tests/benchmarks/round_trips.py
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from prepstore.ledger.place import Place
from prepstore.ledger.store import copy_whole
from tests.benchmarks.growth import PROGRAM, ROOT, grow
from tests.relay import relayed
from tests.servers import running

ONE_WAY_SECONDS = 0.01
MOVEMENTS = 100_000
COMMANDS: dict[str, tuple[str, ...]] = {
    "use of a lot": ("stock", "use", "L0104", "1 mL"),
    "use by a session": (
        "stock",
        "use",
        "--session",
        "W10-Mon-1",
        "--used",
        "silver nitrate 0.1 mol/L=SOME mL",
    ),
    "further use of a session": ("stock", "use", "L0104", "1 mL", "--session", "W10-Mon-1"),
    "plan of a week": ("plan", "--week", "2027-W10", "--json", "plan.json"),
    "lots": ("stock", "list"),
    "history of a lot": ("stock", "history", "L0104"),
    "delivery": ("stock", "receive", "acetone", "2.5 L", "--lot", "NEW", "--expiry", "2030-01-01"),
    "making up": ("stock", "make", "phosphate buffer pH 7.0", "--volume", "100 mL"),
    "count": ("stock", "count", "L0104", "1 L"),
    "undo of it": ("stock", "undo", "LAST"),
    "another day of an order": ("order", "due", "PO 27-044", "--to", "2027-03-2DAY"),
    "students of a session": ("session", "students", "W10-Tue-1", "SOME"),
    "load of the same tables": ("load", str(ROOT / "sample_inventory"), "--count"),
    "check": ("check",),
}


def _run(address: str, words: Sequence[str], folder: str, turn: int) -> float:
    """Run a command, whose words in capitals stand for what is another each turn."""
    others = {"NEW": f"X{turn}", "SOME": f"{turn + 10}", "DAY": f"{turn}", "LAST": "9"}
    of_turn = [others.get(word, word) for word in words]
    of_turn = [re.sub("SOME|DAY", lambda found: others[found[0]], word) for word in of_turn]
    there = {**os.environ, "PREPSTORE_TODAY": "2027-03-08", "PYTHONPATH": str(ROOT)}
    begun = time.perf_counter()
    done = subprocess.run(
        [*PROGRAM, "--db", address, *of_turn],
        cwd=folder,
        env=there,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        sys.stdout.write(f"{of_turn}: {done.stderr[:300]}\n")
    return time.perf_counter() - begun


def main() -> None:
    """Print a line a command: trips in a small and a large store, seconds near and far."""
    with tempfile.TemporaryDirectory() as folder, running() as server:
        small, large = Path(folder) / "small.db", Path(folder) / "large.db"
        subprocess.run(
            [*PROGRAM, "--db", str(small), "load", str(ROOT / "sample_inventory")],
            stdout=subprocess.DEVNULL,
            check=True,
        )
        shutil.copy(small, large)
        grow(large, MOVEMENTS)
        names = []
        for file in (small, large):
            place: Place = server.fresh()
            copy_whole(file, place)
            names.append(place.name)
        near, far = relayed(server.port), relayed(server.port, ONE_WAY_SECONDS)
        with near as at_hand, far as away:
            for what, words in COMMANDS.items():
                told = []
                for turn, name in enumerate(names):
                    at_hand.trips = 0
                    address = f"postgresql://postgres@127.0.0.1:{at_hand.port}/{name}"
                    seconds = _run(address, words, folder, turn)
                    told.append(str(at_hand.trips))
                far_address = f"postgresql://postgres@127.0.0.1:{away.port}/{names[1]}"
                slow = _run(far_address, words, folder, 2)
                sys.stdout.write(f"{what}: {'/'.join(told)} trips, {seconds:.2f} s, ")
                sys.stdout.write(f"with 20 ms a trip {slow:.2f} s\n")
                sys.stdout.flush()


if __name__ == "__main__":
    main()
