"""What a store keeps beside the tables of a set, as tables that travel with them.

These classes are the only list of their columns, as `facts` is of those of a set: the writer, the
reader, the checks, the store and the reference page follow. Each row has a number of its own, so
that in another store it is the same entry and the same movement.
"""

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final, NewType

from prepstore.cell_types import Name, StockUnit
from prepstore.columns import TABLES, Table
from prepstore.containers import ContainerState, ContainerWhat
from prepstore.facts import Lot, column
from prepstore.lot_labels import LabelWhat
from prepstore.movements import NameWhat, OrderWhat, What

Number = NewType("Number", int)
"""A whole number above 0 that names a row."""

Billionths = NewType("Billionths", int)
"""A figure in an item's unit, below 0 as well, written in digits and held in whole billionths."""

Packs = NewType("Packs", int)
"""So many packs more, or fewer where below 0."""

Day = NewType("Day", datetime.date)
"""Any day there is; an older version recorded years that no table takes."""

Instant = NewType("Instant", str)
"""An instant of ISO 8601 with its offset from UTC, as it was recorded."""

Digits = NewType("Digits", str)
"""A price in the digits in which it was recorded."""

Verbatim = NewType("Verbatim", str)
"""A text that is kept letter for letter, spaces included."""


class StreamUnit(StrEnum):
    """What a waste stream adds up in."""

    GRAM = "g"
    MILLILITRE = "mL"


class NamedTable(StrEnum):
    """The tables whose things can be renamed and retired."""

    ITEMS = "items"
    SOLUTIONS = "solutions"
    SUPPLIERS = "suppliers"
    PRACTICALS = "practicals"


ChangedCell = NewType("ChangedCell", str)
"""What of a lot a movement changes: a cell of its row, or the label that it goes by."""

TimetableCell = NewType("TimetableCell", str)
"""A column of the timetable."""

