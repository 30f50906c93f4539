"""Laws over all that happens to lots: a store is held to a model of dictionaries, step by step.

The environment variable LAWS_TIMES lets it go on longer.
"""

import os
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    rule,
    run_state_machine_as_test,
)

from prepstore.amounts import in_billionths
from prepstore.cell_types import LotState, fold
from prepstore.chemistry.conversions import in_unit
from prepstore.cli.booking_options import Hand
from prepstore.cli.recording import record_checked
from prepstore.cli.rooms import department_in, rows_in, shelf_in
from prepstore.cli.stock_undo import undone_in
from prepstore.ledger.load import written_rows
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import (
    Asked,
    record,
    recorded,
    recorded_of,
    session_uses,
)
from prepstore.ledger.place import Place
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, Movement, Signed
from prepstore.problems import RefusedError
from prepstore.shelf.asked import of_number, quantity
from prepstore.shelf.counting import counted, recorded_as
from prepstore.shelf.discarding import discarded
from prepstore.shelf.handling import moved, opened, state_changed
from prepstore.shelf.making import NewBottle, made, solution_named, volume_of
from prepstore.shelf.receiving import Coming, received
from prepstore.shelf.session_use import (
    Really,
    is_booked_out,
    session_corrected,
    session_named,
    session_used,
)
from prepstore.shelf.shelf import Department
from prepstore.shelf.using import used_of_item, used_of_lot
from prepstore.tables.intake import NOTHING_HELD, intake
from prepstore.tables.units import read_amount
from prepstore.written import WrittenRow
from tests.ledger.rows_of import put
from tests.servers import Server

TIMES = int(os.environ.get("LAWS_TIMES", "1"))
DAY = date(2027, 2, 1)
ITEMS = ("acetone", "salt")
LABELS = ("A1", "A2", "S1", "B1")
PLACES = ("shelf 1", "shelf 2")
AMOUNTS = st.decimals(min_value=0, max_value=2000, places=3)
DAYS = st.integers(0, 30).map(lambda days: DAY + timedelta(days=days))

TABLES = {
    "items": "item,kind,unit\nacetone,solvent,mL\nsalt,reagent,g\nwater,solvent,mL",
    "solutions": "solution,shelf_life\nbrine,14",
    "solution_parts": "solution,item,amount\nbrine,salt,20 % w/v\nbrine,water,to volume",
    "practicals": "practical,title\nP,A practical",
    "practical_lines": "practical,item,amount,per\nP,acetone,100 mL,session\nP,salt,5 g,session",
    "timetable": "session,practical,date,students\nMon,P,2027-02-01,1\nTue,P,2027-02-02,1",
    "stock": "lot,item,amount,containers,expiry\nA1,acetone,1 L,,2027-02-20\nA2,acetone,1 L,3,"
    "\nS1,salt,1 kg,,",
}


def _rows() -> dict[str, list[WrittenRow]]:
    found = {}
    for table, csv in TABLES.items():
        heading, *lines = (line.split(",") for line in csv.split("\n"))
        found[table] = [
            WrittenRow(
                table, number, table, {c: x for c, x in zip(heading, cells, strict=True) if x}
            )
            for number, cells in enumerate(lines, start=2)
        ]
    return found


@dataclass
class Lot:
    """What the model knows of a lot."""

    item: str
    held: int
    cells: dict[str, str] = field(default_factory=dict)
    is_gone: bool = False


