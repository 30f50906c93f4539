"""The department's settings: what goes for everything unless a row says otherwise."""

import datetime
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import Basis, Concentration
from prepstore.cell_types import (
    Dates,
    Days,
    Flasks,
    MassInVolume,
    Money,
    Ordering,
    Percent,
    PositiveDays,
    PositiveMass,
    PositiveVolume,
    Weekdays,
)
from prepstore.facts import column


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """The department's settings, each with its default."""

    spare_reagent: Percent = column("Spare on reagents.", "10 %", default=Percent(Decimal("0.10")))
    spare_solution: Percent = column(
        "Spare on solutions.", "20 %", default=Percent(Decimal("0.20"))
    )
    spare_solvent: Percent = column("Spare on solvents.", "20 %", default=Percent(Decimal("0.20")))
    spare_consumable: Percent = column(
        "Spare on consumables.", "10 %", default=Percent(Decimal("0.10"))
    )
    spare_apparatus: Percent = column("Spare on apparatus.", "0 %", default=Percent(Decimal(0)))
    prep_lead: Days = column(
        "Working days before a session by which everything must be there.", "1", default=Days(1)
    )
    currency: str | None = column("Currency of prices.", "EUR", default=None)
    working_days: Weekdays = column(
        "Days on which people work and suppliers deliver.",
        "Mon-Fri",
        default=frozenset(range(5)),
    )
    holidays: Dates = column("Days off, ; between.", "2027-03-26", default=frozenset())
    flasks: Flasks = column(
        "What solutions without a step are made up in; above the largest, in multiples of it.",
        "100 mL; 250 mL; 1 L",
        default=Flasks(tuple(map(Decimal, (50, 100, 250, 500, 1000)))),
    )
    drop: PositiveVolume = column(
        "A drop of anything kept in mL that has no measure of that name.",
        "0.05 mL",
        default=PositiveVolume(Decimal("0.05")),
    )
    balance: PositiveMass = column(
        "The smallest step that the prep room's balance shows; weighings are written to this step.",
        "0.01 g",
        default=PositiveMass(Decimal("0.01")),
    )
    analytical_balance: PositiveMass = column(
        "The same for the analytical balance, used for weighings below 100 steps of the other.",
        "0.0001 g",
        default=PositiveMass(Decimal("0.0001")),
    )
    smallest_weighing: PositiveMass = column(
        "Below this a weighing is too small, and a warning says so.",
        "10 mg",
        default=PositiveMass(Decimal("0.01")),
    )
    smallest_volume: PositiveVolume = column(
        "Below this a volume is too small to measure, and a warning says so.",
        "0.1 mL",
        default=PositiveVolume(Decimal("0.1")),
    )
    day_begins: datetime.time = column(
        "When the prep room's day begins; a warning names each task that must begin before that.",
        "08:00",
        default=datetime.time(8),
    )
    ordering: Ordering = column(
        "How packs are chosen: as one order that costs least, or one item at a time.",
        "jointly",
        default=Ordering.JOINTLY,
    )
    holding_cost: Percent = column(
        "What it costs a year to keep bought goods, as a share of their price; for the term ahead.",
        "12 %",
        default=Percent(Decimal(0)),
    )
    budget: Money | None = column(
        "Money for the orders of a plan or of a term; above it there is a warning.",
        "1500",
        default=None,
    )
    hour_cost: Money | None = column(
        "What an hour of a technician costs, to compare what is made with what is bought.",
        "38",
        default=None,
    )
    slow_mover: PositiveDays = column(
        "A lot that was not used for so many days, and is not in the term ahead, is named.",
        "730",
        default=PositiveDays(730),
    )
    collection_lead: Days | None = column(
        "Working days from calling a waste collection until it comes.", "5", default=None
    )
    waste_most_held: PositiveVolume | None = column(
        "The most waste that may be there, of all streams by volume together.",
        "60 L",
        default=None,
    )
    waste_longest: PositiveDays | None = column(
        "Days that a waste container may stay from the day it was opened.", "180", default=None
    )
    delivery_address: str | None = column(
        "Where orders are delivered; it stands on them.",
        "Chemistry stores, Yard 2, Tarn Lane",
        default=None,
    )
    cost_centre: str | None = column("Who pays; it stands on orders.", "CH-TEACH-27", default=None)
    # Guides give 20 ppm and 100 ppm (docs/explanation/expiry.md); the stricter stands.
    peroxide_limit: MassInVolume = column(
        "A peroxide test above this puts the lot into quarantine.",
        "20 mg/L",
        default=MassInVolume(Concentration(Decimal("0.020"), Basis.MASS_PER_VOLUME, "20 mg/L")),
    )
