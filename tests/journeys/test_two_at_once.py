"""Two commands at once, any two, in processes of their own: both are told the truth.

The environment variable INTERLEAVINGS lets it go on longer; SEED says which chances are taken.
"""

import json
import os
import shutil
import time
from collections.abc import Callable
from itertools import combinations_with_replacement, cycle, islice
from pathlib import Path
from random import Random

import openpyxl
import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.place import Place, ServerPlace
from tests.at_a_terminal import at_a_terminal
from tests.bad_input.small_set import folder_of
from tests.journeys.college import done, run
from tests.journeys.department import WEEK, department, rows_of
from tests.journeys.entries import entries_in
from tests.ledger.faults import child
from tests.servers import Server

INTERLEAVINGS = int(os.environ.get("INTERLEAVINGS", "12"))
SEED = int(os.environ.get("SEED", "1"))

COMMANDS = {
    "receive": ("stock", "receive", "salt", "100 g", "--lot", "S1"),
    "receive a pack": ("stock", "receive", "Q-2", "--packs", "2"),
    "use": ("stock", "use", "salt", "900 g"),
    "use of a session": ("stock", "use", "--session", "Mon", "--as-far-as-there-is"),
    "count": ("stock", "count", "S1", "1.2 kg"),
    "open": ("stock", "open", "G1"),
    "discard": ("stock", "discard", "S1", "700 g", "--reason", "damp"),
    "make": ("stock", "make", "brine", "--volume", "1 L"),
    "place an order": ("order", "place", "--week", WEEK, "--today", "2027-01-25"),
    "change a due day": ("order", "due", "--pack", "Q-2", "--to", "2027-02-04"),
    "rename": ("stock", "rename", "salt", "table salt"),
    "undo": ("stock", "undo", "2"),
    "load": ("load", "more"),
}
PAIRS = list(combinations_with_replacement(COMMANDS, 2))

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="two work in forked children")


@pytest.fixture
def store(tmp_path: Path, place: Place, monkeypatch: pytest.MonkeyPatch) -> Place:
    """The place of a store of the small department, with a use that may be undone."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_DB", str(place))
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-02-01")
    done("load", str(folder_of(department(), tmp_path / "first")))
    done("stock", "use", "S1", "800 g", "--by", "before")
    lots = rows_of("stock", {"lot": "N1", "item": "salt", "amount": "1 kg"})
    sessions = rows_of(
        "timetable",
        {"session": "Fri", "practical": "TIT", "date": "2027-02-05", "students": "4"},
    )
    folder_of({**lots, **sessions}, tmp_path / "more")
    return place


def _start(words: tuple[str, ...], who: str, wait: float) -> tuple[int, int]:
    """Run a command in a child after a wait; it tells exit code and what was printed."""

    def work(out: int) -> None:
        time.sleep(wait)
        signed = () if words[0] == "load" else ("--by", who)
        result = CliRunner().invoke(app, [*words, *signed])
        fault = None if isinstance(result.exception, SystemExit) else result.exception
        told = (result.exit_code, result.stdout, result.stderr, repr(fault) if fault else "")
        os.write(out, json.dumps(told).encode())

    return child(work)


def _told(started: tuple[int, int]) -> tuple[int, str, str]:
    """Return exit code, output and errors of a child's command, which met no fault of its own."""
    pid, told = started
    with os.fdopen(told) as lines:
        code, stdout, stderr, fault = json.loads(lines.read())
    os.waitpid(pid, 0)
    assert not fault, fault
    return code, stdout, stderr


def _hold(path: Place, names: tuple[str, str], waits: tuple[float, float]) -> None:
    before = entries_in(path)
    started = [
        _start(COMMANDS[name], who, wait)
        for name, who, wait in zip(names, ("Kim", "Ana"), waits, strict=True)
    ]
    told = [_told(one) for one in started]
    after = entries_in(path)
    expected = 0
    for name, who, (code, stdout, stderr) in zip(names, ("Kim", "Ana"), told, strict=True):
        assert code in (0, 1), stderr
        is_done = code == 0 and "Nothing was recorded" not in stdout
        assert code == 0 or stderr.strip().endswith("."), stderr
        if name == "load":
            is_done = is_done and "changes nothing" not in stdout
        else:
            recorded = [one for one in after.values() if one.by == who]
            assert len(recorded) == is_done, (stdout, stderr, after)
        expected += is_done
    assert len(after) == len(before) + expected, (told, after)
    assert all(one.parts for one in after.values()), after
    assert {entry: after[entry] for entry in before} == before
    said = run("check")
    assert said.exit_code == 0, (told, said.output)
    done("plan", "--week", WEEK, "--json", "-")


