"""What happens to a lot while its amount stays: opened, moved, its state changed."""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from itertools import count

from prepstore.amounts import Kind, in_billionths, of_billionths
from prepstore.cell_types import LotState, fold
from prepstore.movements import Booking, Change, Movement, What
from prepstore.problems import RefusedError
from prepstore.shelf.asked import in_digits
from prepstore.shelf.shelf import Shelf
from prepstore.stores import Holding


def changed(held: Holding, what: What, column: str, was: str, now: str) -> Movement:
    """Return a movement that changes one cell of a lot's row."""
    change = Change(column=column, was=was, now=now)
    return Movement(lot=held.label, what=what, unit=held.unit, change=change)


def opened(shelf: Shelf, held: Holding, day: date, label: str | None = None) -> Booking:
    """Return the opening of a lot's container on a day.

    Of a lot of several, one is split off as a lot of its own with an equal share of the amount:
    rounded down to a billionth of the unit, of counted things to the nearest whole number.

    Args:
        shelf: All lots, since the new one needs a label.
        held: The lot.
        day: The day on which it is opened.
        label: Of the container split off; None gives it the lot's label and a number.

    Raises:
        RefusedError: It is open already or empty, or the label is taken or not wanted.
    """
    lot = held.lot
    if lot.opened is not None:
        raise RefusedError(f"Lot {lot.lot} was opened on {lot.opened} already.")
    if not held.amount:
        raise RefusedError(f"Lot {lot.lot} is empty, so there is nothing to open.")
    if lot.containers == 1:
        if label is not None:
            what = f"Lot {lot.lot} is one container, which keeps its label."
            raise RefusedError(f"{what} Leave --as out.")
        return Booking(movements=(changed(held, What.OPENED, "opened", "", day.isoformat()),))
    return _split_off(held, day, _label_for_one(shelf, held, label))


def _label_for_one(shelf: Shelf, held: Holding, label: str | None) -> str:
    if label is not None:
        if fold(label) in shelf.lots:
            raise RefusedError(f"There is a lot {label} already. Give the container another label.")
        shelf.refuse_label(label, held.lot.item)
        return label
    names = (f"{held.label}-{number}" for number in count(1))
    return next(name for name in names if fold(name) not in shelf.lots)


def _split_off(held: Holding, day: date, label: str) -> Booking:
    lot = held.lot
    share = _share(held)
    now = "" if lot.containers - 1 == 1 else str(lot.containers - 1)
    cells = {
        "lot": label,
        "item": lot.item,
        "amount": in_digits(of_billionths(share), held.material),
        "expiry": lot.expiry.isoformat() if lot.expiry else "",
        "opened": day.isoformat(),
        "state": "" if lot.state is LotState.USABLE else str(lot.state),
        "place": lot.place or "",
        "received": lot.received.isoformat() if lot.received else "",
        "tested": lot.tested.isoformat() if lot.tested else "",
        "batch_number": lot.batch_number or "",
    }
    fewer = Change(column="containers", was=str(lot.containers), now=now)
    return Booking(
        movements=(
            Movement(
                lot=lot.lot, what=What.OPENED, billionths=-share, unit=held.unit, change=fewer
            ),
            Movement(lot=label, what=What.OPENED, billionths=share, unit=held.unit, item=lot.item),
        ),
        new_lots=({column: cell for column, cell in cells.items() if cell},),
    )


def _share(held: Holding) -> int:
    """Return what one of a lot's containers holds, in billionths; a whole number of counted things.

    An equal share, rounded down; of counted things to the nearest whole number, one at least, since
    nobody opens a box with nothing in it.
    """
    if held.unit is not Kind.COUNT:
        return in_billionths(held.amount) // held.lot.containers
    pieces = (held.amount / held.lot.containers).quantize(Decimal(1), ROUND_HALF_UP)
    return in_billionths(min(max(pieces, Decimal(1)), held.amount))


def moved(held: Holding, place: str) -> Movement:
    """Return a lot's move to another place.

    Raises:
        RefusedError: It stands there already.
    """
    if held.lot.place == place:
        raise RefusedError(f"Lot {held.label} is at {place} already.")
    return changed(held, What.MOVED, "place", held.lot.place or "", place)


def state_changed(held: Holding, state: LotState) -> Movement:
    """Return a lot's change to another state.

    Raises:
        RefusedError: It is in that state already.
    """
    if held.lot.state is state:
        raise RefusedError(f"Lot {held.label} is {state} already.")
    return changed(held, What.STATE_CHANGED, "state", _cell(held.lot.state), _cell(state))


def _cell(state: LotState) -> str:
    """Return a state as a row says it: blank where it is the usual one."""
    return "" if state is LotState.USABLE else str(state)
