"""Which containers are due for a peroxide test, and what a test says."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from prepstore.amounts import Concentration
from prepstore.cell_types import LotState, fold
from prepstore.facts import Item, is_retired
from prepstore.movements import Booking, Movement, What
from prepstore.problems import RefusedError
from prepstore.safety.peroxide_formers import PublishedFormer, published_former
from prepstore.safety.peroxides import due_for_test, forms_peroxides, has_no_known_day
from prepstore.shelf.handling import changed, state_changed
from prepstore.shelf.shelf import Shelf
from prepstore.stores import Holding


@dataclass(frozen=True, slots=True)
class ToTest:
    """A lot of what forms peroxides, and the last day for its test (None: not known)."""

    held: Holding
    item: Item
    due: date | None

    @property
    def has_no_known_day(self) -> bool:
        """Return whether its age is not known."""
        return has_no_known_day(self.held.lot, self.item)

    @property
    def has_no_time(self) -> bool:
        """Return whether the department sets no time for it, opened or sealed as it is."""
        return self.due is None and not self.has_no_known_day

    def is_overdue(self, day: date) -> bool:
        """Return whether it is to be seen to: past its test, or of unknown age.

        So is an open one for which the department sets no time; a sealed one is not.
        """
        if self.due is not None:
            return self.due < day
        return self.has_no_known_day or self.held.lot.opened is not None

    def is_due_by(self, day: date) -> bool:
        """Return whether its test falls on a day or before, or it is to be seen to anyhow."""
        return self.is_overdue(day) or self.due == day

    @property
    def order(self) -> tuple[date, str]:
        """Return what lots stand in order of: what has no day and needs one, then by day."""
        without = date.min if self.is_overdue(date.min) else date.max
        return self.due or without, self.held.label


def to_test(shelf: Shelf) -> list[ToTest]:
    """Return every lot of what forms peroxides that holds anything, the first due first.

    Those of unknown age, or open without a time, come before all others.
    """
    found = []
    for held in shelf.lots.values():
        item = shelf.goods.items.get(fold(held.lot.item))
        if item is not None and forms_peroxides(item) and held.amount:
            found.append(ToTest(held, item, due_for_test(held.lot, item)))
    return sorted(found, key=lambda one: one.order)


def due_of(shelf: Shelf, held: Holding) -> date | None:
    """Return the last day for a lot's next peroxide test; None where no time is set or known."""
    item = shelf.goods.items.get(fold(held.lot.item))
    return None if item is None else due_for_test(held.lot, item)


def not_watched(shelf: Shelf, day: date) -> Iterator[tuple[Item, PublishedFormer]]:
    """Yield each item that is on the published list and has no time to a test.

    One that is retired by the day is left out, unless a lot of it still holds something.
    """
    for item in shelf.goods.items.values():
        published = published_former(item.item)
        if published is None or forms_peroxides(item):
            continue
        if not is_retired(item, day) or any(held.amount for held in shelf.lots_of(item.item)):
            yield item, published


NOTHING_FOUND: Final = "negative"


@dataclass(frozen=True, slots=True)
class PeroxideTest:
    """A test for peroxides: the day, what was found (None: nothing), and what else was noted."""

    day: date
    found: Concentration | None
    remark: str = ""

    def is_above(self, limit: Concentration) -> bool:
        """Return whether more was found than a limit, which is a mass in a volume.

        Raises:
            RefusedError: What was found is on another basis.
        """
        if self.found is None:
            return False
        if self.found.basis is not limit.basis:
            what = f"'{self.found}' cannot be compared with the limit of {limit}."
            raise RefusedError(f"{what} Write it in mg/L.")
        return self.found.number > limit.number


def result_recorded(held: Holding, test: PeroxideTest, limit: Concentration) -> Booking:
    """Return a test of a lot for peroxides; one above the limit puts it into quarantine.

    Args:
        held: The lot.
        test: What was found on which day.
        limit: The department's.

    Raises:
        RefusedError: The result is not on the basis of the limit, or a later test is recorded.
    """
    last = held.lot.tested
    if last is not None and last > test.day:
        what = f"Lot {held.label} was tested on {last}, after {test.day}."
        raise RefusedError(f"{what} Give the right day with --on, or undo the later test first.")
    was = last.isoformat() if last else ""
    movements: list[Movement] = [changed(held, What.TESTED, "tested", was, test.day.isoformat())]
    said = f"peroxides: {test.found or NOTHING_FOUND}"
    if test.is_above(limit):
        said += f", above the limit of {limit}"
        if held.lot.state is not LotState.QUARANTINE:
            movements.append(state_changed(held, LotState.QUARANTINE))
    reason = "; ".join(filter(None, (said, test.remark)))
    return Booking(movements=tuple(movements), reason=reason)
