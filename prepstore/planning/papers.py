"""What the papers of a plan said, of all that people act on.

Names are as spelled, amounts in the unit of the item.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal

from prepstore.planning.states import State


@dataclass(frozen=True, slots=True)
class SessionThen:
    """A session as a plan had it; `prepare_by` is the day by which all was to be in hand."""

    session: str
    practical: str
    day: date
    start: time | None
    end: time | None
    room: str | None
    students: int
    sets: int
    state: str
    prepare_by: date

    @property
    def is_done(self) -> bool:
        """Return whether it was over, or booked out."""
        return self.state == State.DONE


@dataclass(frozen=True, slots=True)
class BenchThen:
    """What a session was to have of an item: how much, from which lots, in what bottles.

    `containers` are those that sets share (0: none), `fill` the most that one holds.
    """

    amount: Decimal
    lots: tuple[str, ...]
    containers: int
    fill: Decimal


@dataclass(frozen=True, slots=True)
class BatchThen:
    """A batch as a plan had it; `parts` are amounts and lots by item."""

    solution: str
    make_on: date
    volume_ml: Decimal
    makings: int
    parts: Mapping[str, tuple[Decimal, tuple[str, ...]]]


@dataclass(frozen=True, slots=True)
class OrderThen:
    """Packs of one kind that a plan was to order."""

    pack: str
    item: str
    packs: int
    needed_by: date | None
    order_by: date | None
    is_late: bool
    is_for_spare: bool


@dataclass(frozen=True, slots=True)
class DeliveryThen:
    """Packs on order; `is_counted` where the plan takes any of them."""

    pack: str
    item: str
    reference: str
    packs: int
    due: date
    is_counted: bool


@dataclass(frozen=True, slots=True)
class StreamThen:
    """Containers that a stream needs, and the days on which one is full."""

    containers: int
    full_on: tuple[date, ...]


@dataclass(frozen=True, slots=True)
class Papers:
    """All of a plan that people act on.

    `benches` go by session and item, `short` and `apparatus_short` (how many, from when) by item,
    `warnings` by code, what they are about and, where one thing has several of a kind, their words.
    """

    first: date
    last: date
    today: date
    sessions: Mapping[str, SessionThen]
    benches: Mapping[tuple[str, str], BenchThen]
    batches: Sequence[BatchThen]
    orders: Sequence[OrderThen]
    deliveries: Sequence[DeliveryThen]
    short: Mapping[str, Decimal]
    apparatus_short: Mapping[str, tuple[Decimal, str]]
    streams: Mapping[str, StreamThen]
    warnings: Mapping[tuple[str, str, str], str]
    units: Mapping[str, str]
