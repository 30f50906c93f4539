"""The sample's month of waste, day by day through the commands, beside a record of its own.

Each morning the week is planned. Sessions are booked out, as planned or with other amounts; things
are poured in, discarded, measured, sealed and undone; a collection is called on the day on which
the plan says so, and the carrier comes when the lead is over.

- Each evening the containers of the store are those of the record, to the last digit.
- What is booked as planned is what that morning's plan allowed for, session by session.
- Who calls when told never has to pour where no container is left.
"""

import csv
import json
import os
import re
import shutil
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any, Final

import pytest
from typer.testing import CliRunner

from prepstore.cli.main import app
from tests.journeys.entries import poured_into
from tests.journeys.sample import SAMPLE
from tests.journeys.waste_record import Scripts, WasteRecord, billionths, rows_of

SEED: Final = int(os.environ.get("SEED", "1"))
FIRST: Final = date(2027, 3, 1)
HOLIDAYS: Final = {date(2027, 3, 5), date(2027, 3, 26), date(2027, 3, 29)}
LEAD: Final = 5
_TOLD: Final = re.compile(
    r"(?:Call a collection|A collection should have been called) by \w+ (\d+ \w+ \d+): "
    r"on \w+ \d+ \w+ \d+ the last container of (.+?) is full\."
)
A_HAIR: Final = Fraction(1, 10**6)


def run(*words: str) -> str:
    """Run a command that must succeed; return what it prints."""
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == 0, (words, result.output)
    return result.output


def is_open_day(day: date) -> bool:
    """Return whether people work on a day."""
    return day.weekday() < 5 and day not in HOLIDAYS


def days_from(first: date, count: int) -> Iterator[date]:
    """Yield so many days."""
    yield from (first + timedelta(days=one) for one in range(count))


def put_sample(folder: Path, sessions: set[str] | None = None) -> None:
    """Put the sample, its shelves full, beside the store; of some sessions alone, or of all.

    For some sessions nothing is sold, so that nothing is to be chosen among packs.
    """
    shutil.copytree(SAMPLE, folder)
    things = Scripts(folder).things
    stock = rows_of(folder, "stock")
    for place, (name, row) in enumerate(things.items()):
        if row["kind"] != "apparatus" and not row.get("retired"):
            unit = {"mL": "80 L", "g": "80 kg", "each": "9000 each"}[row["unit"]]
            plenty = {"lot": f"PLENTY{place}", "item": name, "amount": unit, "expiry": "2029-12-31"}
            stock.append({**dict.fromkeys(stock[0], ""), **plenty})
    _write(folder / "stock.csv", stock)
    if sessions is not None:
        timetable = rows_of(folder, "timetable")
        _write(folder / "timetable.csv", [row for row in timetable if row["session"] in sessions])
        for table in ("on_order", "price_breaks", "packs", "suppliers"):
            (folder / f"{table}.csv").unlink()


def _write(path: Path, rows: list[dict[str, str]]) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)


