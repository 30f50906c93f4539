"""Whoever types the next command: any that changes a store, with plausible slips and worse."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from random import Random
from typing import Final

from tests.journeys.department import WEEK, rows_of


@dataclass(frozen=True)
class Step:
    """A command as it is typed, on which day, and what is put beside the store before.

    `files` are the tables of sets, by folder; `fill` what is written into a counting sheet: its
    file, and for rows from the first on what was counted and noted.
    """

    words: tuple[str, ...]
    day: str = "2027-02-01"
    files: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    fill: tuple[str, tuple[tuple[int, str, str], ...]] | None = None


@dataclass
class Seen:
    """What a person sees of the store before the next command."""

    lots: Sequence[Mapping[str, str]] = ()
    last_entry: int = 0
    names: list[str] = field(default_factory=list)
    references: list[str] = field(default_factory=list)
    backups: list[str] = field(default_factory=list)


ITEMS: Final = ("salt", "strong acid", "acetone", "ether", "water", "glove", "burette")
SOLUTIONS: Final = ("brine", "acid 2 mol/L", "acid 0.1 mol/L")
UNIT_OF: Final = {"salt": "g", "glove": "each", "burette": "each"}
SESSIONS: Final = ("Mon", "Mon late", "Tue", "Wed", "Empty", "Next Mon")
PACKS: Final = ("H-1", "H-2", "Q-1", "Q-2")
NAMES: Final = (*ITEMS, *SOLUTIONS, "Harbour", "Quay", "TIT", "EXT")
UNUSED: Final = ("old dye", "OLD", "Closed shop")
STATES: Final = ("usable", "quarantine", "reserved", "Usable", "broken")

LONG: Final = "x" * 40_000
TEXTS: Final = (
    "", " ", "\t", "caf\u00e9", "cafe\u0301", "#N/A", "=1+1", "'=1+1", "@home", "+44 1", "a\nb",
    "a\r\nb", "\u65e5\u672c\u8a9e", "\u043b\u0430\u0431 3", "\u202egnp", "\u200b",
    "\U0001f9ea", "\x1b[31mred",
    LONG, "x" * 500, "x" * 501, "Acetone", "SALT", "S1", "H-1", "Mon", "PO 1", "-5", "--by", "0",
    "None", "nan", "1e5", "2027-02-01", "a;b", 'a "quoted" word', "a,b",
    "stra\u00dfe", "STRASSE", "\u0130",
    "\udcff", "NULL", "x = 2 g", "%", "a\u00a0b", "\ufeffsalt", "salt ", "TRUE",
)  # fmt: skip
DAYS: Final = (
    "1899-12-31", "1900-01-01", "2026-12-31", "2028-02-29", "2027-02-29", "2999-12-31",
    "3000-01-01", "3027-01-31", "9999-12-31", "0001-01-01", "10000-01-01", "27-02-01", "", "today",
    "2998-06-30", "1927-02-01",
)  # fmt: skip
COUNTS: Final = (
    "0", "-1", "1", "2", "3", "999999", "1000000", "99999999999999999999", "1.5", "", "two",
    "\u0663",
)  # fmt: skip
AMOUNTS: Final = (
    "0 g", "0 mL", "0 each", "-1 g", "0.5 each", "1.5 each", "0.015 box", "1.5 box", "1e20 g",
    "100000000000000000000 mL", "999999999 g", "999999999 mL", "1,5 mL", "1 000 mL",
    "0.0000000001 mL", "0.000000001 g", "0.0000000005 mL", "NaN g", "inf mL", "", " ", "5", "mL",
    "\uff12 mL", "3 x 15 mL", "20 mL + 2 x 10 mL", "0.1 mol", "=1+1", "1e-400 g", "#N/A",
    "333.333333333333333333 mL", "1/3 g", "2 scoop", "1 drop", "1000000 each", LONG, "7 x 1 each",
)  # fmt: skip


class Typist:
    """Types one command after the other, as chance has it."""

    def __init__(self, chance: Random, seen: Seen) -> None:
        self._chance = chance
        self._seen = seen
        self._typed = 0

    def next_steps(self) -> list[Step]:
        """Return the next command, or two where one needs another before it."""
        self._typed += 1
        (command,) = self._chance.choices(list(_COMMANDS), list(_COMMANDS.values()))
        return list(command(self))

    # What is typed for one word of a command.

    def _often(self, share: float = 0.88) -> bool:
        return self._chance.random() < share

    def _one(self, several: Sequence[str]) -> str:
        return self._chance.choice(several)

    def text(self, *plausible: str) -> str:
        """Return a text: mostly one that fits, else any."""
        return self._one(plausible) if plausible and self._often() else self._one(TEXTS)

    def day(self) -> str:
        """Return a day: mostly one in February 2027."""
        if self._often():
            return (
                f"2027-{self._one(('01', '02', '02', '02', '03'))}-{self._chance.randint(1, 28):02}"
            )
        return self._one(DAYS)

    def count(self) -> str:
        """Return a number of packs or containers: mostly a small one."""
        return self._one(("1", "2", "3", "7")) if self._often() else self._one(COUNTS)

    def lot(self) -> str:
        """Return a lot's label: mostly of one that is there."""
        there = [row["lot"] for row in self._seen.lots]
        if not there or not self._often(0.92):
            return self.text("S9", "s1", "A2-1", *NAMES)
        return self._one(there)

    def unit(self, name: str) -> str:
        """Return the unit that a lot or an item is kept in."""
        units = {row["lot"]: row["unit"] for row in self._seen.lots}
        return units.get(name) or UNIT_OF.get(name, "mL")

    def amount(self, name: str) -> str:
        """Return an amount of a lot or an item: mostly one in its unit."""
        if not self._often(0.85):
            return self._one(AMOUNTS)
        if self.unit(name) == "each":
            return f"{self._one(('1', '2', '10', '43', '100', '429'))} each"
        return f"{self._one(('0.1', '5', '33.3', '50', '250', '1000', '2500'))} {self.unit(name)}"

    def name(self, *among: str) -> str:
        """Return what something is called: mostly by one of its names."""
        return self.text(*(among or NAMES), *self._seen.names)

    def signed(self, *options: str) -> tuple[str, ...]:
        """Return some of the options that say who, when and why, and others given."""
        words: list[str] = []
        for option in ("--by", "--on", "--reason", *options):
            if self._often(0.25):
                words += (option, _OPTIONS[option](self))
        return tuple(words)

    def trial(self) -> tuple[str, ...]:
        """Return now and then the option that only shows."""
        return ("--dry-run",) if self._often(0.04) else ()

    def step(self, *words: str, files: Mapping[str, Mapping[str, str]] | None = None) -> Step:
        """Return a command of a day: of the week that is planned, or about it."""
        days = ("2027-01-25", "2027-02-01", "2027-02-01", "2027-02-03", "2027-02-06", "2027-03-01")
        return Step(words, self._one(days), files or {})

    # Commands on lots.

    def receive(self) -> list[Step]:
        """Something comes in, of an item, into a lot, or of a pack on order."""
        more = self.signed("--lot", "--expiry", "--containers", "--place", "--batch-number")
        more += self.trial()
        if self._often(0.3):
            packs = self.signed("--packs", "--reference", "--expiry", "--lot", "--containers")
            return [self.step("stock", "receive", self.text(*PACKS), *packs)]
        what = self.lot() if self._often(0.3) else self.name(*ITEMS, *SOLUTIONS)
        return [self.step("stock", "receive", what, self.amount(what), *more)]

    def use(self) -> list[Step]:
        """Something is used of a lot or an item, now and then for a session."""
        what = self.lot() if self._often(0.5) else self.name(*ITEMS, *SOLUTIONS)
        words = ("stock", "use", what, self.amount(what), *self.signed(), *self.trial())
        return [self.step(*words, *(("--session", self.session()) if self._often(0.3) else ()))]

    def session(self) -> str:
        """Return a session's name."""
        return self.text(*SESSIONS)

    def use_session(self) -> list[Step]:
        """A session is booked out, or set right where it is booked out already."""
        words = ["stock", "use", "--session", self.session()]
        for option in ("--used", "--back"):
            if self._often(0.4):
                item = self.name(*ITEMS, *SOLUTIONS)
                words += (option, f"{item}={self.amount(item)}")
        words += ["--as-far-as-there-is"] if self._often(0.6) else []
        return [self.step(*words, *self.signed(), *self.trial())]

    def count_lot(self) -> list[Step]:
        """A lot is counted, often of an earlier day."""
        lot = self.lot()
        return [self.step("stock", "count", lot, self.amount(lot), *self.signed(), *self.trial())]

    def count_by_sheet(self) -> list[Step]:
        """A counting sheet is written, filled in and read back."""
        sheet = f"sheet-{self._typed}.xlsx"
        written = self.step("stock", "count", "--sheet", sheet)
        found = [
            (row, self.amount(self.lot()), self.text("", "chipped"))
            for row in range(self._chance.randint(1, 12))
            if self._often(0.4)
        ]
        words = ("stock", "count", "--sheet", sheet, *self.signed())
        read = Step(words, written.day, fill=(sheet, tuple(found)))
        between = self.use() if self._often(0.3) else []
        return [written, *between, read]

    def open(self) -> list[Step]:
        """A container is opened."""
        label = ("--as", self.text("A2-1", "S1", "N1")) if self._often(0.15) else ()
        on = ("--on", self.day()) if self._often(0.3) else ()
        return [self.step("stock", "open", self.lot(), *label, *on)]

    def move(self) -> list[Step]:
        """A lot is put elsewhere."""
        place = self.text("shelf 1", "cabinet A", "bench")
        return [self.step("stock", "move", self.lot(), place, *self.signed())]

    def change_state(self) -> list[Step]:
        """A lot is put aside or taken back."""
        return [self.step("stock", "state", self.lot(), self.text(*STATES), *self.signed())]

    def test(self) -> list[Step]:
        """A peroxide test is recorded."""
        lot = self._one(("E1", "E3", "E3-1")) if self._often(0.7) else self.lot()
        result = self.text("negative", "5 mg/L", "50 mg/L", "30 ppm", "1e9 mg/L")
        return [self.step("stock", "test", lot, "--result", result, *self.signed())]

    def discard(self) -> list[Step]:
        """Something is thrown away."""
        lot = self.lot()
        amount = (self.amount(lot),) if self._often(0.6) else ()
        stream = ("--stream", self.text("solvents", "aqueous")) if self._often(0.3) else ()
        why = ("--reason", self.text("out of date", "broken"))
        return [self.step("stock", "discard", lot, *amount, *why, *stream, *self.trial())]

    def make(self) -> list[Step]:
        """A solution is made, for the week's plan or of any volume."""
        what = self.name(*SOLUTIONS)
        of_plan = ("--week", self.text(WEEK, "2027-W06", "2026-W53", "2027-W54"))
        volume = ("--volume", self.amount("acetone"))
        used = ("--used", f"salt={self.amount('salt')}") if self._often(0.15) else ()
        chosen = of_plan if self._often(0.4) else volume
        more = self.signed("--lot", "--place")
        return [self.step("stock", "make", what, *chosen, *used, *more, *self.trial())]

    def print_labels(self) -> list[Step]:
        """Labels are printed, which reserves the numbers of batches."""
        week = self.text(WEEK, "2027-W06")
        of = ("--of", self.text("bottles", "waste")) if self._often(0.2) else ()
        by = self.signed()[:2]
        return [self.step("labels", "--week", week, *of, "--size", "105x148", *by)]

    # Waste containers.

    def stream(self) -> str:
        """Return the name of a waste stream."""
        return self.text("solvents", "aqueous", "Solvents", "fumes")

    def container(self) -> str:
        """Return a container's label, or the stream of the open one."""
        year = "W27-00"
        streams = ("solvents", "aqueous") * 3
        return self.text(*streams, f"{year}1", f"{year}2", f"{year}3", "can 1")

    def change_waste(self) -> list[Step]:
        """A container is opened, added to, measured or sealed; empty ones are counted."""
        amount, what = self.amount("acetone"), self.name(*ITEMS, *SOLUTIONS)
        item = ("--item", what) if self._often(0.4) else ()
        label = ("--as", self.text("can 1", "W27-002")) if self._often(0.2) else ()
        expected = ("--expected", self.day()) if self._often(0.5) else ()
        words = {
            "open": (self.stream(), *label),
            "add": (self.stream(), amount, *item),
            "measure": (self.container(), self.text(amount, "60 %", "0 mL", "3.9 L")),
            "seal": (self.container(),),
            "empty": (self.stream(), self.count()),
            "call": (self.stream(), self.stream(), *expected),
            "collect": ((self.container(),) if self._often(0.5) else ()),
        }
        # Enough to fill one, so that often there is something to collect or to measure.
        before = [self.step("waste", "add", self.stream(), self.text("9.5 L"))]
        command = self._one(tuple(words))
        step = self.step("waste", command, *words[command], *self.signed(), *self.trial())
        return [*(before if command in ("collect", "measure") else ()), step]

    # Names and orders.

    def rename(self) -> list[Step]:
        """Something gets another name."""
        new = self.text("salt (table)", "Salt", "propanone", "nitrile glove", "Harbour and Co")
        if len(new) < 60:
            self._seen.names.append(new)
        kinds = "item", "solution", "supplier", "practical"
        kind = ("--kind", self.text(*kinds)) if self._often(0.2) else ()
        return [self.step("stock", "rename", self.name(), new, *kind, *self.signed())]

    def change_session(self) -> list[Step]:
        """A session is moved, swapped, cancelled, added, or has other students."""
        session = self.session()
        room = ("--room", "B") if self._often(0.3) else ()
        words = {
            "students": (session, self.count()),
            "move": (session, self.day(), *room),
            "swap": (session, self.text("P", "Q")),
            "cancel": (session,),
            "add": (self.text("New", "mon"), "P", self.day(), "--students", self.count()),
        }
        what = self._one(tuple(words))
        return [self.step("session", what, *words[what], *self.signed(), *self.trial())]

    def retire(self) -> list[Step]:
        """Something is no longer used, or is again."""
        back = ("--reinstate",) if self._often(0.4) else ()
        name = self.text(*UNUSED) if self._often(0.5) else self.name()
        return [self.step("stock", "retire", name, *back, *self.signed())]

    def place_order(self) -> list[Step]:
        """What the week needs is ordered."""
        week = ("--week", self.text(WEEK, "2027-W06"))
        supplier = ("--supplier", self.name("Harbour", "Quay")) if self._often(0.4) else ()
        return [self.step("order", "place", *week, *supplier, *self.order_options())]

    def order_options(self) -> tuple[str, ...]:
        """Return some options of placing an order."""
        words: list[str] = []
        for option, value in (
            ("--reference", self.reference()), ("--today", self.day()), ("--by", self.text("Kim")),
            ("--reason", self.text("used up")),
        ):  # fmt: skip
            words += (option, value) if self._often(0.25) else ()
        return tuple(words)

    def reference(self) -> str:
        """Return an order's reference: often one that is on order."""
        return self.text("PO 1", "PO 2", "PO 3", *self._seen.references)

    def of_order(self) -> tuple[str, ...]:
        """Return the words that name an order."""
        named = (self.reference(),) if self._often(0.7) else ()
        return (*named, *(("--pack", self.text(*PACKS)) if self._often(0.5) else ()))

    def change_due(self) -> list[Step]:
        """An order comes on another day."""
        return [self.step("order", "due", *self.of_order(), "--to", self.day(), *self.signed())]

    def cancel(self) -> list[Step]:
        """An order will not come."""
        some = ("--packs", self.count()) if self._often(0.4) else ()
        return [self.step("order", "cancel", *self.of_order(), *some, *self.signed())]

    # Sets of tables, and the store's file.

    def load(self) -> list[Step]:
        """A small set is loaded: new rows, changed ones, with a count or without."""
        (name, rows) = self._chance.choice(list(_SETS.items()))
        folder = f"set-{self._typed}"
        tables = rows_of(name, *rows(self))
        more = ("--count",) if self._often(0.4) else ()
        return [self.step("load", folder, *more, files={folder: tables})]

    def stock_rows(self) -> list[dict[str, str]]:
        """Return changed rows of lots that are there, and now and then a new one."""
        rows = [dict(row) for row in self._chance.sample(list(self._seen.lots), k=1)]
        for row in rows:
            del row["number"], row["unit"], row["last_day"], row["minimum"]
            changed = self._one(("amount", "expiry", "place", "state", "containers", "opened"))
            row[changed] = self.cell(changed, row["lot"])
        new = {
            "lot": f"N{self._typed}",
            "item": self.name(*ITEMS),
            "amount": self.amount("acetone"),
        }
        return [*rows, new] if self._often(0.4) else rows

    def cell(self, column: str, lot: str) -> str:
        """Return what a cell of a lot may say."""
        cells: dict[str, Callable[[], str]] = {
            "amount": lambda: self.amount(lot),
            "expiry": self.day,
            "opened": self.day,
            "place": lambda: self.text("shelf 1"),
            "state": lambda: self.text(*STATES),
            "containers": self.count,
        }
        return cells[column]()

    def timetable_rows(self) -> list[dict[str, str]]:
        """Return a session that is moved, grown or new."""
        name = self.text(*SESSIONS, f"New {self._typed}")
        students = self.text("0", "3", "12", "-1", "99999999999999999999", "2.5")
        code = self.text("TIT", "EXT")
        return [{"session": name, "practical": code, "date": self.day(), "students": students}]

    def item_rows(self) -> list[dict[str, str]]:
        """Return an item that is new or has another minimum."""
        name, minimum = self.name(*ITEMS, f"thing {self._typed}"), self.amount("salt")
        kind, unit = self._chance.choice(
            [("reagent", "g"), ("solvent", "mL"), ("consumable", "each")]
        )
        return [{"item": name, "kind": kind, "unit": unit, "minimum": minimum}]

    def order_rows(self) -> list[dict[str, str]]:
        """Return a row of what is on order."""
        row = {"pack": self.text(*PACKS), "packs": self.count(), "due": self.day()}
        return [{**row, "reference": self.reference()}]

    def stream_rows(self) -> list[dict[str, str]]:
        """Return a waste stream with other containers."""
        row = {"stream": self.stream(), "measure": self.text("volume", "volume", "mass")}
        row["part_full"] = self.text("", self.amount("acetone"))
        return [{**row, "empty_containers": self.text("", self.count()), "container": "2 L"}]

    def supplier_rows(self) -> list[dict[str, str]]:
        """Return a supplier with another lead time."""
        return [{"supplier": self.name("Harbour", "Quay"), "lead_days": self.count()}]

    def setting_rows(self) -> list[dict[str, str]]:
        """Return a setting."""
        return [
            {
                "setting": self.text("prep_lead", "holidays", "working_days", "spare solution"),
                "value": self.text("1", "2027-02-02", "Mon-Sat", "10 %", "0", "366"),
            }
        ]

    def back_up(self) -> list[Step]:
        """The store is copied, and often the copy is put back later."""
        copy = f"copy-{self._typed}.db"
        self._seen.backups.append(copy)
        return [self.step("backup", copy)]

    def restore(self) -> list[Step]:
        """A copy is put back."""
        return [self.step("restore", self.text(*self._seen.backups, "none.db", "now"))]

    def undo(self) -> list[Step]:
        """An entry is undone: mostly one of the latest."""
        last = self._seen.last_entry
        entry = str(self._chance.randint(max(1, last - 6), last + 1))
        number = entry if self._often(0.7) else str(self._chance.randint(1, last + 1))
        number = number if self._often(0.95) else self._one(COUNTS)
        return [self.step("stock", "undo", number, *self.signed()[:2], *self.trial())]