class Stores(RuleBasedStateMachine):
    """Everything that can happen to lots, in any order, with any amounts."""

    @staticmethod
    def kept_in(folder: Path) -> Place:
        """Return a place without a store."""
        return folder / "prepstore.db"

    @initialize()
    def begin(self) -> None:
        """Load a small department."""
        self.folder = TemporaryDirectory()
        self.path = self.kept_in(Path(self.folder.name))
        self.lots: dict[str, Lot] = {}
        self.entries: list[tuple[int, list[Movement]]] = []
        rows = _rows()
        taken = intake(rows, {}, [], held=NOTHING_HELD, count=False)
        with writing(self.path) as connection:
            put(connection, rows)
            booking = Booking(movements=taken.movements)
            self._note(record(connection, booking, _signed(), rows_follow=False), booking)
        for row in rows["stock"]:
            lot = self.lots[row.key[0]]
            lot.item = row.text["item"]
            lot.cells = {"containers": row.text.get("containers", "")}

    def teardown(self) -> None:
        """Check the whole file, and remove it."""
        if hasattr(self, "folder"):
            with reading(self.path) as connection:
                assert list(faults(connection)) == []
            self.folder.cleanup()

    def _do(self, decide: object, *, whole: bool = False) -> None:
        """Record what is decided, in the store and in the model; what is refused is in neither."""
        with suppress(RefusedError), writing(self.path) as connection:
            shelf = department_in(connection, DAY) if whole else shelf_in(connection)
            booking: Booking = decide(shelf, connection)  # type: ignore[operator]
            entry = record_checked(connection, booking, _signed())
            self._note(entry, booking)

    def _note(self, entry: int, booking: Booking) -> None:
        for cells in booking.new_lots:
            self.lots[fold(cells["lot"])] = Lot(cells["item"], 0, dict(cells))
        for label, why in booking.gone.items():
            self.lots[label].is_gone = bool(why)
        for movement in booking.movements:
            lot = self.lots.setdefault(fold(movement.lot), Lot("", 0))
            lot.held += movement.billionths
            if movement.change is not None:
                assert lot.cells.get(movement.change.column, "") == movement.change.was
                lot.cells[movement.change.column] = movement.change.now
        self.entries.append((entry, list(booking.movements)))

    @rule(item=st.sampled_from(ITEMS), amount=AMOUNTS, label=st.sampled_from(LABELS))
    def receive(self, item: str, amount: object, label: str) -> None:
        """Something comes in, into a new lot or into one that is there."""

        def decide(shelf: Department, _: object) -> Booking:
            material = shelf.material(item)
            came = quantity(material, read_amount(f"{amount} {material.unit}"))
            return received(shelf, Coming(material=material, amount=came, day=DAY, label=label))

        self._do(decide)

    @rule(label=st.sampled_from(LABELS), amount=AMOUNTS)
    def use_lot(self, label: str, amount: object) -> None:
        """Something is used of a lot."""

        def decide(shelf: Department, _: object) -> Booking:
            held = shelf.lot(label)
            wanted = quantity(held.material, read_amount(f"{amount} {held.unit}"))
            return Booking(movements=(used_of_lot(held, wanted),))

        self._do(decide)

    @rule(item=st.sampled_from(ITEMS), amount=AMOUNTS, on=DAYS)
    def use_item(self, item: str, amount: object, on: date) -> None:
        """Something is used of an item, first to expire first."""

        def decide(shelf: Department, _: object) -> Booking:
            material = shelf.material(item)
            wanted = quantity(material, read_amount(f"{amount} {material.unit}"))
            return Booking(movements=used_of_item(shelf, material, wanted, on))

        self._do(decide)

    @rule(label=st.sampled_from(LABELS), amount=AMOUNTS)
    def count(self, label: str, amount: object) -> None:
        """A lot is counted; afterwards it holds what was found."""

        def decide(shelf: Department, connection: object) -> Booking:
            held = shelf.lot(label)
            written = read_amount(f"{amount} {held.unit}")
            asked = quantity(held.material, written, may_be_nothing=True)
            (history,) = recorded_of(connection, [label]).values()  # type: ignore[arg-type]
            return recorded_as([counted(held, asked, history, DAY)], None)

        self._do(decide)
        if fold(label) in self.lots and not self.lots[fold(label)].is_gone:
            assert self.lots[fold(label)].held == in_billionths(amount)  # type: ignore[arg-type]

    @rule(label=st.sampled_from((*LABELS, "A2-1", "A2-2")))
    def open_one(self, label: str) -> None:
        """A container is opened."""
        self._do(lambda shelf, _: opened(shelf, shelf.lot(label), DAY))

    @rule(label=st.sampled_from(LABELS), place=st.sampled_from(PLACES))
    def move(self, label: str, place: str) -> None:
        """A lot is put somewhere else."""
        self._do(lambda shelf, _: Booking(movements=(moved(shelf.lot(label), place),)))

    @rule(label=st.sampled_from(LABELS), state=st.sampled_from(LotState))
    def change_state(self, label: str, state: LotState) -> None:
        """A lot is put aside, or taken back."""
        self._do(lambda shelf, _: Booking(movements=(state_changed(shelf.lot(label), state),)))

    @rule(label=st.sampled_from(LABELS), everything=st.booleans(), amount=AMOUNTS)
    def discard(self, label: str, everything: bool, amount: object) -> None:  # noqa: FBT001
        """Something is thrown away."""

        def decide(shelf: Department, _: object) -> Booking:
            held = shelf.lot(label)
            wanted = None if everything else of_number(amount)  # type: ignore[arg-type]
            return Booking(movements=(discarded(held, wanted, None),))

        self._do(decide)

    @rule(volume=st.integers(1, 1000))
    def make(self, volume: int) -> None:
        """A solution is made."""

        def decide(shelf: Department, _: object) -> Booking:
            asked = quantity(shelf.material("brine"), read_amount(f"{volume} mL"))
            batch = volume_of(shelf, solution_named(shelf, "brine"), asked)
            return made(shelf, batch, {"water": 0 * asked.number}, NewBottle(DAY))

        self._do(decide, whole=True)

    @rule(name=st.sampled_from(("Mon", "Tue")), item=st.sampled_from(ITEMS), used=AMOUNTS)
    def use_session(self, name: str, item: str, used: object) -> None:
        """A session is booked out with something of its own, or set right."""

        def decide(shelf: Department, connection: object) -> Booking:
            session = session_named(shelf.timetable, name)
            really = {item: Really(used=used)}  # type: ignore[arg-type]
            so_far = session_uses(connection, session=name)  # type: ignore[arg-type]
            if not is_booked_out(so_far):
                return session_used(shelf, session, really, so_far)
            taken = recorded(connection, Asked(session=name))  # type: ignore[arg-type]
            return session_corrected(shelf, so_far, taken, really)

        self._do(decide, whole=True)

    @rule(which=st.integers(0, 10**6))
    def undo(self, which: int) -> None:
        """Any entry is undone, unless something stands in the way."""
        number, _ = self.entries[which % len(self.entries)]
        with suppress(RefusedError), writing(self.path) as connection:
            booking = undone_in(connection, number, Hand("Kim", DAY)).booking
            self._note(record_checked(connection, booking, _signed()), booking)

    @invariant()
    def the_store_is_what_the_model_is(self) -> None:
        """Amounts, cells and history agree, and nothing is below nothing."""
        if not hasattr(self, "path"):
            return
        with reading(self.path) as connection:
            held = balances(connection)
            assert held == {label: lot.held for label, lot in self.lots.items()}
            assert min(held.values()) >= 0
            rows = written_rows(connection, "stock")["stock"]
            there = {label for label, lot in self.lots.items() if not lot.is_gone}
            assert {row.key[0] for row in rows} == there
            for row in rows:
                cells = self.lots[row.key[0]].cells
                for column in ("opened", "place", "state", "containers"):
                    assert row.text.get(column, "") == cells.get(column, ""), column
            history = recorded(connection, Asked())
            assert list(dict.fromkeys(one.entry for one in history)) == [
                entry for entry, movements in self.entries if movements
            ]
            reversed_by = {
                one.movement.reverses: one.entry for one in history if one.movement.reverses
            }
            assert all(one.undone_by == reversed_by.get(one.number) for one in history)
            used: dict[tuple[str, str], int] = {}
            for use in session_uses(connection):
                key = use.session, use.item
                used[key] = used.get(key, 0) + use.used
            assert all(figure >= 0 for figure in used.values())
            shelf = shelf_in(connection)
            for row in rows_in(connection)["stock"]:
                holding = shelf.lots[row.key[0]]
                said = in_unit(holding.material, read_amount(row.text["amount"]))
                assert in_billionths(said) == in_billionths(holding.amount)


def _signed() -> Signed:
    return Signed(by="Kim", on_day=DAY, at_utc="2027-02-01T09:00:00.000000+00:00")


FEW = settings(max_examples=5 * TIMES, stateful_step_count=20, deadline=None)

TestStores = Stores.TestCase
TestStores.settings = FEW


@pytest.mark.server
@pytest.mark.law
def test_the_same_holds_on_a_server(server: Server) -> None:
    place = server.fresh()

    class OnAServer(Stores):
        """The same, each time in the same database, emptied."""

        @staticmethod
        def kept_in(folder: Path) -> Place:  # noqa: ARG004 - as in a file
            return server.emptied(place)

    run_state_machine_as_test(OnAServer, settings=FEW)
