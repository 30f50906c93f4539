"""A store in which things are bought, opened, made, used and thrown away, each in a line."""

from collections.abc import Callable, Mapping
from pathlib import Path
from textwrap import dedent
from typing import Any

from prepstore.cli.booking_options import Hand
from prepstore.cli.loading import take_in
from prepstore.cli.lots_then import Priced, lots_of_day, priced
from prepstore.cli.recording import record_checked
from prepstore.cli.rooms import department_in, shelf_in, signed
from prepstore.cli.stock_undo import undone_in
from prepstore.ledger.movements import Asked, recorded, recorded_of
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, Change, Movement, What
from prepstore.problems import RefusedError
from prepstore.recorded import standing
from prepstore.shelf.asked import Quantity, in_digits, quantity
from prepstore.shelf.counting import counted, recorded_as
from prepstore.shelf.discarding import discarded
from prepstore.shelf.handling import changed, opened
from prepstore.shelf.making import NewBottle, made, solution_named, volume_of
from prepstore.shelf.past import Lots
from prepstore.shelf.prices import Cost
from prepstore.shelf.receiving import Bought, Coming, received
from prepstore.shelf.session_use import further_use, session_named
from prepstore.shelf.shelf import Department
from prepstore.shelf.using import used_of_lot
from prepstore.tables.read import read_set
from prepstore.tables.units import read_amount
from tests.builders import day

TABLES = {
    "items": """
        item,kind,unit,formula,supply,storage
        acetone,solvent,mL,,,flammables
        salt,reagent,g,NaCl,,dry store
        dye,reagent,g,,,dry store
        water,solvent,mL,,made on site,
        glove,consumable,each,,,
    """,
    "solutions": "solution,shelf_life,storage\nbrine,,shelf B\ndyed brine,,",
    "solution_parts": """
        solution,item,amount
        brine,salt,20 % w/v
        brine,water,to volume
        dyed brine,brine,500 mL/L
        dyed brine,dye,1 g/L
        dyed brine,water,to volume
    """,
    "suppliers": "supplier,lead_days\nHarbour,0\nQuay,0",
    "packs": """
        pack,item,supplier,size,price
        H1,acetone,Harbour,1 L,8
        H2,acetone,Harbour,2.5 L,15
        S1,salt,Quay,1 kg,5
        G1,glove,Quay,3 each,1
    """,
    "practicals": "practical,title\nP,A practical\nQ,Another",
    "practical_lines": "practical,item,amount,per\nP,acetone,100 mL,session\nQ,salt,1 g,session",
    "timetable": """
        session,practical,date,students
        Mon,P,2027-02-01,1
        Mon late,P,2027-02-01,1
        Tue,P,2027-02-02,1
        Wed,Q,2027-02-03,1
    """,
}
FIRST = "02-01"


