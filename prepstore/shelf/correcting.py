"""What the row of a lot says set right: its label, dates, place, containers, batch number."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from prepstore.amounts import in_billionths
from prepstore.cell_types import fold
from prepstore.movements import Booking, Change, Movement, What
from prepstore.problems import RefusedError
from prepstore.shelf.asked import in_digits
from prepstore.shelf.shelf import Shelf
from prepstore.shelf.undoing import LABEL, RELABELLED
from prepstore.stores import Holding


@dataclass(frozen=True, slots=True, kw_only=True)
class Right:
    """What is right of a lot: None leaves a cell as it is, blank empties it; days are ISO."""

    label: str | None = None
    expiry: str | None = None
    opened: str | None = None
    place: str | None = None
    containers: int | None = None
    batch_number: str | None = None

    @property
    def cells(self) -> dict[str, str]:
        """Return the cells that are told, by column, but for the label."""
        given: Mapping[str, object] = {
            "expiry": self.expiry,
            "opened": self.opened,
            "place": self.place,
            "containers": self.containers,
            "batch_number": self.batch_number,
        }
        return {column: str(value) for column, value in given.items() if value is not None}


def corrected(
    shelf: Shelf, held: Holding, cells: Mapping[str, str], right: Right, reason: str | None
) -> Booking:
    """Return what sets the row of a lot right.

    Under another label the lot goes on as a new one with all that the old one held; the history of
    the new label leads to that of the old one.

    Args:
        shelf: The lots, since a label is given once.
        held: The lot.
        cells: The cells of its row as they are written, those that are not blank.
        right: What is right.
        reason: Why.

    Raises:
        RefusedError: Nothing differs from what stands there, or the label is taken.
    """
    changes = list(_changes(cells, right))
    new = right.label if right.label != held.label else None
    if not changes and new is None:
        raise RefusedError(f"Lot {held.label} says that already, so there is nothing to correct.")
    movements = tuple(
        Movement(lot=held.label, what=What.CORRECTED, unit=held.unit, change=change)
        for change in changes
    )
    if new is None:
        return Booking(movements=movements, reason=reason)
    if fold(new) in shelf.lots:
        raise RefusedError(f"There is a lot {shelf.lot(new).label} already. Give another label.")
    shelf.refuse_label(new, held.lot.item)
    now = {**cells, **{change.column: change.now for change in changes}}
    return _under(held, new, now, Booking(movements=movements, reason=reason))


def _changes(cells: Mapping[str, str], right: Right) -> Iterator[Change]:
    for column, now in right.cells.items():
        was = cells.get(column, "")
        cell = "" if column == "containers" and now == "1" else now
        if cell != ("" if column == "containers" and was == "1" else was):
            yield Change(column=column, was=was, now=cell)


def _under(held: Holding, new: str, cells: Mapping[str, str], corrections: Booking) -> Booking:
    """Return what brings all of a lot under another label, beside other corrections."""
    billionths = in_billionths(held.amount)
    change = Change(column=LABEL, was=held.label, now=new)
    away = Movement(
        lot=held.label,
        what=What.CORRECTED,
        billionths=-billionths,
        unit=held.unit,
        change=change,
    )
    there = Movement(
        lot=new,
        what=What.CORRECTED,
        billionths=billionths,
        unit=held.unit,
        change=change,
        item=held.lot.item,
    )
    amount = cells.get("amount") or in_digits(held.amount, held.material)
    row = {**{column: cell for column, cell in cells.items() if cell}, "lot": new, "amount": amount}
    return Booking(
        movements=(*corrections.movements, away, there),
        new_lots=(row,),
        reason=corrections.reason,
        gone={fold(held.label): RELABELLED},
    )
