"""Ratios, side by side in one run: how long a command takes against what it is measured by.

    python tests/benchmarks/ratios.py

Each pair is run in turn, A B A B …, as whole processes; the median of the ratios is printed with
its mark. Machines differ, so seconds are shown and not judged. Where the other program plans too,
its figures must be ours. Nothing here runs among the tests.
"""

import json
import os
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial
from math import isclose
from pathlib import Path
from typing import Any
from zipfile import ZipFile

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from openpyxl import load_workbook  # noqa: E402 - after the path

from tests.benchmarks import formula_week, lean_week  # noqa: E402 - after the path
from tests.benchmarks.term import FIRST_DAY, WEEK, YEAR, last_day, term  # noqa: E402

PREPSTORE = str(Path(sys.executable).with_name("prepstore"))
SOFFICE = shutil.which("soffice")
LONGEST_SECONDS = 120.0
MOST_MIB = 1024
WEEK_PLANNED_ON = FIRST_DAY - timedelta(days=21)
"""Early enough that every pack comes in time."""
TOTALS = "LibreOffice, totals alone"
BY_SESSION = "LibreOffice, what each session lacks too"
say = partial(print, flush=True)
Command = Sequence[str]


@dataclass(frozen=True)
class Spent:
    """What a process took: seconds, its peak memory, and whether it came to its end."""

    seconds: float
    peak_mib: float
    is_finished: bool


@dataclass(frozen=True)
class Pair:
    """Two commands and the most that the first may take, as a multiple of the second.

    `made_anew` are stores that are removed before each run. A pair of one round is run once, as it
    is; else each command is run once more beforehand, so that the file cache is warm.
    """

    name: str
    first: Command
    second: Command
    mark: float
    rounds: int = 5
    made_anew: tuple[Path, ...] = ()


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


