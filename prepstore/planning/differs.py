"""What differs between two plans: one class a kind of difference.

`before` or `now` is None where there was or is nothing.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from prepstore.amounts import ZERO
from prepstore.facts import Session
from prepstore.planning.papers import (
    BatchThen,
    BenchThen,
    DeliveryThen,
    OrderThen,
    SessionThen,
    StreamThen,
)


class SessionChange(StrEnum):
    """What happened to a session between two plans."""

    ADDED = "added"
    CANCELLED = "cancelled"
    MOVED = "moved"
    OUT_OF_PERIOD = "moved out of the period"
    SWAPPED = "swapped"
    ROOM = "another room"
    NUMBERS = "other numbers"


@dataclass(frozen=True, slots=True)
class SessionDiffers:
    """A session that is not as it was; `elsewhere` is where it is now, out of the period.

    `is_laid` tells that its things were to be in hand by today under the earlier plan.
    """

    change: SessionChange
    before: SessionThen | None
    now: SessionThen | None
    is_laid: bool = False
    elsewhere: Session | None = None


@dataclass(frozen=True, slots=True)
class StateDiffers:
    """A session in another state."""

    before: SessionThen
    now: SessionThen


@dataclass(frozen=True, slots=True)
class BenchDiffers:
    """Another amount of an item on the benches of a session, or other bottles or lots.

    Of a shared instrument the amounts are its uses. `places` are those of the lots now, where they
    have any.
    """

    session: str
    item: str
    unit: str
    before: BenchThen | None
    now: BenchThen | None
    is_uses: bool = False
    places: Mapping[str, str] = field(default_factory=dict)

    @property
    def difference(self) -> Decimal:
        """Return how much more it is now; below zero where it is less."""
        after = self.now.amount if self.now else ZERO
        return after - (self.before.amount if self.before else ZERO)


@dataclass(frozen=True, slots=True)
class BatchDiffers:
    """A batch that is new, gone, of another volume, of other parts, or made on another day.

    Of one that is gone, `made` are the lots that were made of it since and that nothing uses now.
    """

    before: BatchThen | None
    now: BatchThen | None
    made: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OrderDiffers:
    """An order row that is new, gone, of other packs, or to be sent earlier.

    Of one that is gone, `placed` packs have been ordered since.
    """

    before: OrderThen | None
    now: OrderThen | None
    placed: int = 0


@dataclass(frozen=True, slots=True)
class DeliveryDiffers:
    """Packs on order that are due on another day, are others, or count now or no more.

    What was counted on and is missing now comes too late (`is_too_late`), or was due before today
    and has not come (`is_overdue`).
    """

    before: DeliveryThen | None
    now: DeliveryThen | None
    is_too_late: bool = False
    is_overdue: bool = False


@dataclass(frozen=True, slots=True)
class ShortDiffers:
    """Another amount that is short of what no order brings."""

    item: str
    unit: str
    before: Decimal
    now: Decimal


@dataclass(frozen=True, slots=True)
class ApparatusDiffers:
    """Another number of apparatus that is missing, and from when."""

    item: str
    before: tuple[Decimal, str] | None
    now: tuple[Decimal, str] | None


@dataclass(frozen=True, slots=True)
class StreamDiffers:
    """Other containers for waste, or other days on which one is full."""

    stream: str
    before: StreamThen
    now: StreamThen


@dataclass(frozen=True, slots=True)
class WarningDiffers:
    """Something to look at that is new, or that has gone."""

    about: str
    message: str
    is_new: bool


Differs = (
    SessionDiffers
    | StateDiffers
    | BenchDiffers
    | BatchDiffers
    | OrderDiffers
    | DeliveryDiffers
    | ShortDiffers
    | ApparatusDiffers
    | StreamDiffers
    | WarningDiffers
)
