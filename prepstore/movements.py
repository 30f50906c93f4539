"""What happens to lots, to sessions and to orders, as the store keeps it: rows only ever added.

A booking is all that is recorded in one go. The store keeps it as an *entry*, whose number people
name it by, and the movements that belong to it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Final

from prepstore.amounts import Kind, of_billionths
from prepstore.cell_types import fold
from prepstore.containers import ContainerChange
from prepstore.lot_labels import LabelChange
from prepstore.recorded import CanBeUndone, OfEntry


class What(StrEnum):
    """What happened to a lot."""

    OPENING_AMOUNT = "opening amount"
    RECEIVED = "received"
    MADE = "made"
    USED = "used"
    RETURNED = "returned"
    COUNTED = "counted"
    OPENED = "opened"
    MOVED = "moved"
    STATE_CHANGED = "state changed"
    TESTED = "tested"
    CORRECTED = "corrected"
    DISCARDED = "discarded"
    UNDONE = "undone"


AS_TYPED: Final = frozenset({What.OPENING_AMOUNT, What.COUNTED})
"""With these somebody types what a lot holds, so its row keeps those words."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A cell of a lot's row that a movement changes; blank where nothing is given."""

    column: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """One thing that happened to one lot.

    `billionths` is the change in billionths of `unit`; `written` the amount as it was typed.
    `stream` is the waste stream it went to, `order_line` the delivery it came with, `reverses` the
    number of the movement that it undoes. `item` is what is in the lot, with the movement that it
    begins with; `note` what somebody noted of this lot alone. Of what was bought, `paid` is its
    price in digits, `supplier` who sold it and `delivery_note` the paper that came with it.
    """

    lot: str
    what: What
    billionths: int = 0
    unit: Kind
    written: str = ""
    change: Change | None = None
    stream: str | None = None
    order_line: str | None = None
    reverses: int | None = None
    item: str | None = None
    note: str | None = None
    paid: str | None = None
    supplier: str | None = None
    delivery_note: str | None = None

    @property
    def number(self) -> Decimal:
        """Return the change in the item's unit."""
        return of_billionths(self.billionths)


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded(CanBeUndone):
    """A movement as the store keeps it; it may be of a session."""

    movement: Movement
    session: str | None = None

    @property
    def reverses(self) -> int | None:
        """Return the number of the movement that it undoes."""
        return self.movement.reverses


@dataclass(frozen=True, slots=True, kw_only=True)
class SessionUse:
    """What a session was planned to use of an item and what it really used, in its unit.

    `lacked` is what it was to take and nobody had, where it was booked as far as there was. All are
    in billionths; a later correction is a further row, so that rows add up.
    """

    session: str
    session_date: date
    practical: str
    item: str
    unit: Kind
    planned: int
    used: int
    lacked: int = 0


class OrderWhat(StrEnum):
    """What happened to packs that are on order."""

    PLACED = "placed"
    DUE_CHANGED = "due changed"
    ARRIVED = "arrived"
    CANCELLED = "cancelled"
    UNDONE = "undone"


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderChange:
    """One thing that happened to packs on order: so many more (less: negative) are to come.

    They are due on a day, under a reference (blank where none is given). Another day is two
    changes: fewer on the old one and more on the new one. `price` is that of one pack as it was
    ordered, in digits; blank where it is not known. `reverses` is the number of the change that it
    undoes.
    """

    what: OrderWhat
    pack: str
    packs: int
    due: date
    reference: str = ""
    price: str = ""
    reverses: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedOrder(CanBeUndone):
    """A change of an order as the store keeps it."""

    change: OrderChange


class NameWhat(StrEnum):
    """What happened to the name of an item, solution, supplier or practical."""

    RENAMED = "renamed"
    RETIRED = "retired"
    REINSTATED = "reinstated"


@dataclass(frozen=True, slots=True, kw_only=True)
class NameChange:
    """A name of a table that gave way to another, or was retired from a day on.

    Of what is retired `now` is the day (ISO), `was` its name; of what is reinstated as well.
    """

    what: NameWhat
    table: str
    was: str
    now: str


@dataclass(frozen=True, slots=True)
class NewName:
    """What a thing is called now, and since which day."""

    name: str
    since: date


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedName(OfEntry):
    """A change of a name as the store keeps it."""

    change: NameChange


@dataclass(frozen=True, slots=True, kw_only=True)
class TimetableChange:
    """A cell of a session in the timetable that changes; blank where nothing is given.

    A session is new with the change of its column `session`, and gone once all its cells are blank.
    """

    session: str
    column: str
    was: str
    now: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedTimetable(OfEntry):
    """A change of a session as the store keeps it."""

    change: TimetableChange


@dataclass(frozen=True, slots=True, kw_only=True)
class Booking:
    """All that is recorded in one go, and why; new lots are the cells of their rows.

    `amounts` are words that the rows of lots keep again as their amounts, by folded label. `gone`
    says why a lot is there no longer, blank where it is there again.
    """

    movements: tuple[Movement, ...] = ()
    new_lots: tuple[Mapping[str, str], ...] = ()
    uses: tuple[SessionUse, ...] = ()
    orders: tuple[OrderChange, ...] = ()
    names: tuple[NameChange, ...] = ()
    timetable: tuple[TimetableChange, ...] = ()
    containers: tuple[ContainerChange, ...] = ()
    labels: tuple[LabelChange, ...] = ()
    session: str | None = None
    reason: str | None = None
    amounts: Mapping[str, str] = field(default_factory=dict)
    gone: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_empty(self) -> bool:
        """Return whether there is nothing to record."""
        recorded = (self.movements, self.uses, self.orders, self.names, self.timetable)
        return not any((*recorded, self.containers, self.labels))

    @property
    def sessions(self) -> frozenset[str]:
        """Return the sessions whose uses or rows it touches, as they are spelled."""
        changed = {one.session for one in self.timetable}
        return frozenset(changed | {one.session for one in self.uses})

    @property
    def lots(self) -> frozenset[str]:
        """Return the folded labels of the lots that it touches."""
        return frozenset(fold(movement.lot) for movement in self.movements)


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """Who records a booking, on which local day it happened, and the instant in UTC.

    Of what was recorded in a copy, `taken_in` is the instant at which it is taken in from there,
    and `taken_from` the copy's name.
    """

    by: str
    on_day: date
    at_utc: str
    taken_in: str | None = None
    taken_from: str | None = None