CHANGED_CELLS: Final = (*TABLES["stock"].columns, "label")


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptEntry:
    """All that was recorded in one go: who recorded it, of which day, when, and why."""

    entry: Number = column("Its number, by which it is undone.", "17")
    day: Day = column("The day on which it happened.", "2027-03-08")
    at_utc: Instant = column("When it was recorded.", "2027-03-08T16:40:12.000000+00:00")
    by: Verbatim = column("Who recorded it.", "Kim")
    session: Verbatim | None = column("The session that it was for.", "W10-Mon-4", default=None)
    reason: Verbatim | None = column("Why.", "weighed", default=None)
    database_user: Verbatim | None = column(
        "As whom the database's server knew that person; blank where the store was in a file.",
        "prep_kim",
        default=None,
    )
    taken_in: Verbatim | None = column(
        "The instant at which it was taken in from a copy, in UTC; blank where it was not.",
        "2027-03-10T07:30:00.000000+00:00",
        default=None,
    )
    taken_from: Verbatim | None = column("The name of that copy.", "tuesday.db", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptMovement:
    """One thing that happened to one lot."""

    movement: Number = column("Its number.", "31")
    entry: Number = column("The entry that it was recorded with.", "17")
    lot: Name = column("The lot's label.", "L0231")
    what: What = column("What happened.", "used")
    change: Billionths = column("How much more the lot holds then, in its unit.", "-25.5")
    unit: StockUnit = column("The unit of the change.", "mL")
    written: Verbatim | None = column("The amount as it was typed.", "25.5 mL", default=None)
    changed: ChangedCell | None = column(
        "The cell of the lot's row that changed.", "place", default=None
    )
    was: Verbatim | None = column("What was in that cell.", "shelf B3", default=None)
    now: Verbatim | None = column("What is there now.", "shelf B4", default=None)
    stream: Verbatim | None = column(
        "The waste stream it went to.", "halogenated solvent", default=None
    )
    order: Verbatim | None = column(
        "The delivery it came with.", "PO 1187, 2 x HC-1021-1KG", default=None
    )
    reverses: Number | None = column("The movement that this one undoes.", "28", default=None)
    item: Verbatim | None = column(
        "Where a lot begins: what is in it, by its name at that time.",
        "sodium chloride",
        default=None,
    )
    note: Verbatim | None = column("A note about this lot alone.", "lid was loose", default=None)
    paid: Digits | None = column("The price that was paid.", "12.40", default=None)
    supplier: Verbatim | None = column("Who sold it.", "Harbour Chemicals", default=None)
    delivery_note: Verbatim | None = column(
        "The paper that came with it.", "DN 20417", default=None
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptSessionUse:
    """What a session was planned to use of an item, and what it used; rows add up."""

    session_use: Number = column("Its number.", "12")
    entry: Number = column("The entry that it was recorded with.", "17")
    session: Verbatim = column("The session.", "W10-Mon-4")
    session_date: Day = column("Its day.", "2027-03-08")
    practical: Verbatim = column("Its practical, by its name at that time.", "PHY-04")
    item: Verbatim = column("The item or solution, by its name at that time.", "acetone")
    unit: StockUnit = column("The unit of the figures.", "mL")
    planned: Billionths = column("How much was planned.", "250")
    used: Billionths = column("How much was used.", "225.5")
    lacked: Billionths = column(
        "How much of what it needed was missing.", "0", default=Billionths(0)
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptOrderChange:
    """One thing that happened to packs on order."""

    order_change: Number = column("Its number.", "5")
    entry: Number = column("The entry that it was recorded with.", "17")
    what: OrderWhat = column("What happened.", "placed")
    pack: Verbatim = column("The pack's code.", "HC-1021-1KG")
    packs: Packs = column("How many more are to come then; below 0: fewer.", "2")
    due: Day = column("The day on which they are due.", "2027-02-01")
    reference: Verbatim = column("The order's reference.", "PO 1187", default=Verbatim(""))
    price: Digits | None = column("Price of one pack as it was ordered.", "12.40", default=None)
    reverses: Number | None = column("The change that this one undoes.", "3", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptNameChange:
    """A name that gave way to another, or was retired, or came back into use."""

    name_change: Number = column("Its number.", "1")
    entry: Number = column("The entry that it was recorded with.", "17")
    what: NameWhat = column("What happened.", "renamed")
    table: NamedTable = column("The table of the thing.", "items")
    was: Verbatim = column("Its name before.", "wash acetone")
    now: Verbatim = column(
        "Its name afterwards; of what was retired or came back, the day of its retirement.",
        "acetone, technical",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptTimetableChange:
    """A cell of a session in the timetable that changed."""

    timetable_change: Number = column("Its number.", "1")
    entry: Number = column("The entry that it was recorded with.", "17")
    session: Verbatim = column("The session.", "W10-Mon-4")
    changed: TimetableCell = column("The column that changed.", "students")
    was: Verbatim = column("What was there.", "24", default=Verbatim(""))
    now: Verbatim = column("What is there now.", "26", default=Verbatim(""))


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptContainerChange:
    """One thing that happened to a waste container or to empty ones; or a collection called."""

    container_change: Number = column("Its number.", "4")
    entry: Number = column("The entry that it was recorded with.", "17")
    stream: Verbatim = column("The waste stream.", "halogenated solvent")
    container: Verbatim | None = column(
        "The container's label; blank where it is of the empty ones alone, or of a collection that "
        "was called.",
        "W27-003",
        default=None,
    )
    what: ContainerWhat = column("What happened.", "filled")
    change: Billionths = column("How much more is in it then.", "450", default=Billionths(0))
    unit: StreamUnit = column("The unit of the change.", "mL")
    written: Verbatim | None = column("The amount as it was typed.", "450 mL", default=None)
    was: ContainerState | None = column(
        "Its state before, where that changed; blank where it was not there.",
        "open",
        default=None,
    )
    now: ContainerState | None = column(
        "Its state then; blank where it is not there, or where that did not change.",
        "sealed",
        default=None,
    )
    empty: Packs = column("How many more empty ones there are then.", "-1", default=Packs(0))
    item: Verbatim | None = column(
        "What was poured in, by its name at that time; blank where that is not known.",
        "acetone",
        default=None,
    )
    item_change: Billionths = column(
        "How much of the item more is in it then.", "450", default=Billionths(0)
    )
    item_unit: StockUnit | None = column("The unit in which the item is kept.", "mL", default=None)
    lot: Verbatim | None = column("The lot that was discarded.", "L0243", default=None)
    expected: Day | None = column(
        "The day on which the collection that was called is expected.", "2027-03-12", default=None
    )
    reverses: Number | None = column("The change that this one undoes.", "3", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptLabelChange:
    """A label that was reserved for a batch by printing it, or freed again."""

    label_change: Number = column("Its number.", "1")
    entry: Number = column("The entry that it was recorded with.", "17")
    what: LabelWhat = column("What happened.", "reserved")
    label: Verbatim = column("The label.", "2027-03-08-1")
    solution: Verbatim = column(
        "The solution, by its name at that time.", "hydrochloric acid 2 mol/L"
    )
    make_on: Day = column("The day on which the batch was to be made.", "2027-03-08")


@dataclass(frozen=True, slots=True, kw_only=True)
class FormerLot(Lot):
    """A lot that is there no longer, but has a history: its row as it stood last."""

    gone: Verbatim = column("Why it is no longer there.", "undone")
    above_row: Number = column("The row of stock above which it was.", "14")
    label_taken_by: Number | None = column(
        "The entry with which another lot got its label; blank where none has it.",
        "21",
        default=None,
    )


HISTORY: Final[Mapping[str, Table]] = {
    table.name: table
    for table in (
        Table("entries", KeptEntry, ("entry",)),
        Table("movements", KeptMovement, ("movement",)),
        Table("session_uses", KeptSessionUse, ("session_use",)),
        Table("order_changes", KeptOrderChange, ("order_change",)),
        Table("name_changes", KeptNameChange, ("name_change",)),
        Table("timetable_changes", KeptTimetableChange, ("timetable_change",)),
        Table("container_changes", KeptContainerChange, ("container_change",)),
        Table("label_changes", KeptLabelChange, ("label_change",)),
        Table("former_lots", FormerLot, ("lot", "label_taken_by")),
    )
}
"""Every table of a history, in the order they are read and written; the key is the first column."""

YOUNGER: Final = frozenset({"timetable_changes", "container_changes", "label_changes"})
"""Tables that histories of older versions lack; nothing is in them then."""

EVERY_TABLE: Final[Mapping[str, Table]] = {**TABLES, **HISTORY}
"""The tables of a set, and those of a history behind them."""


@dataclass(frozen=True, slots=True)
class History:
    """The rows of a history, each table in the order of its numbers."""

    entries: tuple[KeptEntry, ...]
    movements: tuple[KeptMovement, ...]
    session_uses: tuple[KeptSessionUse, ...]
    order_changes: tuple[KeptOrderChange, ...]
    name_changes: tuple[KeptNameChange, ...]
    timetable_changes: tuple[KeptTimetableChange, ...]
    container_changes: tuple[KeptContainerChange, ...]
    label_changes: tuple[KeptLabelChange, ...]
