"""A week in the stores as a technician runs it, the plug pulled now and then.

Planned, orders placed, two received in part, bottles opened, four sessions booked out with odd
leftovers, a shelf counted that disagreed, a mistake undone; and the history reads like it.
"""

import json
import os
import random
import shutil
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from prepstore.ledger.place import Place
from tests.ledger.faults import child, killed

SAMPLE = Path(__file__).parents[2] / "sample_inventory"
KIM, ANA = ("--by", "Kim"), ("--by", "Ana")
WEEK = ("--week", "2027-W10", "--today", "2027-03-03")
MONDAY = ("--on", "2027-03-08", *KIM)
WEDNESDAY = ("--on", "2027-03-10", *KIM)
ACID = "hydrochloric acid 2 mol/L"


class Stores:
    """The stores of the sample, on a store of their own."""

    def __init__(self, place: Place) -> None:
        self.path = place
        self("load", str(SAMPLE))

    def __call__(self, *words: str, says: str = "", code: int = 0) -> str:
        """Run a command; return what it printed."""
        result = CliRunner().invoke(app, ["--db", str(self.path), *words])
        assert result.exit_code == code, result.output
        assert says in result.output, result.output
        return str(result.stdout)

    def rows(self, *words: str) -> list[dict[str, Any]]:
        """Return what a list prints as JSON."""
        found: list[dict[str, Any]] = json.loads(self(*words, "--json"))
        return found

    def amount(self, lot: str) -> str:
        """Return what a lot's row says."""
        return str(next(row["amount"] for row in self.rows("stock", "list") if row["lot"] == lot))

    def pull_the_plug(self, *words: str, after_seconds: float) -> None:
        """Run a command in a process that is killed after a while."""

        def run(out: int) -> None:
            CliRunner().invoke(app, ["--db", str(self.path), *words])
            os.write(out, b"1\n")

        killed(run, after_seconds)


@pytest.fixture
def stores(place: Place) -> Stores:
    return Stores(place)


def _place_orders(stores: Stores) -> None:
    """Wednesday: what the week needs is ordered."""
    stores("order", "place", *WEEK, "--supplier", "Tarnbeck Laboratory Supply", *KIM)
    stores("order", "place", *WEEK, "--supplier", "Ossel and Wray Chemicals", *KIM)
    coming = {row["pack"]: row["packs"] for row in stores.rows("order", "list")}
    assert coming["TL-1207"] == 3


def _receive_two_in_part(stores: Stores) -> None:
    """Thursday: two deliveries; the plug is pulled on the second, which is done again if lost."""
    thursday = ("--on", "2027-03-04", *ANA)
    iodide = ("stock", "receive", "OW-1373", "--packs", "1", "--expiry", "2029-01-31", *thursday)
    stores(*iodide, "--lot", "L0400", says="received 100 g of PO 27-045, 1 x OW-1373")
    acetone = ("stock", "receive", "TL-1207", "--packs", "1", "--lot", "L0401", *thursday)
    stores.pull_the_plug(*acetone, after_seconds=0.15)
    if not any(row["lot"] == "L0401" for row in stores.rows("stock", "list")):
        stores(*acetone)
    left = {row["pack"]: row["packs"] for row in stores.rows("order", "list")}
    assert (left["OW-1373"], left["TL-1207"]) == (1, 2)


def _open_and_make(stores: Stores) -> None:
    """Monday, for Friday is a holiday: bottles are opened, and buffers made."""
    stores("stock", "open", "L0241", *MONDAY, says="L0241-1 ethanol 96 %: opened")
    stores("stock", "open", "L0401", *MONDAY)
    for solution in ("phosphate buffer pH 7.0", "disodium hydrogen phosphate 0.2 mol/L"):
        stores("stock", "make", solution, "--week", "2027-W10", *MONDAY)


