"""A store of 1,000,000 movements beside one of 10,000: whole commands, in turn, medians of ratios.

Run by hand: python tests/benchmarks/growth.py [--server] [MOVEMENTS]

On a server, which is one of the tests' own and waits for its disk as a department's does, it is
measured twice: before anybody has looked at how the tables have grown, and after the server has,
as it does by itself from time to time (ANALYZE).
"""

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from contextlib import closing
from dataclasses import dataclass
from itertools import chain
from pathlib import Path
from statistics import median
from typing import Any

import psycopg

sys.path.insert(0, str(Path(__file__).parents[2]))

from prepstore.ledger.place import Place
from tests.past_our_code import answered
from tests.servers import asked, running

ROOT = Path(__file__).parents[2]
FEW, MANY = 10_000, 1_000_000
TURNS = 5
AT_ONCE = 5_000
"""Pairs that are recorded in one go."""

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


def _run(store: Place, *words: str) -> float:
    begun = time.perf_counter()
    subprocess.run(
        [*PROGRAM, "--db", str(store), *words], cwd=ROOT, stdout=subprocess.DEVNULL, check=True
    )
    return time.perf_counter() - begun


ENTRY_COLUMNS = "entry, on_day, at_utc, by"
MOVEMENT_COLUMNS = "entry, lot, what, billionths, unit"
USE_COLUMNS = "entry, session, session_date, practical, item, unit, planned, used"


@dataclass(frozen=True)
class _More:
    """What is recorded in one go: rows of entries, movements and what sessions used."""

    entries: list[tuple[Any, ...]]
    movements: list[tuple[Any, ...]]
    uses: list[tuple[Any, ...]]

    def by_table(self) -> Iterator[tuple[str, str, list[tuple[Any, ...]]]]:
        yield "entries", ENTRY_COLUMNS, self.entries
        yield "movements", MOVEMENT_COLUMNS, self.movements
        yield "session_uses", USE_COLUMNS, self.uses


def _more(units: Mapping[str, str], movements: int) -> Iterator[_More]:
    """Yield pairs of a receipt and a use, over the lots, and a session's use now and then."""
    lots = list(units)
    for first in range(0, movements // 2, AT_ONCE):
        more = _More([], [], [])
        for turn in range(first, min(first + AT_ONCE, movements // 2)):
            entry, lot = turn + 2, lots[turn % len(lots)]
            day = f"{2017 + turn * 10 // movements * 2}-0{turn % 9 + 1}-1{turn % 9}"
            more.entries.append((entry, day, f"{day}T09:00:00.000000+00:00", f"by {turn % 7}"))
            for what, change in (("received", 10**9), ("used", -(10**9))):
                more.movements.append((entry, lot, what, change, units[lot]))
            if turn % 20 == 0:
                use = (entry, f"S{turn}", day, "PHY-04", "acetone", "mL", 10**9, 10**9)
                more.uses.append(use)
        yield more


def grow(store: Place, movements: int) -> None:
    """Add movements of all lots but one."""
    of_lots = "SELECT lot, min(unit) FROM movements WHERE lot <> 'l0103' GROUP BY lot ORDER BY lot"
    units = dict(answered(store, of_lots))
    if isinstance(store, Path):
        with closing(sqlite3.connect(store)) as ledger, ledger:
            for table, columns, rows in chain.from_iterable(
                more.by_table() for more in _more(units, movements)
            ):
                marks = ",".join("?" * len(columns.split(",")))
                ledger.executemany(f"INSERT INTO {table} ({columns}) VALUES ({marks})", rows)
        return
    with psycopg.connect(store.address) as connection:
        connection.execute("SET search_path = prepstore")
        for more in _more(units, movements):
            for table, columns, rows in more.by_table():
                with connection.cursor().copy(f"COPY {table} ({columns}) FROM STDIN") as copying:
                    for row in rows:
                        copying.write_row(row)
            connection.commit()


def _in_files(movements: int) -> None:
    with tempfile.TemporaryDirectory() as folder:
        few, many = Path(folder) / "few.db", Path(folder) / "many.db"
        _run(few, "load", str(ROOT / "sample_inventory"))
        shutil.copy(few, many)
        grow(few, FEW)
        grow(many, movements)
        _say(f"{many.stat().st_size / 2**20:.0f} MiB for {movements:,} movements")
        _compare(few, many)


def _on_a_server(movements: int) -> None:
    settings = {"fsync": "on", "synchronous_commit": "on", "full_page_writes": "on"}
    with running({**settings, "shared_buffers": "128MB"}) as server:
        few = server.fresh()
        _run(few, "load", str(ROOT / "sample_inventory"))
        many = server.copy_of(few)
        grow(few, FEW)
        grow(many, movements)
        ((size,),) = asked(many, f"SELECT pg_database_size('{many.name}')")
        _say(f"{size / 2**20:.0f} MiB for {movements:,} movements")
        _compare(few, many)
        for one in (few, many):
            asked(one, "VACUUM ANALYZE")
        _say("After the server has looked at how its tables have grown:")
        _compare(few, many)


def _compare(few: Place, many: Place) -> None:
    """Print how each command grows."""
    for name, words in COMMANDS.items():
        turns = 1 if name == "check" else TURNS
        pairs = [(_run(few, *words), _run(many, *words)) for _ in range(turns)]
        ratio = median(large / small for small, large in pairs)
        _say(
            f"{name}: {ratio:.2f} x ({median(large for _, large in pairs):.2f} s beside "
            f"{median(small for small, _ in pairs):.2f} s)"
        )


def main(*words: str) -> None:
    """Build both stores, and print how each command grows."""
    movements = next((int(word) for word in words if word.isdigit()), MANY)
    (_on_a_server if "--server" in words else _in_files)(movements)


if __name__ == "__main__":
    main(*sys.argv[1:])