class MoneyStore:
    """A store on which one thing after the other is recorded, each on a day of 2027."""

    def __init__(self, folder: Path, place: Place, **tables: str) -> None:
        self.path = place
        self.load(folder / "set", {**TABLES, **tables})

    def load(self, folder: Path, tables: Mapping[str, str]) -> None:
        """Load tables, written into a new folder."""
        folder.mkdir()
        for table, text in tables.items():
            csv = dedent(text).strip() + "\n"
            (folder / f"{table}.csv").write_text(csv, encoding="utf-8")
        take_in(self.path, *read_set(folder), count=False)

    def do(self, decide: Callable[[Any], Booking], on: str, *, whole: bool = False) -> int:
        """Record what is decided as of a day; return its entry."""
        with writing(self.path) as connection:
            shelf = department_in(connection, day(on)) if whole else shelf_in(connection)
            return record_checked(connection, decide(shelf), signed("Kim", day(on)))

    def receive(
        self, item: str, amount: str, lot: str, *paid: str, on: str = FIRST, containers: int = 1
    ) -> int:
        """Receive an amount, into a lot or a new one: its price, and who sold it."""

        def decide(shelf: Department) -> Booking:
            material = shelf.material(item)
            known = lot.casefold() in shelf.lots
            return received(
                shelf,
                Coming(
                    material=material,
                    amount=quantity(material, read_amount(amount)),
                    day=day(on),
                    label=lot,
                    containers=None if known else containers,
                    bought=Bought(*paid),
                ),
            )

        return self.do(decide, on)

    def use(self, lot: str, amount: str, on: str = FIRST, session: str | None = None) -> int:
        """Use some of a lot, for a session or for nothing that is known."""

        def decide(shelf: Department) -> Booking:
            used = Booking(movements=(used_of_lot(shelf.lot(lot), _asked(shelf, lot, amount)),))
            if session is None:
                return used
            return further_use(shelf, session_named(shelf.timetable, session), used)

        return self.do(decide, on, whole=session is not None)

    def bring_back(self, lot: str, amount: str, session: str, on: str = FIRST) -> int:
        """Bring some of what a session used back into a lot."""

        def decide(shelf: Department) -> Booking:
            held = shelf.lot(lot)
            back = Movement(
                lot=held.label,
                what=What.RETURNED,
                billionths=_asked(shelf, lot, amount).billionths,
                unit=held.unit,
            )
            return further_use(
                shelf, session_named(shelf.timetable, session), Booking(movements=(back,))
            )

        return self.do(decide, on, whole=True)

    def discard(self, lot: str, amount: str, on: str = FIRST) -> int:
        """Throw some of a lot away."""
        return self.do(
            lambda shelf: Booking(
                movements=(discarded(shelf.lot(lot), _asked(shelf, lot, amount), None),)
            ),
            on,
        )

    def open(self, lot: str, on: str = FIRST) -> int:
        """Open a container of a lot."""
        return self.do(lambda shelf: opened(shelf, shelf.lot(lot), day(on)), on)

    def make(self, name: str, volume: str, lot: str, on: str = FIRST) -> int:
        """Make a solution as its parts say."""

        def decide(shelf: Department) -> Booking:
            asked = quantity(shelf.material(name), read_amount(volume))
            batch = volume_of(shelf, solution_named(shelf, name), asked)
            return made(shelf, batch, {}, NewBottle(day(on), lot))

        return self.do(decide, on)

    def count(self, lot: str, amount: str, on: str = FIRST) -> int:
        """Count a lot."""

        def decide(shelf: Department) -> Booking:
            with reading(self.path) as connection:
                (history,) = recorded_of(connection, [lot]).values()
            found = _asked(shelf, lot, amount)
            return recorded_as([counted(shelf.lot(lot), found, history, day(on))], None)

        return self.do(decide, on)

    def change(self, lot: str, column: str, now: str, on: str = FIRST) -> int:
        """Change a cell of a lot's row."""

        def decide(shelf: Department) -> Booking:
            held = shelf.lot(lot)
            return Booking(movements=(changed(held, What.CORRECTED, column, "", now),))

        return self.do(decide, on)

    def relabel(self, lot: str, label: str, on: str = FIRST) -> int:
        """Put all of a lot under a new label: out of the one, into the other."""

        def decide(shelf: Department) -> Booking:
            held = shelf.lot(lot)
            if label.casefold() in shelf.lots:
                raise RefusedError(f"There is a lot {label} already.")
            change = Change(column="label", was=held.label, now=label)
            all_of_it = Quantity(held.amount, "").billionths
            old, new = (
                Movement(
                    lot=name,
                    what=What.CORRECTED,
                    billionths=billionths,
                    unit=held.unit,
                    change=change,
                    item=item,
                )
                for name, billionths, item in (
                    (held.label, -all_of_it, None),
                    (label, all_of_it, held.lot.item),
                )
            )
            cells = {
                "lot": label,
                "item": held.lot.item,
                "amount": in_digits(held.amount, held.material),
            }
            return Booking(
                movements=(old, new), new_lots=(cells,), gone={lot.casefold(): "relabelled"}
            )

        return self.do(decide, on)

    def undo(self, entry: int, on: str = FIRST) -> int:
        """Undo an entry."""
        with writing(self.path) as connection:
            booking = undone_in(connection, entry, Hand("Kim", day(on))).booking
            return record_checked(connection, booking, signed("Kim", day(on)))

    def priced(self, last: str = "12-31") -> Priced:
        """Return what a unit of each lot cost, by all that is dated up to a day."""
        with reading(self.path) as connection:
            history = standing(recorded(connection, Asked(last_day=day(last))))
            return priced(connection, shelf_in(connection), history, day(last))

    def price(self, lot: str, last: str = "12-31") -> Cost:
        """Return what a unit of a lot cost."""
        return self.priced(last).prices.by_lot[lot.casefold()]

    def lots(self, on: str) -> Lots:
        """Return the lots as they stood on a day."""
        with reading(self.path) as connection:
            return lots_of_day(connection, day(on))

    def now(self) -> Lots:
        """Return the lots as they are."""
        with reading(self.path) as connection:
            return lots_of_day(connection, None)


def _asked(shelf: Department, lot: str, amount: str) -> Quantity:
    return quantity(shelf.lot(lot).material, read_amount(amount), may_be_nothing=True)