class Month:
    """A month in the laboratory: the commands that are typed, and the record that is kept."""

    def __init__(self, first: date, chance: Random, monkeypatch: pytest.MonkeyPatch) -> None:
        self._chance = chance
        self._environment = monkeypatch
        self._begin_day(first)
        run("load", "sample")
        self.scripts = Scripts(Path("sample"))
        self.record = WasteRecord(self.scripts)
        self._timetable = rows_of(Path("sample"), "timetable")
        self._lots = {row["item"]: row["lot"] for row in rows_of(Path("sample"), "stock")}
        self._last = 0
        self._coming: dict[date, set[str]] = {}
        # Streams in which something happened since the last collection that no plan can know.
        self._disturbed: set[str] = set()
        self.did: Counter[str] = Counter()
        self.sent: dict[tuple[str, str], Fraction] = {}

    def _begin_day(self, day: date) -> None:
        self.today = day
        self._environment.setenv("PREPSTORE_TODAY", str(day))

    def live(self, day: date, extras: int) -> None:
        """Live through a day, on which so many things happen beside the sessions."""
        self._begin_day(day)
        if is_open_day(day):
            self._collect()
            plan = self._plan()
            for session in self._timetable:
                if session["date"] == str(day) and session["students"] != "0":
                    self._book(session, plan)
            for _ in range(extras):
                self._let_something_happen()
        self.assert_agrees()

    def _let_something_happen(self) -> None:
        if self._chance.random() < 0.3:
            self._slip()
        else:
            act = self._chance.choice((self._add, self._discard, self._measure))
            self._disturbed.add(act())
            self.did[act.__name__] += 1

    def _recorded(self, *words: str) -> None:
        """Run a command that records an entry."""
        self._last = int(run(*words).rpartition("Recorded as entry ")[2].split(".")[0])

    # The plan, and the carrier.

    def _plan(self) -> dict[str, Any]:
        """Plan the week, and call the collections that are to be called by today."""
        year, week, _ = self.today.isocalendar()
        summary = run("plan", "--week", f"{year}-W{week:02}", "--json", "plan.json")
        for told, stream in _TOLD.findall(" ".join(summary.split())):
            # What was called is not to be called again.
            assert not any(stream in of for of in self._coming.values()), stream
            if _day(told) <= self.today:
                day = self._carrier_comes()
                self._recorded("waste", "call", stream, "--expected", str(day))
                self._coming.setdefault(day, set()).add(stream)
                self.did["called"] += 1
        plan: dict[str, Any] = json.loads(Path("plan.json").read_text("utf-8"))
        week_of = ("--week", f"{year}-W{week:02}")
        plan["sent"] = json.loads(run("waste", *week_of, "--by-session", "--json"))
        return plan

    def _carrier_comes(self) -> date:
        day, left = self.today, LEAD
        while left:
            day += timedelta(days=1)
            left -= is_open_day(day)
        return day

    def _collect(self) -> None:
        """The carrier who was called takes all that is sealed, and leaves as many empty ones."""
        is_sealed = any(held.sealed for held in self.record.streams.values())
        if not self._coming.pop(self.today, None) or not is_sealed:
            return
        self._recorded("waste", "collect", "--yes", "--out", "carrier.pdf")
        for stream, number in self.record.collect(str(self.today)).items():
            held = self.record.streams[stream]
            held.empty = (held.empty or 0) + number
            self._recorded("waste", "empty", stream, str(held.empty))
            self._disturbed.discard(stream)
        self.did["collected"] += 1

    # The sessions.

    def _book(self, session: dict[str, str], plan: dict[str, Any]) -> None:
        """Book a session out, as planned or with other amounts; now and then wrongly at first."""
        needs = self._needs(session["session"], plan)
        if self._chance.random() < 0.25:
            before = self.record.copy()
            self._book_as(session, self._really(needs), is_told=True)
            self._recorded("stock", "undo", str(self._last))
            self.record = before
            self.did["booked wrongly"] += 1
        is_as_planned = self._chance.random() < 0.3
        used = needs if is_as_planned else self._really(needs)
        sent = self._book_as(session, used, is_told=not is_as_planned)
        if is_as_planned:
            self._assert_forecast(session["session"], plan, sent)
        self.did["booked as planned" if is_as_planned else "booked otherwise"] += 1
        for stream, level in sent.items():
            key = session["practical"], stream
            self.sent[key] = self.sent.get(key, Fraction(0)) + level

    def _needs(self, session: str, plan: dict[str, Any]) -> dict[str, Fraction]:
        """Return what the plan sets out for a session that is used up."""
        return {
            row["item"]: billionths(Fraction(str(of["amount"])))
            for row in plan["needs"]
            if self.scripts.things[row["item"]]["kind"] != "apparatus"
            for of in row["by_session"]
            if of["session"] == session and of["amount"]
        }

    def _really(self, needs: dict[str, Fraction]) -> dict[str, Fraction]:
        """Return what was really used: less than was set out, as somebody reads it."""
        used = {}
        for name, amount in needs.items():
            step = 1 if self.scripts.things[name]["unit"] == "each" else 100
            some = amount * Fraction(self._chance.randint(550, 1000), 1000)
            used[name] = Fraction(int(some * step), step)
        return used

    def _book_as(
        self, session: dict[str, str], used: dict[str, Fraction], *, is_told: bool
    ) -> dict[str, Fraction]:
        """Book amounts, told or as planned; return what each stream got."""
        words = [
            word
            for name, amount in used.items()
            for word in ("--used", f"{name}={_digits(amount)} {self.scripts.things[name]['unit']}")
        ]
        told = words if is_told else []
        self._recorded("stock", "use", "--session", session["session"], *told)
        fractions = self.scripts.fractions(session)
        return {
            stream: self.record.pour(
                stream,
                {name: amount * fractions[name].get(stream, 0) for name, amount in used.items()},
                str(self.today),
            )
            for stream in self.record.streams
        }

    def _assert_forecast(
        self, session: str, plan: dict[str, Any], sent: dict[str, Fraction]
    ) -> None:
        """What was booked as planned is what this morning's plan allowed for."""
        forecast = {
            row["stream"]: Fraction(str(row["allow_for"]))
            for row in plan["sent"]
            if row["session"] == session and row["stream"] in sent
        }
        for stream, level in sent.items():
            assert abs(forecast.get(stream, 0) - level) < A_HAIR, (session, stream)

    # What else happens.

    def _stream(self, measure: str | None = None) -> str:
        streams = [
            name for name, row in self.scripts.streams.items() if measure in (None, row["measure"])
        ]
        return self._chance.choice(streams)

    def _add(self) -> str:
        """Something is poured in without a session; somebody knows what it is, or nobody."""
        stream = self._stream()
        unit = "mL" if self.scripts.streams[stream]["measure"] == "volume" else "g"
        known = {"mL": "acetone", "g": "sand, washed"}[unit]
        thing = self._chance.choice(("", known))
        amount = Fraction(self._chance.randint(1, 2500), 10)
        item = ("--item", thing) if thing else ()
        self._recorded("waste", "add", stream, f"{_digits(amount)} {unit}", *item)
        self.record.pour(stream, {thing: amount}, str(self.today))
        return stream

    def _discard(self) -> str:
        """Some of a lot is discarded into a stream, by volume or by mass."""
        stream, thing = self._stream(), self._chance.choice(("acetone", "methanol", "n-heptane"))
        amount = Fraction(self._chance.randint(1, 333))
        words = (self._lots[thing], f"{amount} mL", "--reason", "old", "--stream", stream)
        self._recorded("stock", "discard", *words)
        self.record.pour(stream, {thing: amount}, str(self.today))
        return stream

    def _measure(self) -> str:
        """A level is read of an open container: more or less than was written down."""
        there = [name for name, held in self.record.streams.items() if held.open]
        stream = self._chance.choice(there)
        held = self.record.streams[stream]
        assert held.open is not None
        unit = "mL" if self.scripts.streams[stream]["measure"] == "volume" else "g"
        level = Fraction(max(int(held.open.level) + self._chance.randint(-150, 150), 0))
        self._recorded("waste", "measure", stream, f"{level} {unit}")
        self.record.measure(stream, level)
        return stream

    def _seal(self) -> str:
        """A container is sealed though it may not be full."""
        there = [name for name, held in self.record.streams.items() if held.open]
        stream = self._chance.choice(there)
        self._recorded("waste", "seal", stream)
        self.record.seal(stream, str(self.today))
        return stream

    def _slip(self) -> None:
        """Something is recorded by mistake, and undone; now and then it was none."""
        before = self.record.copy()
        disturbed = self._chance.choice((self._add, self._discard, self._measure, self._seal))()
        after, self.record = self.record, before
        self._recorded("stock", "undo", str(self._last))
        if self._chance.random() < 0.3:
            self._recorded("stock", "undo", str(self._last))
            self.record = after
            self._disturbed.add(disturbed)
        self.did["undone"] += 1

    # What must be true.

    def assert_agrees(self) -> None:
        """The containers of the store are those of the record, to the last digit."""
        rows = json.loads(run("waste", "containers", "--all", "--json"))
        found = {row["container"]: row for row in rows if row["container"]}
        wanted = {
            one.label: (name, one)
            for name, held in self.record.streams.items()
            for one in (*held.collected, *held.there)
        }
        assert found.keys() == wanted.keys()
        for label, (stream, one) in wanted.items():
            row = found[label]
            days = (row["opened_on"], row["sealed_on"], row["collected_on"])
            assert (row["stream"], Fraction(str(row["amount"]))) == (stream, one.level), label
            assert days == (one.opened_on, one.sealed_on, one.collected_on), label
        poured = poured_into(Path("prepstore.db"))
        for name, held in self.record.streams.items():
            of_stream = [row for row in rows if row["stream"] == name]
            assert all(row["empty"] == held.empty for row in of_stream), name
            if not held.is_measured:
                # Of what was measured nobody knows what is gone.
                wanted_in_it = {thing: amount for thing, amount in held.poured.items() if amount}
                assert poured.get(name, {}) == wanted_in_it, name
            # Nothing has to be poured where no container is: the plan said so in time.
            assert not held.ran_out or name in self._disturbed, name
            held.ran_out = False


