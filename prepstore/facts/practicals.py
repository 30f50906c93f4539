"""What is asked: scripts, their lines, timetabled sessions and what is used instead."""

import datetime
from dataclasses import dataclass

from prepstore.amounts import WrittenAmount
from prepstore.cell_types import (
    Container,
    Count,
    Flag,
    Name,
    Names,
    Per,
    Percent,
    PositiveCount,
    PositiveMinutes,
    PositiveNumber,
    Shares,
)
from prepstore.facts.described import column


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
    holds_back: Name | None = column(
        "The liquid that this agent or paper holds back: a name of the same practical.",
        "ethyl acetate",
        default=None,
        where_used=True,
    )


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