_OPTIONS: Final[Mapping[str, Callable[[Typist], str]]] = {
    "--by": lambda typist: typist.text("Kim", "Ana"),
    "--on": Typist.day,
    "--reason": lambda typist: typist.text("spilt", "used up", "checked"),
    "--lot": lambda typist: typist.text("N1", "N2", "A1", "S1"),
    "--expiry": Typist.day,
    "--containers": Typist.count,
    "--place": lambda typist: typist.text("shelf 1", "cabinet A"),
    "--batch-number": lambda typist: typist.text("B-77", "b-77"),
    "--packs": Typist.count,
    "--reference": Typist.reference,
}

_COMMANDS: Final[Mapping[Callable[[Typist], list[Step]], int]] = {
    Typist.receive: 14, Typist.use: 10, Typist.use_session: 9, Typist.count_lot: 9,
    Typist.count_by_sheet: 3, Typist.open: 8, Typist.move: 4, Typist.change_state: 4,
    Typist.test: 4, Typist.discard: 6, Typist.make: 8, Typist.rename: 5, Typist.retire: 4,
    Typist.change_session: 6, Typist.change_waste: 12, Typist.print_labels: 2,
    Typist.place_order: 4, Typist.change_due: 4, Typist.cancel: 4, Typist.load: 6,
    Typist.back_up: 4, Typist.restore: 5, Typist.undo: 14,
}  # fmt: skip
"""What is typed, and how often beside the others."""

_SETS: Final[Mapping[str, Callable[[Typist], list[dict[str, str]]]]] = {
    "stock": Typist.stock_rows,
    "timetable": Typist.timetable_rows,
    "items": Typist.item_rows,
    "on_order": Typist.order_rows,
    "suppliers": Typist.supplier_rows,
    "waste_streams": Typist.stream_rows,
    "settings": Typist.setting_rows,
}
