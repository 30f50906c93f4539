"""A journey of commands, held to what must be true after each of them, and to the way back."""

import gc
import json
import os
import re
import shlex
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Final

import openpyxl
from typer.testing import CliRunner, Result

from prepstore.cli.main import app
from prepstore.ledger.place import Place
from prepstore.ledger.store import is_there
from tests.bad_input.small_set import folder_of
from tests.journeys.department import WEEK, department
from tests.journeys.entries import containers_that_differ, entries_in
from tests.journeys.typist import Seen, Step, Typist
from tests.past_our_code import whole_content

USAGE: Final = ("stock", "usage", "--csv")
ALWAYS: Final = (("stock", "list", "--empty", "--json"), ("check",), ("export", "now"), USAGE)
"""What is run after every step, and must work."""

IN_TURN: Final = (
    (
        ("stock", "list", "--empty"),
        ("plan", "--week", WEEK, "--json", "-"),
    ),
    (
        ("stock", "history", "--all"),
        ("order", "list"),
        ("waste", "containers", "--all"),
    ),
)
"""What is run as well, the one after one step, the other after the next."""

EVERY_FEW: Final = (
    ("stock", "history", "--json"),
    ("stock", "usage"),
    ("stock", "names", "--json"),
    ("stock", "labels", "--json"),
    ("stock", "expiry", "--within", "3660"),
    ("stock", "peroxides"),
    ("stock", "list", "--below-minimum", "--opened-too-long", "--expiring", "30"),
    ("stock", "list", "--csv"),
    ("order", "history", "--json"),
    ("order", "list", "--json", "--overdue"),
    ("waste", "--week", WEEK),
    ("waste", "containers", "--json"),
    ("waste", "containers", "--csv"),
    ("waste", "compare"),
    ("plan", "--week", "2027-W06", "--json", "-"),
    ("load", "now", "--check"),
)
"""What is run after every so many steps."""

FEW: Final = 16

STORE: Final = Path("prepstore.db")

Tables = Mapping[str, bytes]
"""What an export wrote, by file, and beside it what sessions used."""


@dataclass(frozen=True)
class Kept:
    """What the store holds in full, and the tables that it exports."""

    whole: str
    tables: Tables
    entries: int


class LawBrokenError(AssertionError):
    """Something that must be true is not; `steps` led to it."""

    def __init__(self, law: str, said: str, steps: Sequence[Step]) -> None:
        super().__init__(law)
        self.law, self.said, self.steps = law, said, tuple(steps)

    def told(self) -> str:
        """Return the law, what was printed, and the commands as one types them."""
        lines = [f"# {self.law}", *(f"# {line}" for line in self.said.splitlines())]
        return "\n".join([*lines, *(line for step in self.steps for line in as_typed(step))])


def as_typed(step: Step) -> Iterator[str]:
    """Yield a step as lines of a shell."""
    for folder, tables in step.files.items():
        for name, text in tables.items():
            yield f"mkdir -p {folder}; printf %s {shlex.quote(text)} > {folder}/{name}.csv"
    if step.fill is not None:
        yield f"# in {step.fill[0]}: {step.fill[1]}"
    yield f"PREPSTORE_TODAY={step.day} prepstore {shlex.join(step.words)}"


@contextmanager
def a_folder() -> Iterator[Path]:
    """Work in a folder of its own, on a store in it."""
    before = Path.cwd()
    with TemporaryDirectory() as folder:
        os.chdir(folder)
        try:
            yield Path(folder)
        finally:
            os.chdir(before)
            gc.collect()  # of a journey; while one goes on nothing is


