"""What the stores keep and what is made of it: items, solutions and their parts."""

import datetime
from dataclasses import dataclass

from prepstore.amounts import Concentration, WrittenAmount
from prepstore.cell_types import (
    Acidity,
    AcidOrBase,
    CasNumber,
    Celsius,
    Days,
    Formula,
    HazardCodes,
    Hours,
    ItemKind,
    Measures,
    Minutes,
    Name,
    PositiveAmount,
    PositiveDays,
    PositiveMinutes,
    PositiveNumber,
    PositiveVolume,
    ReactiveGroups,
    Shares,
    Species,
    StockUnit,
    Supply,
)
from prepstore.facts.described import column


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
    group: ReactiveGroups | None = column(
        "Its groups in the EPA's chart of what must not meet, by number.",
        "4; 19",
        default=None,
        where_used=True,
    )
    retention: PositiveVolume | None = column(
        "For an agent or paper: the liquid that one unit of stock of it holds back.",
        "0.4 mL",
        default=None,
        where_used=True,
    )
    acid_or_base: AcidOrBase | None = column(
        "How it gives or takes up hydrogen ions, and how many each formula unit does: strong acid, "
        "weak acid, strong base or weak base with a number, or hydrogencarbonate, carbonate.",
        "strong acid 2",
        default=None,
        where_used=True,
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
    to: Shares | None = column(
        "Where what is left of a batch ends on its last day.",
        "aqueous acid",
        default=None,
        where_used=True,
    )
    pH: Acidity | None = column(  # noqa: N815 - as the quantity is written
        "Its pH, measured.", "10.2", default=None, where_used=True
    )
    flash_point: Celsius | None = column(
        "Its flash point, °C.", "21", default=None, where_used=True
    )
    viscosity: PositiveNumber | None = column(
        "Its kinematic viscosity at 40 °C, mm²/s.", "1.4", default=None, where_used=True
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
