"""Ratios, side by side in one run: how long a command takes against what it is measured by.

    python tests/benchmarks/ratios.py

Each pair is run in turn, A B A B …, as whole processes; the median of the ratios is printed with
its mark. Machines differ, so seconds are shown and not judged. Nothing here runs among the tests.
"""

import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.benchmarks.term import FIRST_DAY, last_day, term  # noqa: E402 - after the path

PREPSTORE = str(Path(sys.executable).with_name("prepstore"))
Command = Sequence[str]


@dataclass(frozen=True)
class Pair:
    """Two commands and the most that the first may take, as a multiple of the second."""

    name: str
    first: Command
    second: Command
    mark: float
    rounds: int = 5


def _python(program: str) -> Command:
    return [sys.executable, "-c", program]


BARE_APP = """
import typer
app = typer.Typer(no_args_is_help=True)
for name in "abcdefgh":
    def command(word: str, flag: bool = False) -> None:
        "Do one thing."
    app.command(name)(command)
app(["--help"])
"""
HEAVY_IMPORTS = "import typer, sqlmodel, pandas, openpyxl, pint"


def pairs(folder: Path) -> list[Pair]:
    """Return what is compared, with stores made for it in a folder."""
    year = ["--from", str(FIRST_DAY), "--to", str(last_day()), "--today", str(FIRST_DAY)]
    stores = {count: _store(folder, count) for count in (400, 4_000)}
    sample = _load(folder / "sample.db", ROOT / "sample_inventory")

    def planned(count: int) -> Command:
        return [PREPSTORE, "--db", stores[count], "plan", *year, "--json", str(folder / "p.json")]

    return [
        Pair("--help / a bare typer app with eight commands", [PREPSTORE, "--help"],
             _python(BARE_APP), 1.3),
        Pair("stock list / importing typer, sqlmodel, pandas, openpyxl, pint",
             [PREPSTORE, "--db", sample, "stock", "list"], _python(HEAVY_IMPORTS), 0.6),
        Pair("4,000 sessions of a year / 400", planned(4_000), planned(400), 11.0),
    ]  # fmt: skip


def _store(folder: Path, sessions: int) -> str:
    tables = folder / f"term-{sessions}"
    tables.mkdir()
    for name, text in term(sessions, lots=2_000).items():
        (tables / f"{name}.csv").write_text(text, encoding="utf-8")
    return _load(folder / f"term-{sessions}.db", tables)


def _load(store: Path, tables: Path) -> str:
    subprocess.run(
        [PREPSTORE, "--db", str(store), "load", str(tables)], check=True, stdout=subprocess.DEVNULL
    )
    return str(store)


def _seconds(command: Command) -> float:
    begun = time.perf_counter()
    subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def measure(pair: Pair) -> str:
    """Return a table row: the medians of both commands, of their ratio, and the mark."""
    _seconds(pair.first), _seconds(pair.second)  # the file cache is warm for both
    runs = [(_seconds(pair.first), _seconds(pair.second)) for _ in range(pair.rounds)]
    first, second = (statistics.median(times) for times in zip(*runs, strict=True))
    ratio = statistics.median(one / other for one, other in runs)
    verdict = "kept" if ratio <= pair.mark else "MISSED"
    return (
        f"| {pair.name} | {first:.2f} s | {second:.2f} s | {ratio:.2f} | {pair.mark} | {verdict} |"
    )


if __name__ == "__main__":
    print("| what | it | the other | ratio | mark | |")  # noqa: T201 - a report
    print("|---|---|---|---|---|---|")  # noqa: T201 - a report
    with tempfile.TemporaryDirectory() as name:
        for each in pairs(Path(name)):
            print(measure(each), flush=True)  # noqa: T201 - a report