class Journey:
    """A store of the small department and what has happened to it.

    It is in the working folder, or on a server that has as many places as are asked for.
    """

    def __init__(self, places: Iterator[Place] | None = None) -> None:
        self.steps: list[Step] = []
        self._places = places
        self._goes_on_in(STORE if places is None else next(places))
        self.seen = Seen()
        self.done: dict[str, int] = {}
        self._copies: dict[str, dict[int, Tables]] = {}
        folder_of(department(), Path("first"))
        self.run(Step(("load", "first")))
        self._now = self.looked_through()
        self._after = {self._now.entries: self._now.tables}

    def _goes_on_in(self, place: Place) -> None:
        self._store = place
        os.environ["PREPSTORE_DB"] = str(place)

    def run(self, step: Step) -> Result:
        """Run a command of a day; it ends with an exit code and, where refused, a sentence."""
        self._put(step)
        os.environ["PREPSTORE_TODAY"] = step.day
        result = CliRunner().invoke(app, list(step.words), prog_name="prepstore")
        wrong = _wrong_with(result)
        if wrong:
            raise LawBrokenError(
                f"{shlex.join(step.words)[:200]}: {wrong}", result.output, self.steps
            )
        return result

    def _put(self, step: Step) -> None:
        for folder, tables in step.files.items():
            texts = {n: t.encode("utf-8", "surrogateescape") for n, t in tables.items()}
            folder_of(texts, Path(folder))
        if step.fill is not None and Path(step.fill[0]).exists():
            _fill_in(*step.fill)

    def take(self, step: Step) -> None:
        """Take a step, and hold what it led to to the laws."""
        self.steps.append(step)
        result = self.run(step)
        if step.words[0] == "restore" and self._places is not None:
            result = self._restored_elsewhere(step, result, self._places)
        before, self._now = self._now, self.looked_through(step.day)
        if result.exit_code == 0:
            groups = ("stock", "order", "waste")
            command = " ".join(step.words[: 2 if step.words[0] in groups else 1])
            self.done[command] = self.done.get(command, 0) + 1
        self._hold(step, result, before)
        self._remember(step, result, before)

    def _restored_elsewhere(self, step: Step, refused: Result, places: Iterator[Place]) -> Result:
        """Put a backup where there is no store yet, as a server wants it, and go on there."""
        if not refused.exit_code:
            self._broken("a backup is not put over a store of a server", refused.output)
        old = self._store
        self._goes_on_in(next(places))
        result = self.run(step)
        if result.exit_code:
            if is_there(self._store):
                self._broken("a backup that is refused leaves nothing", result.output)
            self._goes_on_in(old)
        return result

    def _hold(self, step: Step, result: Result, before: Kept) -> None:
        is_same = before.whole == self._now.whole
        if result.exit_code and not is_same:
            self._broken("what is refused changes nothing", result.output)
        told = re.search(r"Recorded as entry (\d+)\.", result.stdout)
        if told is not None and int(told[1]) != before.entries + 1:
            self._broken("what is recorded is the next entry", result.output)
        if (told is not None) is is_same and step.words[0] not in ("load", "restore"):
            self._broken("what is told to be recorded is, and nothing else", result.output)

    def _remember(self, step: Step, result: Result, before: Kept) -> None:
        """Keep the tables of now as those of the last entry; a load has no way back."""
        if step.words[0] == "backup" and not result.exit_code:
            self._copies[step.words[1]] = dict(self._after)
        if step.words[0] == "restore" and not result.exit_code:
            self._after = dict(self._copies[step.words[1]])
        elif step.words[0] == "load" and before.whole != self._now.whole:
            self._after = {}
        self._after.setdefault(self._now.entries, self._now.tables)

    def looked_through(self, day: str = "2027-02-01") -> Kept:
        """Return what the store holds, after lists of it were printed."""
        number = len(self.steps)
        lists = (*ALWAYS, *IN_TURN[number % len(IN_TURN)], *(() if number % FEW else EVERY_FEW))
        said = {words: self._listed(words, day) for words in lists}
        self.seen.lots = json.loads(said[ALWAYS[0]])
        if "\n  nothing\n" not in said.get(EVERY_FEW[-1], "\n  nothing\n"):
            self._broken("an export loads again and changes nothing", said[EVERY_FEW[-1]])
        entries = entries_in(self._store)
        empty = [number for number, one in entries.items() if not one.parts]
        if empty:
            self._broken(f"an entry with nothing in it: {empty}", "")
        differing = containers_that_differ(self._store)
        if differing:
            self._broken("containers hold what counts of what was booked", f"{differing}")
        self.seen.last_entry = max(entries)
        tables = {file.name: file.read_bytes() for file in Path("now").iterdir()}
        tables["what sessions used"] = said[USAGE].encode()
        return Kept(whole_content(self._store), tables, max(entries))

    def _listed(self, words: tuple[str, ...], day: str) -> str:
        result = self.run(Step(words, day))
        if result.exit_code or (result.stderr and words[0] != "plan"):
            self._broken(f"{shlex.join(words)} works", result.output)
        return str(result.stdout)

    def go_back(self) -> None:
        """Undo entry after entry, the newest first: each leads to the tables before it."""
        for entry in range(self._now.entries, min(self._after), -1):
            if entry - 1 not in self._after:
                return
            result = self._undone(entry)
            if result.exit_code:
                self._broken("the newest entry can be undone", result.output)
            now = self.looked_through().tables
            differs = "\n".join(_differences(self._after[entry - 1], now))
            if differs:
                self._broken("an undo leads back to where it was", result.output + differs)

    def _undone(self, entry: int) -> Result:
        """Undo an entry; one that stands again since its undo was undone, by what undid that."""
        result = self.run(Step(("stock", "undo", str(entry))))
        already = re.search(r"To undo it again: prepstore stock undo (\d+)", result.stderr)
        return self._undone(int(already[1])) if already else result

    def _broken(self, law: str, said: str) -> None:
        raise LawBrokenError(law, said, self.steps)


