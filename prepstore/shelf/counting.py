"""What a count of the shelf found, against what the store holds."""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from datetime import date

from prepstore.amounts import WrittenAmount, in_billionths, of_billionths
from prepstore.cell_types import fold
from prepstore.movements import Booking, Movement, Recorded, What
from prepstore.problems import RefusedError, not_known
from prepstore.recorded import standing
from prepstore.shelf.asked import Quantity, in_words, quantity
from prepstore.shelf.shelf import Shelf
from prepstore.stores import Holding


@dataclass(frozen=True, slots=True)
class Count:
    """A count of a lot, and what has come and gone after its day, in billionths of the unit."""

    movement: Movement
    since: int


def counted(held: Holding, found: Quantity, history: Sequence[Recorded], day: date) -> Count:
    """Return a count of a lot: the difference to what it held on that day, which may be nothing.

    What happened after the day stands on the count: what was found is what it started from.

    Args:
        held: The lot.
        found: What was found of it.
        history: All movements of the lot, in the order of recording.
        day: The day on which it was counted.

    Raises:
        RefusedError: It was counted again later, or more has gone since than was found.
    """
    # What a lot begins with was there before, whenever it was entered.
    later = [one for one in standing(history)[1:] if one.on_day > day]
    again = next((one for one in later if one.movement.what is What.COUNTED), None)
    if again is not None:
        what = f"Lot {held.label} was counted on {again.on_day}, after {day}."
        raise RefusedError(f"{what} What was found before that changes nothing any more.")
    since = sum(one.movement.billionths for one in later)
    if found.billionths + since < 0:
        gone = in_words(of_billionths(-since), held.material)
        what = f"Since {day} {gone} of lot {held.label} have gone, more than {found.written}."
        raise RefusedError(f"{what} Count what is there now.")
    movement = Movement(
        lot=held.label,
        what=What.COUNTED,
        billionths=found.billionths + since - in_billionths(held.amount),
        unit=held.unit,
        written=found.written,
    )
    return Count(movement, since)


def recorded_as(counts: Iterable[Count], reason: str | None) -> Booking:
    """Return counts as a booking."""
    return Booking(movements=tuple(count.movement for count in counts), reason=reason)


@dataclass(frozen=True, slots=True)
class SheetCount:
    """What a counting sheet comes to: counts, and lots that are to be counted again.

    `moved_since` have had something come or go after the sheet was written, so that nobody knows
    whether it was counted before or after.
    """

    counts: tuple[Count, ...]
    moved_since: tuple[Holding, ...]


def counted_by_sheet(
    shelf: Shelf,
    found: Iterable[tuple[str, WrittenAmount, str]],
    moved: Set[str],
    histories: Mapping[str, Sequence[Recorded]],
    day: date,
) -> SheetCount:
    """Return the counts of a sheet, in its order.

    Args:
        shelf: The lots.
        found: Lot, what was found of it and a note; each lot is known, and stands once.
        moved: Folded labels of lots whose amount has changed since the sheet was written.
        histories: All movements of each lot, by folded label.
        day: The day on which they were counted.

    Raises:
        RefusedError: An amount cannot be converted to its item's unit; the sheet was not checked.
            Or a lot was counted again later.
    """
    counts: list[Count] = []
    again: list[Holding] = []
    for label, written, note in found:
        held = shelf.lot(label)
        if fold(label) in moved:
            again.append(held)
            continue
        amount = quantity(held.material, written, may_be_nothing=True)
        count = counted(held, amount, histories.get(fold(label), ()), day)
        counts.append(replace(count, movement=replace(count.movement, note=note or None)))
    return SheetCount(tuple(counts), tuple(again))


def to_be_counted(shelf: Shelf, place: str | None, item: str | None) -> list[Holding]:
    """Return the lots that hold something, those at a place or of an item where one is named.

    Raises:
        RefusedError: There is no such place or item (names the nearest), or nothing is there.
    """
    if item is not None:
        item = shelf.material(item).name
    lots = [held for held in shelf.lots.values() if held.amount]
    places = {held.lot.place for held in lots if held.lot.place}
    if place is not None and fold(place) not in map(fold, places):
        raise not_known(place, "place", places)
    found = [
        held
        for held in lots
        if (place is None or fold(held.lot.place or "") == fold(place))
        and (item is None or fold(held.material.name) == fold(item))
    ]
    if not found:
        raise RefusedError("There is nothing to count: no lot of that holds anything.")
    return found
