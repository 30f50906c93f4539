"""A journey that parts for a day: some go on with a copy, others with the store; then taken in.

Whatever was done in the copy and in the store, on different lots, comes to the same as if all of it
had been done in one store: every row of every table, every session's use.
"""

import os
import random
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.place import Place, ServerPlace
from prepstore.ledger.store import copy_whole
from tests.conftest import Places

LOTS = ["L0104", "L0105", "L0106", "L0107", "L0108", "L0109", "L0110", "L0111"]
SESSIONS = ["W10-Mon-1", "W10-Tue-1", "W10-Wed-1", "W10-Thu-1"]
PARTS = (6, 14, 6)
"""Commands before the copy is made, in the copy, and in the store meanwhile."""

TURNS = int(os.environ.get("DAYS", "3"))
"""Of which the quick tests go one."""


@dataclass
class Store:
    """A store that commands are given to, and the entries that they made."""

    place: Place
    entries: list[str] = field(default_factory=list)

    def run(self, *words: str) -> str:
        """Run a command; it may be refused."""
        address = self.place.address if isinstance(self.place, ServerPlace) else str(self.place)
        done = CliRunner().invoke(app, ["--db", address, *words])
        assert done.exit_code in (0, 1), done.output
        assert "fault in prepstore" not in done.output, done.output
        self.entries += re.findall(r"Recorded as entry (\d+)", done.output)
        return done.output

    def undo(self) -> None:
        """Undo what was recorded last."""
        if self.entries:
            self.run("stock", "undo", self.entries[-1])

    def tables(self, folder: Path) -> dict[str, str]:
        """Return the tables that an export writes, and what sessions used."""
        self.run("export", str(folder))
        found = {path.name: path.read_text("utf-8") for path in folder.iterdir()}
        return {**found, "usage": self.run("stock", "usage"), "check": self.run("check")[-40:]}


Command = Sequence[str]


def _commands(by: random.Random, part: str, number: int) -> Iterator[Command]:
    """Yield commands of one part, on lots and sessions of its own; blank undoes the last."""
    first = 4 * (part == "store")
    lots = LOTS[first : first + 4] if part != "common" else LOTS
    sessions = SESSIONS[first // 2 : first // 2 + 2] if part != "common" else SESSIONS[:0]
    made: list[str] = []
    for turn in range(number):
        lot = by.choice(lots + made)
        kinds: list[Command] = [
            ("stock", "use", lot, f"{by.randint(1, 9)} mL", "--reason", "demo"),
            ("stock", "move", lot, f"bay {by.randint(1, 3)}"),
            ("stock", "count", lot, f"{by.randint(20, 900)} mL"),
            ("stock", "open", lot),
            ("stock", "state", lot, by.choice(["quarantine", "usable"])),
            ("stock", "correct", lot, "--place", f"bay {by.randint(4, 6)}", "--reason", "typed"),
            ("stock", "discard", lot, f"{by.randint(1, 5)} mL", "--reason", "spilt"),
            (),
        ]
        new = f"{part}-{turn}"
        kinds += [
            ("stock", "receive", "acetone", "1 L", "--lot", new, "--expiry", "2030-01-01"),
        ]
        if sessions:
            session = by.choice(sessions)
            kinds.append(("session", "students", session, str(by.randint(3, 20))))
        if part == "copy":
            # Of what both would share, as one container of a stream, one alone takes here.
            kinds += [
                ("stock", "use", "--session", session, "--as-far-as-there-is"),
                ("stock", "make", "acetone-water 1:1", "--volume", "500 mL", "--lot", new),
                ("waste", "add", "aqueous acid", f"{by.randint(10, 90)} mL"),
                ("order", "due", "PO 27-044", "--to", f"2027-03-1{by.randint(0, 9)}"),
                ("order", "cancel", "PO 27-031", "--pack", "BC-1024"),
                ("stock", "correct", lot, "--label", f"{new}b", "--reason", "unclear"),
                ("waste", "seal", "aqueous acid"),
            ]
        chosen = by.choice(kinds)
        if "--lot" in chosen:
            made.append(new)
        yield chosen


def _give(command: Command, *stores: Store) -> None:
    for store in stores:
        if command:
            store.run(*command)
        else:
            store.undo()


@pytest.mark.parametrize(
    "seed", [0, *(pytest.param(turn, marks=pytest.mark.slow) for turn in range(1, TURNS))]
)
def test_a_day_in_a_copy_comes_to_the_same_as_a_day_in_the_store(
    seed: int, places: Places, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-12")
    monkeypatch.chdir(tmp_path)
    by = random.Random(int(os.environ.get("SEED", "0")) * 1000 + seed)
    store, whole = Store(places("store")), Store(places("whole"))
    for one in (store, whole):
        one.run("load", str(Path(__file__).parents[2] / "sample_inventory"))
    for command in _commands(by, "common", PARTS[0]):
        _give(command, store, whole)
    copy = Store(tmp_path / "copy.db")
    copy_whole(store.place, tmp_path / "copy.db")
    for command in _commands(by, "store", PARTS[2]):
        _give(command, store, whole)
    whole.entries.clear()
    for command in _commands(by, "copy", PARTS[1]):
        _give(command, copy, whole)
    said = store.run("store", "take-in", str(tmp_path / "copy.db"))
    assert ("Taken in from" in said) == bool(copy.entries), said
    assert store.tables(tmp_path / "a") == whole.tables(tmp_path / "b")
    again = store.run("store", "take-in", str(tmp_path / "copy.db"))
    assert "holds nothing new" in again
    # Each can be undone as if it had been recorded here, the last one first.
    for number in reversed(_taken(said)):
        store.run("stock", "undo", str(number))
        assert "is sound" in store.run("check")


def _taken(said: str) -> list[int]:
    """Return the entries that a take-in says that it made."""
    numbers = re.findall(r"as (?:entry )?(\d+)(?: to (\d+))?", said)
    return [one for first, last in numbers for one in range(int(first), int(last or first) + 1)]
