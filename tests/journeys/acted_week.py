"""Who acts a week on one store: two prep rooms, a counter and an office, each by its own account.

Each is a child process that gives whole commands with pauses in between, and goes on as a person
does where a line is cut: it reads the sentence, and tries again or looks.
"""

import json
import os
import re
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from pathlib import Path
from random import Random
from typing import Final

import psycopg
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.place import Place
from tests.bad_input.small_set import folder_of
from tests.journeys.department import WEEK, rows_of
from tests.past_our_code import answered

DAYS: Final = ("2027-02-01", "2027-02-02", "2027-02-03", "2027-02-04", "2027-02-05")
SHARED: Final = ("T1", "T2", "T3", "T4")
"""Lots that all of them use and fill up, and no plan draws on."""

ITEM: Final = "old dye"
LINE_IS_CUT: Final = re.compile(
    r"The connection to \S+ was lost in the middle \(.*\), and nothing was recorded\. Try again"
    r"|The server of \S+ (cannot be reached|is just starting or stopping) \("
)
NOBODY_KNOWS: Final = re.compile(r"it may have been recorded or not\. Look before you do it again")
TRIES: Final = 6
LONGEST_PAUSE: Final = 0.15


@dataclass
class Account:
    """What somebody knows to have recorded, and what went wrong on the way."""

    entries: dict[str, tuple[str, int]] = field(default_factory=dict)
    """By the entry's number: which lot has changed, and by how many g; a blank name for others."""

    students: dict[str, int] = field(default_factory=dict)
    copies: list[str] = field(default_factory=list)
    refused: int = 0
    cut: int = 0
    looked: int = 0
    wrong: list[str] = field(default_factory=list)

    def text(self) -> bytes:
        """Return it as it is told to whoever started the child."""
        return json.dumps(asdict(self)).encode()


