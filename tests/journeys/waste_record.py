"""A laboratory's own record of its waste, kept in fractions beside the store's.

It knows nothing of the program: it reads the tables as text, shares out what a session used by its
script, and fills containers one after the other. Levels are in mL or g, to a billionth.
"""

import csv
import re
from collections.abc import Mapping, Sequence
from copy import deepcopy
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil
from pathlib import Path
from typing import Final

Row = Mapping[str, str]
BILLION: Final = 10**9
_UNITS: Final = {
    "mL": (1, "mL"), "L": (1000, "mL"), "g": (1, "g"), "kg": (1000, "g"), "each": (1, "each"),
}  # fmt: skip


def rows_of(folder: Path, table: str) -> list[dict[str, str]]:
    """Return the rows of a table."""
    with (folder / f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> Fraction:
    """Return a number; a percentage is a fraction."""
    return Fraction(text.removesuffix("%").strip()) / (100 if text.endswith("%") else 1)


def billionths(level: Fraction) -> Fraction:
    """Return a level to the nearest billionth."""
    return Fraction(round(level * BILLION), BILLION)


def shares_of(text: str) -> dict[str, Fraction]:
    """Return where something ends: `aqueous acid 90 %; air 10 %`."""
    found: dict[str, Fraction] = {}
    for share in filter(None, (one.strip() for one in text.split(";"))):
        parted = re.fullmatch(r"(.*?) ([\d.]+) ?%", share)
        end, fraction = (parted[1], number(f"{parted[2]}%")) if parted else (share, Fraction(1))
        found[end] = found.get(end, Fraction(0)) + fraction
    return found


class Scripts:
    """The scripts of a set of tables: where what a session used of a thing goes."""

    def __init__(self, folder: Path) -> None:
        self.things = {row["item"]: row for row in rows_of(folder, "items")}
        for row in rows_of(folder, "solutions"):
            self.things[row["solution"]] = {**row, "unit": "mL", "kind": "solution"}
        self.streams = {row["stream"]: row for row in rows_of(folder, "waste_streams")}
        self._lines = rows_of(folder, "practical_lines")
        self._practicals = {row["practical"]: row for row in rows_of(folder, "practicals")}
        self._replaced = {row["item"]: row for row in rows_of(folder, "replacements")}
        settings = {row["setting"]: row["value"] for row in rows_of(folder, "settings")}
        self._spare = {
            kind: number(settings.get(f"spare {kind}", "0"))
            for kind in ("reagent", "solvent", "solution", "consumable", "apparatus")
        }

    def level(self, stream: str, thing: str, amount: Fraction) -> Fraction:
        """Return what an amount of a thing adds to a stream; nothing where it is not measured."""
        unit, density = self.things[thing]["unit"], self.things[thing].get("density")
        wanted = "mL" if self.streams[stream]["measure"] == "volume" else "g"
        if unit == wanted:
            return billionths(amount)
        if unit == "each" or not density:
            return Fraction(0)
        of = Fraction(density)
        return billionths(amount * of if wanted == "g" else amount / of)

    def fractions(self, session: Row, *, held_back: bool = False) -> dict[str, dict[str, Fraction]]:
        """Return which fraction of what is used of a thing goes to which stream.

        Where it is `held_back`: which stays in agents and papers that go to which stream.
        """
        lines = [line for line in self._lines if self._counts(line, session)]
        used = [self._name(line) for line in lines]
        amounts = [self._amount(line, session) for line in lines]
        sent = [self._sent(line, amount) for line, amount in zip(lines, amounts, strict=True)]
        held = self._hold_back(lines, amounts, sent)
        if held_back:
            sent = held
        found: dict[str, dict[str, Fraction]] = {}
        for name in dict.fromkeys(used):
            own = [place for place, other in enumerate(used) if other == name]
            total = sum((amounts[place] for place in own), Fraction(0))
            of_name = found.setdefault(name, {})
            for place in own:
                for stream, amount in sent[place].items():
                    of_name[stream] = of_name.get(stream, Fraction(0)) + amount / total
        return found

    def _counts(self, line: Row, session: Row) -> bool:
        left_out = [stage.strip() for stage in session["leave_out"].split(";")]
        is_out = line["optional"] == "yes" and line["stage"] in left_out
        return line["practical"] == session["practical"] and not is_out

    def _chain(self, item: str) -> list[Row]:
        chain: list[Row] = []
        while item in self._replaced:
            chain.append(self._replaced[item])
            item = chain[-1]["replaced_by"]
        return chain

    def _name(self, line: Row) -> str:
        chain = self._chain(line["item"])
        return chain[-1]["replaced_by"] if chain else line["item"]

    def _sent(self, line: Row, amount: Fraction) -> dict[str, Fraction]:
        to = line["to"]
        for link in self._chain(line["item"]):
            to = link["to"] or to
        ends = shares_of(to)
        return {end: amount * share for end, share in ends.items() if end in self.streams}

    def _sets(self, session: Row) -> tuple[int, int]:
        """Return the sets, and the students with those of demonstrators."""
        size = int(
            session["group_size"] or self._practicals[session["practical"]]["group_size"] or 1
        )
        students, more = int(session["students"]), int(session["demonstrator_sets"] or 0)
        return ceil(students / size) + more, students + size * more

    def _amount(self, line: Row, session: Row) -> Fraction:
        """Return what is set out for a line with spare; of what is in mol, only how many sets.

        That is enough where one line alone uses a thing, and none of it is held back.
        """
        sets, students = self._sets(session)
        count = {"student": students, "group": sets, "session": 1}[line["per"]]
        kind = self.things[self._name(line)]["kind"]
        spare = Fraction(0) if line["per"] == "session" else self._spare[kind]
        spare = number(line["spare"]) if line["spare"] else spare
        each = self._each(line)
        return each * count * (1 + spare)

    def _each(self, line: Row) -> Fraction:
        thing = self.things[self._name(line)]
        factors = [Fraction(link["factor"] or 1) for link in self._chain(line["item"])]
        total = Fraction(0)
        for portion in line["amount"].split(" + "):
            times, _, rest = portion.rpartition(" x ")
            size, _, word = rest.partition(" ")
            total += Fraction(times or 1) * Fraction(size) * self._in_unit(word, thing)
        for factor in factors:
            total *= factor
        return total

    @staticmethod
    def _in_unit(word: str, thing: Row) -> Fraction:
        own = dict(
            measure.strip().split(" = ")
            for measure in (thing["measures"] or "").split(";")
            if measure
        )
        if word in own:
            size, _, unit = own[word].partition(" ")
            return Fraction(size) * _UNITS[unit][0]
        if word == "drop":
            return Fraction("0.05")
        if word not in _UNITS:
            return Fraction(1)  # in mol
        times, unit = _UNITS[word]
        if unit == thing["unit"]:
            return Fraction(times)
        density = Fraction(thing["density"])
        return times * density if thing["unit"] == "g" else times / density

    def _hold_back(
        self,
        lines: Sequence[Row],
        amounts: Sequence[Fraction],
        sent: Sequence[dict[str, Fraction]],
    ) -> list[dict[str, Fraction]]:
        """Take off what agents and papers hold back, line after line of their liquid.

        Return what they hold back of each line, by the stream that they go to.
        """
        held: list[dict[str, Fraction]] = [{} for _ in lines]
        for agent, amount in zip(lines, amounts, strict=True):
            if not agent["holds_back"]:
                continue
            chain = self._chain(agent["holds_back"])
            liquid = chain[-1]["replaced_by"] if chain else agent["holds_back"]
            thing = self.things[self._name(agent)]
            whole = Fraction(ceil(amount)) if thing["unit"] == "each" else amount
            wanted = whole * Fraction(thing["retention"].removesuffix(" mL"))
            for place, line in enumerate(lines):
                there = sum(sent[place].values(), Fraction(0))
                if self._name(line) == liquid and there:
                    taken = min(wanted, there)
                    wanted -= taken
                    for stream in sent[place]:
                        sent[place][stream] *= (there - taken) / there
                    for stream, share in self._sent(agent, Fraction(1)).items():
                        more = held[place].get(stream, Fraction(0)) + taken * share
                        held[place][stream] = more
        return held


@dataclass
class Container:
    """A container: what is in it, and its days."""

    label: str
    level: Fraction = Fraction(0)
    opened_on: str | None = None
    sealed_on: str | None = None
    collected_on: str | None = None


@dataclass
class Stream:
    """The containers of a stream, and what was poured into them in all, by thing."""

    size: Fraction | None
    empty: int | None
    open: Container | None = None
    sealed: list[Container] = field(default_factory=list)
    collected: list[Container] = field(default_factory=list)
    poured: dict[str, Fraction] = field(default_factory=dict)
    is_measured: bool = False
    ran_out: bool = False

    @property
    def there(self) -> list[Container]:
        """Return the containers that are there, the open one last."""
        return [*self.sealed, *([self.open] if self.open else [])]


class WasteRecord:
    """What each container holds, as a person keeps it in a book."""

    def __init__(self, scripts: Scripts) -> None:
        self.scripts = scripts
        self.streams: dict[str, Stream] = {}
        for name, row in scripts.streams.items():
            size = self._read(row["container"]) if row["container"] else None
            limit = number(row["fill_limit"] or "90 %")
            empty = int(row["empty_containers"]) if row["empty_containers"] else None
            stream = Stream(size and size * limit, empty)
            self.streams[name] = stream
            if row["part_full"]:
                stream.open = Container(self._label(), self._read(row["part_full"]))
                stream.poured[""] = stream.open.level

    @staticmethod
    def _read(text: str) -> Fraction:
        size, _, unit = text.partition(" ")
        return Fraction(size) * _UNITS[unit][0]

    def copy(self) -> "WasteRecord":
        """Return the record as it is now."""
        return deepcopy(self)

    def _label(self) -> str:
        taken = {
            one.label
            for stream in self.streams.values()
            for one in (*stream.there, *stream.collected)
        }
        place = 1
        while (label := f"W27-{place:03}") in taken:
            place += 1
        return label

    def pour(
        self,
        stream: str,
        parts: Mapping[str, Fraction],
        day: str,
        soaked_in: Mapping[str, Fraction] | None = None,
    ) -> Fraction:
        """Pour amounts of things (blank: not known) together; return how much the levels rise.

        What is soaked in something that goes in with them takes up no room of its own.
        """
        held, total = self.streams[stream], Fraction(0)
        for thing, amount in parts.items():
            total += self.scripts.level(stream, thing, amount) if thing else amount
        for things in (parts, soaked_in or {}):
            for thing, amount in things.items():
                held.poured[thing] = held.poured.get(thing, Fraction(0)) + billionths(amount)
        left, is_left = total, any(parts.values())
        while is_left:
            self._seal_if_full(held, day)
            one = held.open or self.open(stream, day)
            some = left if held.size is None else min(left, held.size - one.level)
            one.level += some
            left -= some
            is_left = left > 0
            self._seal_if_full(held, day)
        return total

    def _seal_if_full(self, held: Stream, day: str) -> None:
        if held.open and held.size is not None and held.open.level >= held.size:
            self._seal(held, day)

    @staticmethod
    def _seal(held: Stream, day: str) -> None:
        assert held.open is not None
        held.open.sealed_on = day
        held.sealed.append(held.open)
        held.open = None

    def seal(self, stream: str, day: str) -> None:
        """Seal the open container."""
        self._seal(self.streams[stream], day)

    def open(self, stream: str, day: str) -> Container:
        """Open the next container, of the empty ones if any are left."""
        held = self.streams[stream]
        held.ran_out |= held.empty == 0
        held.empty = held.empty and held.empty - 1
        held.open = Container(self._label(), opened_on=day)
        return held.open

    def measure(self, stream: str, level: Fraction) -> None:
        """Write down a level that was read."""
        held = self.streams[stream]
        assert held.open is not None
        held.is_measured = True
        held.open.level = level

    def collect(self, day: str) -> dict[str, int]:
        """Give all sealed containers to the carrier; return how many of each stream."""
        gone: dict[str, int] = {}
        for name, held in self.streams.items():
            for one in held.sealed:
                one.collected_on = day
                gone[name] = gone.get(name, 0) + 1
            held.collected += held.sealed
            held.sealed = []
        return gone
