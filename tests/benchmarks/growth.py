"""A store of 1,000,000 movements beside one of 10,000: whole commands, in turn, medians of ratios.

Run by hand: python tests/benchmarks/growth.py [MOVEMENTS]
"""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from contextlib import closing
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parents[2]
FEW, MANY = 10_000, 1_000_000
TURNS = 5
PROGRAM = (sys.executable, "-m", "prepstore.cli.main")
WEEK = ("--week", "2027-W10", "--today", "2027-03-03")
COMMANDS = {
    "stock list": ("stock", "list"),
    "plan the week": ("plan", *WEEK, "--json", os.devnull),
    "history of a lot that grew no more": ("stock", "history", "L0103"),
    "history of a lot that grew as all did": ("stock", "history", "L0237"),
    "use of a lot": ("stock", "use", "L0237", "1 mL"),
    "usage": ("stock", "usage"),
    "check": ("check",),
}


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


def _run(store: Path, *words: str) -> float:
    begun = time.perf_counter()
    subprocess.run(
        [*PROGRAM, "--db", str(store), *words], cwd=ROOT, stdout=subprocess.DEVNULL, check=True
    )
    return time.perf_counter() - begun


def grow(store: Path, movements: int) -> None:
    """Add pairs of a receipt and a use, over the lots but one, and a session's use now and then."""
    with closing(sqlite3.connect(store)) as ledger, ledger:
        lots = [lot for (lot,) in ledger.execute("SELECT lot FROM balances WHERE lot <> 'l0103'")]
        units = dict(ledger.execute("SELECT lot, unit FROM movements"))
        entries, rows, uses = [], [], []
        for turn in range(movements // 2):
            entry, lot = turn + 2, lots[turn % len(lots)]
            day = f"{2017 + turn * 10 // movements * 2}-0{turn % 9 + 1}-1{turn % 9}"
            entries.append((entry, day, f"{day}T09:00:00.000000+00:00", f"by {turn % 7}"))
            rows += [
                (entry, lot, "received", 10**9, units[lot]),
                (entry, lot, "used", -(10**9), units[lot]),
            ]
            if turn % 20 == 0:
                uses.append((entry, f"S{turn}", day, "PHY-04", "acetone", "mL", 10**9, 10**9))
        ledger.executemany(
            "INSERT INTO entries (entry, on_day, at_utc, by) VALUES (?,?,?,?)", entries
        )
        ledger.executemany(
            "INSERT INTO movements (entry, lot, what, billionths, unit) VALUES (?,?,?,?,?)", rows
        )
        ledger.executemany(
            "INSERT INTO session_uses (entry, session, session_date, practical, item, unit, "
            "planned, used) VALUES (?,?,?,?,?,?,?,?)",
            uses,
        )


def main(movements: int = MANY) -> None:
    """Build both stores, and print how each command grows."""
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder) / "few.db", Path(folder) / "many.db"
        _run(few, "load", str(ROOT / "sample_inventory"))
        shutil.copy(few, many)
        grow(few, FEW)
        grow(many, movements)
        _say(f"{many.stat().st_size / 2**20:.0f} MiB for {movements:,} movements")
        for name, words in COMMANDS.items():
            turns = 1 if name == "check" else TURNS
            pairs = [(_run(few, *words), _run(many, *words)) for _ in range(turns)]
            ratio = median(large / small for small, large in pairs)
            _say(
                f"{name}: {ratio:.2f} x ({median(large for _, large in pairs):.2f} s beside "
                f"{median(small for small, _ in pairs):.2f} s)"
            )


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
