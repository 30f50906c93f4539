"""What is known: one class a table, one field a column.

These classes are the only list of columns there is. `prepstore.columns` reads them, and
the reader, the writer, the store and the reference pages follow. A field's type says how its
cell is read (`prepstore.cell_types`); a field without a default is a column that must be given.
"""

import datetime
from dataclasses import MISSING, dataclass, field
from decimal import Decimal
from typing import Any

from prepstore.amounts import Concentration, WrittenAmount
from prepstore.cell_types import (
    CasNumber,
    Container,
    Count,
    Days,
    Flag,
    Formula,
    HazardCodes,
    Hours,
    ItemKind,
    LotState,
    Measure,
    Measures,
    Minutes,
    Money,
    Name,
    Names,
    Per,
    Percent,
    PositiveAmount,
    PositiveCount,
    PositiveDays,
    PositiveMinutes,
    PositiveNumber,
    PositivePercent,
    SeveralPacks,
    Shares,
    Species,
    StockUnit,
    Supply,
    WasteCode,
)


def column(
    about: str,
    example: str = "",
    *,
    default: Any = MISSING,  # noqa: ANN401 - as dataclasses.field
    where_used: bool = False,
    required: bool = False,
) -> Any:  # noqa: ANN401 - as dataclasses.field
    """Describe a column: what it holds, an example, and what a blank cell means.

    One that is written only `where_used` is left out of a table in which no row has it. One that
    is `required` though it has a default must be given in what is loaded; older stores lack it.
    """
    about_it = {
        "about": about,
        "example": example,
        "where_used": where_used,
        "required": required or default is MISSING,
    }
    return field(default=default, metadata=about_it)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """Something the stores keep: a reagent, a solvent, a consumable or a piece of apparatus."""

    item: Name = column("Its name, unique among items and solutions.", "sodium chloride")
    kind: ItemKind = column("What it is; the spare goes by this.", "reagent")
    unit: StockUnit = column("What stock of it is kept in.", "g")
    cas: CasNumber | None = column("CAS Registry Number.", "7647-14-5", default=None)
    formula: Formula | None = column(
        "Formula of what is in the bottle, water of crystallisation included.",
        "CuSO4·5H2O",
        default=None,
    )
    strength: Concentration | None = column(
        "How strong it is. Blank: 100 % w/w for what is kept in g, unknown in mL.",
        "37 % w/w",
        default=None,
    )
    density: PositiveNumber | None = column("Density, g/mL.", "1.18", default=None)
    measures: Measures | None = column(
        "Sizes of its loose measures.", "scoop = 2 g; drop = 0.05 mL", default=None
    )
    minimum: WrittenAmount | None = column("Least to have after the week.", "500 g", default=None)
    restock_to: WrittenAmount | None = column(
        "Restock up to this (else to the minimum).", "2 kg", default=None
    )
    opened_life: Days | None = column("Days it keeps once opened.", "180", default=None)
    shelf_life: Days | None = column(
        "Days it keeps from the day it arrives. Blank: by what is printed on it.",
        "7",
        default=None,
    )
    supply: Supply = column("How it comes to the stores.", "bought", default=Supply.BOUGHT)
    daily_capacity: WrittenAmount | None = column(
        "What can be fetched in a day, for what is made on site. Blank: no limit.",
        "20 kg",
        default=None,
    )
    turnaround: Minutes | None = column(
        "Minutes until used apparatus can be set out again.", "60", default=None
    )
    minutes_per_use: PositiveMinutes | None = column(
        "Minutes of a shared instrument that one use takes.", "16", default=None
    )
    hazards: HazardCodes | None = column("H codes of the label.", "H225 H319", default=None)
    storage: str | None = column("Where and how it is stored.", "flammables cupboard", default=None)
    notes: str | None = column("Anything else.", default=None)
    peroxide_test: PositiveDays | None = column(
        "For what forms peroxides: days after opening, or after the last test, by which it is "
        "tested or discarded.",
        "90",
        default=None,
        where_used=True,
    )
    peroxide_test_sealed: PositiveDays | None = column(
        "The same for a container never opened: days after it was received.",
        "540",
        default=None,
        where_used=True,
    )
    retired: datetime.date | None = column(
        "The day from which it is no longer used.", "2027-07-31", default=None, where_used=True
    )
    most_held: PositiveAmount | None = column(
        "The most that may be there and on order.", "5 L", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """A solution made up in the prep room."""

    solution: Name = column(
        "Its name, unique among items and solutions.", "sodium chloride 0.1 mol/L"
    )
    shelf_life: Days | None = column(
        "Days it keeps; 0: made on the day for each session; blank: keeps.", "30", default=None
    )
    step: PositiveAmount | None = column(
        "It is made up in multiples of this. Blank: the next of the setting flasks.",
        "100 mL",
        default=None,
    )
    largest_batch: PositiveAmount | None = column(
        "The largest vessel it can be made in.", "5 L", default=None
    )
    density: PositiveNumber | None = column("Density, g/mL.", "1.02", default=None)
    measures: Measures | None = column("Sizes of its loose measures.", "tube = 2 mL", default=None)
    minimum: WrittenAmount | None = column("Least to have after the week.", "500 mL", default=None)
    restock_to: WrittenAmount | None = column(
        "Make up to this (else to the minimum).", "2 L", default=None
    )
    make_within: Hours | None = column(
        "It is made at most so many hours before a session. No figure changes; its task is "
        "listed on the session's day.",
        "2",
        default=None,
    )
    hazards: HazardCodes | None = column("H codes of the label.", "H314", default=None)
    storage: str | None = column("Where and how it is stored.", "refrigerator", default=None)
    instructions: str | None = column(
        "How it is made: order of addition and cautions. {80 %} prints as that share of the batch.",
        "Add the acid slowly to most of the water.",
        default=None,
    )
    retired: datetime.date | None = column(
        "The day from which it is no longer used.", "2027-07-31", default=None, where_used=True
    )
    minutes_to_make: PositiveMinutes | None = column(
        "Minutes that one making takes.", "25", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class SolutionPart:
    """One ingredient of a solution."""

    solution: Name = column("The solution it is a part of.", "sodium chloride 0.1 mol/L")
    item: Name = column("An item or another solution.", "sodium chloride")
    amount: Concentration = column("How much of it.", "0.1 mol/L")
    as_: Species | None = column(
        "What the concentration is of, where that is not the item's formula.",
        "2 Na",
        default=None,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Practical:
    """A practical as its script describes it."""

    practical: Name = column("Its code.", "ANA-01")
    title: Name = column("Its title.", "Hardness of tap water")
    group_size: PositiveCount = column("Students who work together.", "2", default=PositiveCount(1))
    notes: str | None = column("Anything else.", default=None)
    retired: datetime.date | None = column(
        "The day from which it is no longer used.", "2027-07-31", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class PracticalLine:
    """One need of a practical, as its script writes it."""

    practical: Name = column("The practical's code.", "ANA-01")
    stage: Name | None = column("The stage of the work.", "titration", default=None)
    item: Name = column("An item or a solution.", "ammonia buffer pH 10")
    amount: WrittenAmount = column("How much.", "3 x 15 mL")
    per: Per = column("What the amount is for.", "group")
    spare: Percent | None = column(
        "Extra over the written amount. Blank: 0 for a session's line, else the setting.",
        "25 %",
        default=None,
    )
    optional: Flag = column(
        "yes: dropped when its stage is left out.",
        "yes",
        default=Flag(False),  # noqa: FBT003 - NewType
    )
    to: Shares | None = column("Where it ends.", "halogenated solvent 90 %; air 10 %", default=None)
    within: PositiveMinutes | None = column(
        "Minutes in which a shared instrument must serve all.", "60", default=None
    )
    shared_by: PositiveCount | None = column("Sets that share one container.", "4", default=None)
    container: Container | None = column(
        "What it is set out in: any words, or the name of an apparatus item, which then counts.",
        "100 mL dropper bottle",
        default=None,
    )
    one_lot: Flag = column(
        "yes: all that a session takes of it comes from one lot or one batch.",
        "yes",
        default=Flag(False),  # noqa: FBT003 - NewType
    )
    notes: str | None = column("Anything else.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One timetabled run of a practical."""

    session: Name = column("Its name, unique.", "Mon am")
    practical: Name = column("The practical's code.", "ANA-01")
    date: datetime.date = column("The day.", "2027-02-03")
    start: datetime.time | None = column("From.", "09:00", default=None)
    end: datetime.time | None = column("Until.", "12:00", default=None)
    room: Name | None = column("Where.", "Lab 2", default=None)
    students: Count = column("How many students.", "24")
    group_size: PositiveCount | None = column(
        "Students who work together. Blank: as the practical says.", "3", default=None
    )
    demonstrator_sets: Count = column("More sets, for demonstrators.", "1", default=Count(0))
    leave_out: Names | None = column("Optional stages left out.", "spectrum", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One container, or a set of identical ones."""

    lot: Name = column("Its label, unique.", "L0231")
    item: Name = column("The item or solution in it.", "sodium chloride")
    amount: WrittenAmount = column("How much is there.", "1.5 kg")
    expiry: datetime.date | None = column(
        "Last day of use printed on it.", "2028-06-30", default=None
    )
    opened: datetime.date | None = column("Day it was opened.", "2027-01-11", default=None)
    state: LotState = column("Whether it may be used.", "usable", default=LotState.USABLE)
    containers: PositiveCount = column(
        "How many identical containers.", "4", default=PositiveCount(1)
    )
    place: str | None = column("Where it is kept.", "shelf B3", default=None)
    received: datetime.date | None = column(
        "Day it came or was made.", "2027-01-04", default=None, where_used=True
    )
    tested: datetime.date | None = column(
        "Day of its last test for peroxides.", "2027-02-15", default=None, where_used=True
    )
    batch_number: str | None = column(
        "The supplier's batch number on the label.", "B26-0417", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    """Someone who sells packs."""

    supplier: Name = column("Its name.", "Harbour Chemicals")
    lead_days: Days | None = column(
        "Working days from order to delivery.", "3", default=None, required=True
    )
    delivery_charge: Money | None = column("Charge for a delivery.", "8.50", default=None)
    minimum_order: Money | None = column("Least value of an order.", "50", default=None)
    retired: datetime.date | None = column(
        "The day from which it is no longer used.", "2027-07-31", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """What a supplier sells of an item or of a solution."""

    pack: Name = column("Its code, unique.", "HC-1021-1KG")
    item: Name = column("The item or solution in it.", "sodium chloride")
    supplier: Name = column("Who sells it.", "Harbour Chemicals")
    size: PositiveAmount = column("How much is in it.", "1 kg")
    price: Money = column("Price of one pack.", "12.40")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """The price of each pack of one order row from so many packs on."""

    pack: Name = column("The pack's code.", "HC-1021-1KG")
    from_: SeveralPacks = column("From how many packs on.", "10")
    price: Money = column("Price of each pack, where so many are ordered.", "10.90")


@dataclass(frozen=True, slots=True, kw_only=True)
class StorageLimit:
    """The most that may be in one place of storage, of all items together."""

    storage: Name = column("Where, as the column storage of items says.", "flammables cupboard")
    most: PositiveAmount = column("The most that may be there and on order.", "50 L")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnOrder:
    """Packs that have been ordered and are still to come."""

    pack: Name = column("The pack's code.", "HC-1021-1KG")
    packs: Count = column("How many; 0 clears the row.", "2")
    due: datetime.date = column("The day they are due.", "2027-02-01")
    reference: str | None = column("The order's reference.", "PO 1187", default=None)
    price: Money | None = column(
        "Price of one pack as it was ordered (blank: not known).",
        "12.40",
        default=None,
        where_used=True,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class WasteStream:
    """One kind of waste, collected in its own containers."""

    stream: Name = column("Its name.", "halogenated solvent")
    measure: Measure = column("What its containers are filled by.", "volume")
    container: PositiveAmount | None = column("Size of one container.", "5 L", default=None)
    fill_limit: PositivePercent = column(
        "How far a container may be filled.",
        "80 %",
        default=PositivePercent(Decimal("0.9")),
    )
    empty_containers: Count | None = column("How many empty containers.", "2", default=None)
    part_full: WrittenAmount | None = column(
        "Amount now in the open container.", "3.2 L", default=None
    )
    list_code: WasteCode | None = column(
        "Code of the European List of Waste.", "14 06 02*", default=None
    )
    notes: str | None = column("Anything else.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Replacement:
    """What this laboratory uses instead of what scripts ask for."""

    item: Name = column("What scripts ask for.", "dichloromethane")
    replaced_by: Name = column("What is used instead.", "ethyl acetate")
    factor: PositiveNumber | None = column(
        "The written amount is multiplied by this (blank: 1).", "1.2", default=None
    )
    to: Shares | None = column(
        "Where the replacing item ends (blank: as the line says).",
        "non-halogenated solvent",
        default=None,
    )
    reason: str | None = column("Why.", "less hazardous", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingRow:
    """One setting, as written."""

    setting: Name = column("Its name.", "prep_lead")
    value: str | None = column("Its value; blank: the default.", "1", default=None)


def is_retired(fact: Item | Solution | Practical | Supplier, day: datetime.date) -> bool:
    """Return whether something is no longer used on a day."""
    return fact.retired is not None and fact.retired <= day