def _book_four_sessions_out(stores: Stores) -> None:
    """Odd leftovers; one session used nothing, and for one something was never booked in."""
    stores("stock", "use", "--session", "W10-Mon-4", "--back", f"{ACID}=333.3 mL", *KIM)
    stores(
        "stock", "use", "--session", "W10-Tue-3", "--used", "pH calibration sachet=17 each", *KIM
    )
    stores("stock", "use", "--session", "W10-Tue-4", "--back", "potassium bromide=0.85 g", *ANA)
    stores("stock", "use", "--session", "W10-Wed-4", *ANA, code=1, says="nothing set out")
    stores("stock", "use", "--session", "W10-Wed-1", *ANA, code=1, says="not on the shelf")
    stores("stock", "use", "--session", "W10-Wed-1", "--as-far-as-there-is", *ANA)
    states = {
        row["session"]: row["state"]
        for row in json.loads(stores("plan", *WEEK, "--json", "-"))["sessions"]
    }
    assert [states[f"W10-{name}"] for name in ("Mon-4", "Tue-3", "Tue-4", "Wed-1")] == ["done"] * 4


def _count_and_undo(stores: Stores) -> str:
    """A shelf that disagrees, and a slip of the finger that is undone; return its entry."""
    stores("stock", "count", "L0127", "312.5 g", "--reason", "weighed", *WEDNESDAY)
    said = stores("stock", "use", "L0238", "1 L", "--reason", "burners", *MONDAY)
    entry = said.rsplit(" ", 1)[1].strip()
    stores("stock", "undo", entry, *MONDAY, says="undone +1 L")
    stores("stock", "use", "L0238", "100 mL", "--reason", "burners", *MONDAY)
    return entry


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the plug is pulled in a forked child")
def test_a_week_is_run_and_its_history_reads_like_what_happened(stores: Stores) -> None:
    _place_orders(stores)
    _receive_two_in_part(stores)
    _open_and_make(stores)
    _book_four_sessions_out(stores)
    entry = _count_and_undo(stores)
    told = [
        (row["by"], row["what"], row["change"], row["reason"])
        for row in stores.rows("stock", "history", "L0238")
    ]
    assert told[1:] == [
        ("Kim", "used", -1000, "burners"),
        ("Kim", "undone", 1000, f"undoes entry {entry}"),
        ("Kim", "used", -100, "burners"),
    ]
    assert stores.amount("L0127") == "312.5 g"
    usage = {row["item"]: row for row in stores.rows("stock", "usage", "--practical", "PHY-04")}
    assert usage[ACID]["difference"] == -333.3
    stores("check", says="is sound")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the plug is pulled in a forked child")
def test_a_session_whose_plug_is_pulled_is_booked_out_whole_or_not_at_all(
    tmp_path: Path,
) -> None:
    path = tmp_path / "prepstore.db"
    stores = Stores(path)
    shutil.copy(path, tmp_path / "fresh.db")
    moments = random.Random(7)
    for _ in range(int(os.environ.get("KILLS", "3"))):
        for beside in tmp_path.glob("prepstore.db*"):
            beside.unlink()
        shutil.copy(tmp_path / "fresh.db", path)
        words = ("stock", "use", "--session", "W10-Mon-4", *KIM)
        stores.pull_the_plug(*words, after_seconds=moments.uniform(0.05, 0.5))
        booked = stores.rows("stock", "history", "--session", "W10-Mon-4")
        assert len(booked) in (0, 3)
        assert len(stores.rows("stock", "usage")) == (3 if booked else 0)
        stores("check", says="is sound")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="two work at once in forked children")
def test_two_who_book_the_same_session_out_book_it_once(stores: Stores) -> None:
    def book(out: int) -> None:
        words = ["stock", "use", "--session", "W10-Mon-4", *KIM]
        result = CliRunner().invoke(app, ["--db", str(stores.path), *words])
        os.write(out, f"{result.exit_code}\n".encode())

    children = [child(book) for _ in range(2)]
    codes = []
    for pid, told in children:
        with os.fdopen(told) as lines:
            codes += [int(line) for line in lines]
        os.waitpid(pid, 0)
    assert sorted(codes) == [0, 1]
    assert stores.amount("S27-021") == "1050 mL"