def _wrong_with(result: Result) -> str:
    """Return what is wrong with how a command ended; blank for nothing."""
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        return f"a fault of its own, {result.exception!r}"
    if "Traceback" in result.output:
        return "a traceback"
    if result.exit_code not in (0, 1, 2):
        return f"exit code {result.exit_code}"
    if result.exit_code and not result.stderr.strip():
        return "refused without a sentence"
    if result.exit_code == 1 and not re.search(r"[.?)] *$", result.stderr.strip()):
        return "refused without a whole sentence"
    return ""


def _fill_in(sheet: str, found: Sequence[tuple[int, str, str]]) -> None:
    book = openpyxl.load_workbook(sheet)
    rows = [row for row in book["Count"].iter_rows(min_row=5) if row[1].value]
    for number, counted, note in found:
        if number < len(rows):
            for cell, text in ((rows[number][7], counted), (rows[number][8], note)):
                # What no workbook can hold, nobody can type into one.
                cell.value = re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff]", "", text)[:32_767]
    book.save(sheet)


_IN_NO_ORDER: Final = ("stock.csv", "on_order.csv")
"""What comes back after it was gone stands at the end; plans and lists sort by what rows say."""


def _differences(expected: Tables, found: Tables) -> Iterator[str]:
    for name in sorted({*expected, *found}):
        was = expected.get(name, b"").decode().splitlines()
        now = found.get(name, b"").decode().splitlines()
        if name in _IN_NO_ORDER:
            was, now = sorted(was), sorted(now)
        if was != now:
            yield f"{name}: in another order" if sorted(was) == sorted(now) else name
            yield from (f"  was {line}" for line in was if line not in now)
            yield from (f"  now {line}" for line in now if line not in was)


def travelled(seed: int, steps: int, places: Iterator[Place] | None = None) -> Mapping[str, int]:
    """Take steps as chance has them, and the way back; return which commands were done.

    They are taken in a file, or in the places of a server, where these are given. Every other
    journey has no load and no restore, behind which there is no way back.

    Raises:
        LawBrokenError: Something that must be true is not.
    """
    with a_folder():
        journey = Journey(places)
        typist = Typist(Random(seed), journey.seen)
        while len(journey.steps) < steps:
            for step in typist.next_steps():
                if seed % 2 or step.words[0] not in ("load", "restore"):
                    journey.take(step)
        journey.go_back()
        return journey.done


def shortest(broken: LawBrokenError, places: Iterator[Place] | None = None) -> LawBrokenError:
    """Return a journey that breaks a law in the same way and has no step that it can do without."""
    kind = broken.law[-40:]
    some = len(broken.steps) // 2
    while some:
        place = 0
        while place < len(broken.steps):
            fewer = [*broken.steps[:place], *broken.steps[place + some :]]
            again = _broken_by(fewer, places)
            if again is not None and again.law[-40:] == kind:
                broken = again
            else:
                place += some
        some //= 2
    return broken


def _broken_by(steps: Sequence[Step], places: Iterator[Place] | None) -> LawBrokenError | None:
    with a_folder():
        journey = Journey(places)
        try:
            for step in steps:
                journey.take(step)
            journey.go_back()
        except LawBrokenError as broken:
            return broken
        except KeyError:  # a copy that is put back without having been made
            return None
    return None
