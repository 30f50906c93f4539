"""A store of 100,000 movements out into tables with its history, and into a new store.

Run by hand: python tests/benchmarks/moving.py [MOVEMENTS]
"""

import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.growth import PROGRAM, ROOT, grow

MOVEMENTS = 100_000


def _seconds(store: Path, *words: str) -> float:
    """Return the processor's seconds of a command, which other programs at work change little."""
    begun = os.times()
    command = [*PROGRAM, "--db", str(store), *words]
    subprocess.run(command, cwd=ROOT, stdout=subprocess.DEVNULL, check=True)
    ended = os.times()
    return ended.children_user + ended.children_system - begun.children_user - begun.children_system


def main(movements: int = MOVEMENTS) -> None:
    """Build the store, move it as a folder and as a workbook, and print what each takes."""
    with tempfile.TemporaryDirectory() as folder:
        store = Path(folder) / "store.db"
        _seconds(store, "load", str(ROOT / "sample_inventory"))
        grow(store, movements)
        for name in ("folder", "workbook.xlsx"):
            tables, new = Path(folder) / name, Path(folder) / f"{name}.db"
            out = _seconds(store, "export", str(tables), "--history")
            into = _seconds(new, "load", str(tables))
            sys.stdout.write(f"{name}: export {out:.1f} s, load {into:.1f} s\n")
        sys.stdout.write(f"check of the new store: {_seconds(new, 'check'):.1f} s\n")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