def _beginning(store: Place, folder: Path, request: pytest.FixtureRequest) -> Callable[[], object]:
    """Keep a store as it is; return what puts that back in its place."""
    if isinstance(store, ServerPlace):
        server: Server = request.getfixturevalue("server")
        begun = server.copy_of(store)
        return lambda: server.put_back(store, begun)
    shutil.copy(store, folder / "begun.db")

    def put_back() -> None:
        for beside in folder.glob("prepstore.db*"):
            beside.unlink()
        shutil.copy(folder / "begun.db", store)

    return put_back


@pytest.mark.slow
def test_of_any_two_commands_at_once_both_are_recorded_or_refused_with_a_sentence(
    store: Place, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    chance = Random(SEED)
    pairs = chance.sample(PAIRS, len(PAIRS))
    begin_again = _beginning(store, tmp_path, request)
    for names in islice(cycle(pairs), INTERLEAVINGS):
        begin_again()
        waits = chance.uniform(0, 0.05), chance.uniform(0, 0.05)
        try:
            _hold(store, names, waits)
        except AssertionError as error:
            raise AssertionError(f"{' and '.join(names)} after {waits} s, seed {SEED}") from error


def _asked_meanwhile(
    words: tuple[str, ...], meanwhile: tuple[str, ...], *, in_a_program_of_its_own: bool = False
) -> tuple[int, str]:
    """Run a command at a terminal, let somebody else record once it asks, and say yes."""
    with at_a_terminal(*words, in_a_program_of_its_own=in_a_program_of_its_own) as asking:
        asking.until("[y/N]: ")
        done(*meanwhile)
        asking.answer("y")
        code, _, refused = asking.end()
    return code, refused


def _fill_in(sheet: str, lot: str, found: str) -> None:
    book = openpyxl.load_workbook(sheet)
    row = next(row for row in book["Count"].iter_rows() if row[0].value == lot)
    row[7].value = found
    book.save(sheet)


ORDER = ("order", "place", "--week", WEEK, "--today", "2027-01-25")
SHEET = ("stock", "count", "--sheet", "count.xlsx")
FAR = ("stock", "receive", "salt", "1 kg", "--expiry", "2097-01-31")


@pytest.mark.parametrize(
    ("words", "meanwhile"),
    [
        (ORDER, ("stock", "receive", "acetone", "20 L")),
        (ORDER, ORDER),
        (SHEET, ("stock", "use", "A1", "100 mL")),
        (SHEET, ("stock", "count", "A1", "0.7 L")),
        (FAR, FAR),
        (("stock", "count", "S1", "1 kg", "--on", "2097-01-31"), ("stock", "use", "S1", "1 g")),
    ],
)
def test_what_was_agreed_and_has_changed_meanwhile_is_not_recorded(
    words: tuple[str, ...], meanwhile: tuple[str, ...], store: Place
) -> None:
    done(*SHEET, "--place", "cabinet A")
    _fill_in("count.xlsx", "A1", "0.8 L")
    before = entries_in(store)
    code, refused = _asked_meanwhile(words, (*meanwhile, "--by", "Ana"))
    assert code == 1
    assert refused.splitlines()[-2:] == [
        "Something else was recorded in the meantime, so the result would now be different. "
        "Give the command again.",
        "Nothing was changed.",
    ]
    assert [one.by for entry, one in entries_in(store).items() if entry not in before] == ["Ana"]


def test_what_was_agreed_is_recorded_where_what_happened_meanwhile_does_not_touch_it(
    store: Place,
) -> None:
    before = entries_in(store)
    code, refused = _asked_meanwhile(
        (*FAR, "--lot", "N9"),
        ("stock", "open", "G1", "--by", "Ana"),
        in_a_program_of_its_own=True,
    )
    assert (code, "Nothing was changed" in refused) == (0, False)
    assert len(entries_in(store)) == len(before) + 2