class Person:
    """Somebody who acts by chance, and keeps an account."""

    def __init__(self, who: str, store: Place, folder: Path, chance: Random) -> None:
        self.who, self.account = who, Account()
        self._store, self._folder, self._chance = store, folder, chance
        self._turn = 0
        self._acts: tuple[Callable[[], None], ...] = _ACTS[who.split(maxsplit=1)[0]](self)

    def act_the_week(self, actions: int, out: int) -> None:
        """Do some things each day, and tell the account at the end."""
        os.environ["LOGNAME"] = self.who
        for day in DAYS:
            os.environ["PREPSTORE_TODAY"] = day
            for _ in range(actions):
                time.sleep(self._chance.uniform(0, LONGEST_PAUSE))
                self._turn += 1
                self._chance.choice(self._acts)()
        os.write(out, self.account.text())

    # What all do.

    def use(self) -> None:
        """Something is used of a shared lot."""
        self._change("use", -self._chance.randint(1, 30))

    def discard(self) -> None:
        """Something of a shared lot is thrown away."""
        self._change("discard", -self._chance.randint(1, 5), "--reason", "spilt")

    def receive(self) -> None:
        """Something comes into a shared lot."""
        self._change("receive", self._chance.randint(1, 20))

    def new_lot(self) -> None:
        """A new lot comes."""
        lot, grams = f"{self.who} {self._turn}", self._chance.randint(1, 90)
        words = ("stock", "receive", ITEM, f"{grams} g", "--lot", lot)
        self._recorded(words, (lot, grams))

    def undo(self) -> None:
        """The last thing that changed a lot is undone, unless that is done already."""
        changed = [(one, of) for one, of in self.account.entries.items() if of[0] in SHARED]
        if changed:
            entry, (lot, grams) = changed[-1]
            self._recorded(("stock", "undo", entry), (lot, -grams))

    def pour(self) -> None:
        """Waste goes into the open container."""
        self._recorded(("waste", "add", "aqueous", "50 mL"))

    def make(self) -> None:
        """A solution is made."""
        self._recorded(("stock", "make", "brine", "--volume", "200 mL"))

    def book_out(self) -> None:
        """A session is booked out."""
        session = self._chance.choice(("Mon", "Mon late", "Tue", "Wed"))
        self._recorded(("stock", "use", "--session", session, "--as-far-as-there-is"))

    def move(self) -> None:
        """A shared lot is put elsewhere."""
        place = f"{self.who}, shelf {self._turn}"
        self._recorded(("stock", "move", self._chance.choice(SHARED), place))

    # What the office does.

    def order(self) -> None:
        """Something is ordered, whatever the plan says."""
        self._recorded(("order", "place", "--week", WEEK, "--reference", f"PO {self._turn}"))

    def change_students(self) -> None:
        """A session has other students."""
        session, students = self._chance.choice(("Next Mon", "Empty")), self._chance.randint(1, 30)
        if self._recorded(("session", "students", session, str(students))):
            self.account.students[session] = students

    def load(self) -> None:
        """A set with a new lot is loaded, under the login name."""
        lot, grams = f"{self.who} {self._turn}", self._chance.randint(1, 90)
        rows = rows_of("stock", {"lot": lot, "item": ITEM, "amount": f"{grams} g"})
        folder = folder_of(rows, self._folder / lot)
        self._recorded(("load", str(folder)), (lot, grams), signed=())

    def read(self) -> None:
        """Lists are read and a week is planned, and none of them stumbles."""
        for words in (
            ("stock", "list", "--json"),
            ("stock", "history", "--newest", "30"),
            ("order", "list"),
            ("plan", "--week", WEEK, "--json", os.devnull),
            ("check",),
        ):
            code, said = self._until_there(words)
            if code and not LINE_IS_CUT.search(said):
                self.account.wrong.append(f"{words}: {said}")

    def back_up(self) -> None:
        """A backup is made while the others go on."""
        copy = str(self._folder / f"{self.who} {self._turn}.db")
        if not self._until_there(("backup", copy))[0]:
            self.account.copies.append(copy)

    # How a command is given.

    def _change(self, what: str, grams: int, *more: str) -> None:
        lot = self._chance.choice(SHARED)
        self._recorded(("stock", what, lot, f"{abs(grams)} g", *more), (lot, grams))

    def _recorded(
        self,
        words: Sequence[str],
        change: tuple[str, int] = ("", 0),
        signed: Sequence[str] | None = None,
    ) -> bool:
        """Give a command that records; keep account of it, and return whether it was done."""
        by = ("--by", self.who) if signed is None else signed
        code, said = self._until_there((*words, *by))
        found = re.search(r"Recorded as entry (\d+)\.", said)
        entry = found[1] if found else None
        if code and NOBODY_KNOWS.search(said):
            self.account.looked += 1
            entry = self._looked()
        elif code:
            self._note_refusal(words, said)
        elif words[0] == "load":  # which does not say its entry
            entry = self._looked()
        if entry is not None:
            self.account.entries[entry] = change
        return entry is not None

    def _until_there(self, words: Sequence[str]) -> tuple[int, str]:
        """Give a command, and again where the line was cut and nothing recorded."""
        for _ in range(TRIES):
            result = CliRunner().invoke(app, ["--db", str(self._store), *words])
            said = result.output
            if result.exception is not None and not isinstance(result.exception, SystemExit):
                self.account.wrong.append(f"{words}: {result.exception!r}")
            if not result.exit_code or not LINE_IS_CUT.search(said):
                break
            self.account.cut += 1
        return result.exit_code, said

    def _looked(self) -> str | None:
        """Return the entry of one's own that one does not know of yet, if there is one."""
        question = f"SELECT entry FROM entries WHERE by = '{self.who}'"
        rows = None
        while rows is None:
            with suppress(psycopg.OperationalError):  # this line may be cut as well
                rows = answered(self._store, question)
        more = [str(entry) for (entry,) in rows if str(entry) not in self.account.entries]
        if len(more) > 1:
            self.account.wrong.append(f"unknown entries: {more}")
        return more[0] if more else None

    def _note_refusal(self, words: Sequence[str], said: str) -> None:
        self.account.refused += 1
        if "Traceback" in said or not re.search(r"[.)]\s*$", said):
            self.account.wrong.append(f"{words}: {said}")


_ACTS: Final[dict[str, Callable[[Person], tuple[Callable[[], None], ...]]]] = {
    "room": lambda one: (
        *(one.use, one.use, one.use, one.discard, one.undo, one.pour, one.make, one.book_out),
        one.move,
    ),
    "counter": lambda one: (one.receive, one.receive, one.new_lot, one.undo, one.move, one.use),
    "office": lambda one: (
        *(one.order, one.change_students, one.load, one.read, one.back_up, one.receive),
    ),
}
"""What each does, by the first word of the name."""