def _day(told: str) -> date:
    return datetime.strptime(told, "%d %b %Y").replace(tzinfo=UTC).date()


def _digits(amount: Fraction) -> str:
    """Return a number that ends, in digits."""
    return f"{Decimal(amount.numerator) / Decimal(amount.denominator):f}"


def _live(first: date, days: int, extras: int, month: Month) -> None:
    for day in days_from(first, days):
        month.live(day, extras)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("PREPSTORE_DB", raising=False)
    monkeypatch.setenv("COLUMNS", "200")
    return tmp_path


def _assert_compared(month: Month) -> None:
    """Forecast against record has the record's own sums."""
    rows = json.loads(run("waste", "compare", "--json"))
    found = {(row["practical"], row["stream"]): Fraction(str(row["recorded"])) for row in rows}
    assert found == {key: level for key, level in month.sent.items() if level}


def test_two_days_of_the_sample_agree_with_the_record(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_sample(folder / "sample", {"W09-Thu-1", "W09-Thu-2"})
    month = Month(date(2027, 3, 3), Random(SEED), monkeypatch)
    _live(month.today, 2, 1, month)
    _assert_compared(month)


@pytest.mark.slow
@pytest.mark.parametrize("seed", [SEED, SEED + 1, SEED + 2, SEED + 3])
@pytest.mark.parametrize("extras", [0, 3])
def test_a_month_of_the_sample_agrees_with_the_record(
    seed: int, extras: int, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    put_sample(folder / "sample")
    month = Month(FIRST, Random(seed), monkeypatch)
    _live(FIRST, 31, extras, month)
    _assert_compared(month)
    assert "is sound" in run("check")
    assert month.did["collected"] > 0
    assert month.did["called"] >= month.did["collected"]
    assert {"booked wrongly", "booked as planned", "booked otherwise"} <= month.did.keys()
    assert not extras or {"_add", "_discard", "_measure", "undone"} <= month.did.keys()