@dataclass(frozen=True)
class Planned:
    """A period of a store that is planned as of a day."""

    store: str
    first: date
    last: date
    today: date

    def command(self, *to: str) -> Command:
        """Return the command that plans it, given where its figures go."""
        days = ["--from", str(self.first), "--to", str(self.last), "--today", str(self.today)]
        return [PREPSTORE, "--db", self.store, "plan", *days, *to]

    def figures(self, file: Path) -> dict[str, Any]:
        """Return the figures of its plan."""
        spend(self.command("--json", str(file)))
        return json.loads(file.read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def _year(store: str) -> Planned:
    return Planned(store, FIRST_DAY, last_day(), FIRST_DAY)


def start_up_pairs(folder: Path) -> list[Pair]:
    """Return what is compared on the sample."""
    sample = _load(folder / "sample.db", ROOT / "sample_inventory")
    return [
        Pair("`--help` / a bare typer app with eight commands", [PREPSTORE, "--help"],
             _python(BARE_APP), 1.3),
        Pair("`stock list` / importing typer, sqlmodel, pandas, openpyxl, pint",
             [PREPSTORE, "--db", sample, "stock", "list"], _python(HEAVY_IMPORTS), 0.6),
    ]  # fmt: skip


def load_pair(folder: Path) -> Pair:
    """Return the loading of 50,000 lines against reading and storing them unchecked."""
    tables = _tables(folder / "lines", term(40, 2_000, practicals=2_000))
    ours, bare = folder / "ours.db", folder / "bare.db"
    program = str(Path(__file__).with_name("bare_load.py"))
    return Pair(
        "`load` of 50,000 lines / csv reader and `executemany`",
        [PREPSTORE, "--db", str(ours), "load", str(tables)],
        [sys.executable, program, str(tables), str(bare)],
        4.0,
        made_anew=(ours, bare),
    )


def week_pairs(folder: Path, week: Planned) -> list[Pair]:
    """Return a week against the lean program and against a spreadsheet; figures are compared."""
    figures = week.figures(folder / "week.json")
    found = lean_week.figures(week.store, week.first, week.last, week.today)
    _same("needs", _by(figures["needs"], "item", "amount"), found["needs"])
    _same("short", _by(figures["stock"], "item", "short"), found["short"])
    _same("packs", _by(figures["orders"], "pack", "packs"), found["packs"])
    ours, lean = folder / "week.xlsx", folder / "lean.xlsx"
    with_workbook = week.command("--out", str(ours))
    spend(with_workbook)
    days = map(str, (week.first, week.last, week.today))
    program = [sys.executable, str(Path(lean_week.__file__)), week.store, *days, str(lean)]
    cells = str(_cells(ours))
    name = f"a week, `plan --out` of {int(cells):,} cells"
    pairs = [Pair(f"{name} / a lean program, as many", with_workbook, [*program, cells], 2.5)]
    in_json = week.command("--json", "-")
    if SOFFICE is None:
        say("| a week and a year / LibreOffice | | | | | skipped: soffice is not installed |")
        return pairs
    totals = _spreadsheet(folder, "week", week, figures)
    by_session = _spreadsheet(folder, "week-by-session", week, figures)
    return [
        *pairs,
        Pair(f"a week, `plan --json` / {TOTALS}", in_json, totals, 0.5),
        Pair(f"a week, `plan --json` / {BY_SESSION}", in_json, by_session, 0.5),
        Pair(f"{name} / {BY_SESSION}", with_workbook, by_session, 0.5),
    ]


def year_pairs(folder: Path, stores: dict[int, Planned]) -> list[Pair]:
    """Return a year against a tenth of it, and against a spreadsheet."""
    to = ("--json", str(folder / "year.json"))
    pairs = [
        Pair("4,000 sessions of a year / 400", stores[4_000].command(*to),
             stores[400].command(*to), 11.0),
    ]  # fmt: skip
    year = stores[4_000]
    if SOFFICE is not None:
        totals = _spreadsheet(folder, "year", year)
        by_session = _spreadsheet(folder, "year-by-session", year)
        name, ours = "4,000 sessions, `plan --json`", year.command(*to)
        pairs += [
            Pair(f"{name} / {TOTALS}, once", ours, totals, 0.1, rounds=1),
            Pair(f"{name} / {BY_SESSION}, once", ours, by_session, 0.1, rounds=1),
        ]
    return pairs


def _spreadsheet(
    folder: Path, name: str, planned: Planned, figures: dict[str, Any] | None = None
) -> Command:
    """Return the command that works out the formulas; its needs must be those of the figures."""
    formulas, worked_out = folder / f"{name}-formulas.xlsx", folder / "worked-out"
    days = str(planned.first), str(planned.last)
    by_session = name.endswith("by-session")
    formula_week.write(planned.store, *days, formulas, by_session=by_session)
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    to = ["--headless", "--convert-to", "xlsx", "--outdir", str(worked_out)]
    command = [str(SOFFICE), profile, *to, str(formulas)]
    if figures is not None:
        spend(command)
        book = load_workbook(worked_out / formulas.name, read_only=True, data_only=True)
        rows = book["items"].iter_rows(min_row=2, values_only=True)
        found: dict[str, Any] = {str(item): need for item, need, _ in rows}
        book.close()
        _same("needs in the spreadsheet", _by(figures["needs"], "item", "amount"), found)
    return command


def _by(rows: Iterable[dict[str, Any]], name: str, figure: str) -> dict[str, float]:
    return {row[name]: row[figure] for row in rows if row[figure]}


def _same(what: str, ours: dict[str, float], found: dict[str, Any]) -> None:
    """Stop where two programs do not give the same figures."""
    theirs = {name: float(number) for name, number in found.items() if number}
    names = sorted(ours.keys() | theirs.keys())
    differing = [
        name for name in names if not isclose(ours.get(name, 0), theirs.get(name, 0), abs_tol=1e-6)
    ]
    if not ours or differing:
        sys.exit(f"{what}: not the same figures: {differing[:5]}")


def _cells(workbook: Path) -> int:
    with ZipFile(workbook) as parts:
        sheets = [name for name in parts.namelist() if name.startswith("xl/worksheets/sheet")]
        return sum(parts.read(name).count(b"<c ") for name in sheets)


def _tables(folder: Path, tables: dict[str, str]) -> Path:
    folder.mkdir()
    for name, text in tables.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8")
    return folder


def _year_store(folder: Path, sessions: int) -> Planned:
    tables = _tables(folder / f"term-{sessions}", term(sessions, lots=2_000, days=YEAR))
    return _year(_load(folder / f"term-{sessions}.db", tables))


def _load(store: Path, tables: Path) -> str:
    spend([PREPSTORE, "--db", str(store), "load", str(tables)])
    return str(store)


def spend(command: Command, longest: float = LONGEST_SECONDS) -> Spent:
    """Run a command to its end, or to the longest it may take; it must not fail."""
    begun = time.perf_counter()
    process = subprocess.Popen(
        command,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL if command[0] == SOFFICE else None,  # it misses a Java
        start_new_session=True,
    )
    bound = threading.Timer(longest, os.killpg, (process.pid, signal.SIGKILL))
    bound.start()
    _, status, used = os.wait4(process.pid, 0)  # the memory of this process, not of all so far
    seconds = time.perf_counter() - begun
    bound.cancel()
    process.returncode = os.waitstatus_to_exitcode(status)
    is_finished = process.returncode != -signal.SIGKILL
    if is_finished and process.returncode:
        sys.exit(f"failed: {' '.join(command)}")
    return Spent(seconds, used.ru_maxrss / 1024, is_finished)


def measure(pair: Pair) -> str:
    """Return a table row: the medians of both commands, of their ratio, and the mark."""
    if pair.rounds > 1:
        _run(pair, pair.first), _run(pair, pair.second)
    runs = [(_run(pair, pair.first), _run(pair, pair.second)) for _ in range(pair.rounds)]
    first, second = (
        statistics.median(one.seconds for one in spent) for spent in zip(*runs, strict=True)
    )
    ratio = statistics.median(one.seconds / other.seconds for one, other in runs)
    verdict = "kept" if ratio <= pair.mark else "MISSED"
    if not all(other.is_finished for _, other in runs):
        verdict += f", the other stopped at {LONGEST_SECONDS:.0f} s"
    return (
        f"| {pair.name} | {first:.2f} s | {second:.2f} s | {ratio:.2f} | {pair.mark} | {verdict} |"
    )


def _run(pair: Pair, command: Command) -> Spent:
    for store in pair.made_anew:
        for file in store.parent.glob(f"{store.name}*"):
            file.unlink()
    return spend(command)


def measure_million(folder: Path, year: Planned) -> list[str]:
    """Return table rows of 40,000 sessions: time against 4,000, and peak memory; once."""
    to = ("--json", str(folder / "million.json"))
    tenth = spend(year.command(*to))
    million = spend(_year_store(folder, 40_000).command(*to))
    ratio = million.seconds / tenth.seconds
    in_time = "kept" if ratio <= 13 and million.is_finished else "MISSED"
    in_room = "kept" if million.peak_mib <= MOST_MIB else "MISSED"
    return [
        f"| 40,000 sessions, a million lines / 4,000, once | {million.seconds:.2f} s "
        f"| {tenth.seconds:.2f} s | {ratio:.2f} | 13 | {in_time} |",
        f"| 40,000 sessions, peak memory | {million.peak_mib:,.0f} MiB | | | {MOST_MIB:,} MiB "
        f"| {in_room} |",
    ]


def main() -> None:
    """Print the table, a row as soon as it is measured."""
    say("| what | it | the other | ratio | mark | |")
    say("|---|---|---|---|---|---|")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        for pair in [*start_up_pairs(folder), load_pair(folder)]:
            say(measure(pair))
        tables = _tables(folder / "week", term(40, 2_000, days=WEEK, least_in_lot=5))
        week = Planned(
            _load(folder / "week.db", tables), FIRST_DAY, last_day(WEEK), WEEK_PLANNED_ON
        )
        for pair in week_pairs(folder, week):
            say(measure(pair))
        stores = {count: _year_store(folder, count) for count in (400, 4_000)}
        for pair in year_pairs(folder, stores):
            say(measure(pair))
        for row in measure_million(folder, stores[4_000]):
            say(row)


if __name__ == "__main__":
    main()
