"""What a count of the shelf found, against what the store holds."""

from collections.abc import Iterable, Set
from dataclasses import dataclass

from prepstore.amounts import WrittenAmount
from prepstore.facts import fold
from prepstore.movements import Movement, What
from prepstore.problems import RefusedError, nearest
from prepstore.shelf.asked import Quantity, quantity
from prepstore.shelf.shelf import LotHeld, Shelf


def counted(held: LotHeld, found: Quantity) -> Movement:
    """Return a count of a lot: the difference to what the store held, which may be nothing."""
    return Movement(
        lot=held.label,
        what=What.COUNTED,
        billionths=found.billionths - Quantity(held.amount, "").billionths,
        unit=held.unit,
        written=found.written,
    )


@dataclass(frozen=True, slots=True)
class SheetCount:
    """What a counting sheet comes to: counts, and lots that are to be counted again.

    `moved_since` have had something come or go after the sheet was written, so that nobody knows
    whether it was counted before or after.
    """

    counts: tuple[Movement, ...]
    moved_since: tuple[LotHeld, ...]


def counted_by_sheet(
    shelf: Shelf, found: Iterable[tuple[str, WrittenAmount]], moved: Set[str]
) -> SheetCount:
    """Return the counts of a sheet, in its order.

    Args:
        shelf: The lots.
        found: Lot and what was found of it; each lot is known, and stands once.
        moved: Folded labels of lots whose amount has changed since the sheet was written.

    Raises:
        RefusedError: An amount cannot be turned into its item's unit; the sheet was not checked.
    """
    counts: list[Movement] = []
    again: list[LotHeld] = []
    for label, written in found:
        held = shelf.lot(label)
        if fold(label) in moved:
            again.append(held)
        else:
            amount = quantity(held.material, written, may_be_nothing=True)
            counts.append(counted(held, amount))
    return SheetCount(tuple(counts), tuple(again))


def to_be_counted(shelf: Shelf, place: str | None, item: str | None) -> list[LotHeld]:
    """Return the lots that hold something, those at a place or of an item where one is named.

    Raises:
        RefusedError: There is no such place or item (names the nearest), or nothing is there.
    """
    if item is not None:
        item = shelf.material(item).name
    lots = [held for held in shelf.lots.values() if held.amount]
    places = {held.lot.place for held in lots if held.lot.place}
    if place is not None and fold(place) not in map(fold, places):
        raise RefusedError(f"Nothing stands at '{place}'. {nearest(place, places)}".rstrip())
    found = [
        held
        for held in lots
        if (place is None or fold(held.lot.place or "") == fold(place))
        and (item is None or fold(held.material.name) == fold(item))
    ]
    if not found:
        raise RefusedError("There is nothing to count: no lot of that holds anything.")
    return found
