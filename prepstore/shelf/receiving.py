"""What comes in: into a new lot, or into one that is there."""

from dataclasses import dataclass, replace
from datetime import date, timedelta

from prepstore.amounts import LARGEST_AMOUNT
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material
from prepstore.lot_labels import free_label
from prepstore.movements import Booking, Change, Movement, What
from prepstore.problems import RefusedError
from prepstore.shelf.asked import Quantity, in_digits
from prepstore.shelf.shelf import Shelf
from prepstore.stores import Holding, in_date_until


@dataclass(frozen=True, slots=True)
class Bought:
    """What is known of a purchase: its price in all, in digits, who sold it, the paper with it."""

    paid: str | None = None
    supplier: str | None = None
    delivery_note: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Coming:
    """Something that comes in on a day: how much of what, and the lot that it becomes.

    `label` is None where one is to be given to it; `containers` is None where nothing is said.
    `order_line` is the delivery that it came with.
    """

    material: Material
    amount: Quantity
    day: date
    what: What = What.RECEIVED
    label: str | None = None
    expiry: date | None = None
    containers: int | None = None
    place: str | None = None
    batch_number: str | None = None
    order_line: str | None = None
    bought: Bought = Bought()


def keeps_until(shelf: Shelf, material: Material, made_on: date) -> date | None:
    """Return the last day of a solution made on a day; None where it keeps."""
    solution = shelf.goods.solutions.get(fold(material.name))
    if solution is None or solution.shelf_life is None:
        return None
    return made_on + timedelta(days=solution.shelf_life)


def received(shelf: Shelf, coming: Coming) -> Booking:
    """Return what comes in, into the lot of its label where there is one.

    Raises:
        RefusedError: The label is that of another item or of a lot that keeps otherwise, or a
            solution that does not keep has no expiry.
    """
    known = shelf.lots.get(fold(coming.label)) if coming.label else None
    if known is None:
        return new_lot(shelf, coming)
    _refuse_what_is_not_alike(known, coming)
    return Booking(
        movements=(
            _movement(known.label, coming),
            *_more_containers(known, coming),
            *_put_elsewhere(known, coming),
        )
    )


def new_lot(shelf: Shelf, coming: Coming) -> Booking:
    """Return a new lot: the movement that fills it and the cells of its row.

    An item with a `shelf_life` has its last day from the day it came, where none is given.

    Raises:
        RefusedError: A solution that does not keep has no expiry.
    """
    material = coming.material
    keeps = keeps_until(shelf, material, coming.day)
    if keeps is not None and coming.expiry is None:
        what = f"{material.name} goes out of date, so its lot needs a last day."
        raise RefusedError(f"{what} Give --expiry; made on {coming.day} it would be {keeps}.")
    if coming.label is not None:
        shelf.refuse_label(coming.label, material.name)
    item = shelf.goods.items.get(fold(material.name))
    expiry = coming.expiry or (in_date_until(item, coming.day) if item else None)
    label = coming.label or free_label(coming.day, shelf.lots, shelf.stores.reserved.of)
    cells = {
        "lot": label,
        "item": material.name,
        "amount": coming.amount.written or in_digits(coming.amount.number, material),
        "expiry": expiry.isoformat() if expiry else "",
        "containers": str(coming.containers) if (coming.containers or 1) > 1 else "",
        "place": coming.place or "",
        "received": coming.day.isoformat(),
        "batch_number": coming.batch_number or "",
    }
    return Booking(
        movements=(replace(_movement(label, coming), item=material.name),),
        new_lots=({column: cell for column, cell in cells.items() if cell},),
    )


def _movement(label: str, coming: Coming) -> Movement:
    return Movement(
        lot=label,
        what=coming.what,
        billionths=coming.amount.billionths,
        unit=coming.material.unit,
        written=coming.amount.written,
        order_line=coming.order_line,
        paid=coming.bought.paid,
        supplier=coming.bought.supplier,
        delivery_note=coming.bought.delivery_note,
    )


def _refuse_what_is_not_alike(known: Holding, coming: Coming) -> None:
    remedy = "Give what came a label of its own."
    if fold(known.lot.item) != fold(coming.material.name):
        what = f"Lot {known.label} is {known.lot.item}, not {coming.material.name}."
        raise RefusedError(f"{what} {remedy}")
    if coming.expiry is not None and coming.expiry != known.lot.expiry:
        what = f"Lot {known.label} keeps until {known.lot.expiry or 'no day'}, not {coming.expiry}."
        raise RefusedError(f"{what} {remedy}")
    if coming.batch_number is not None and fold(coming.batch_number) != fold(
        known.lot.batch_number or ""
    ):
        what = f"Lot {known.label} is of batch {known.lot.batch_number or 'unknown'}, not"
        raise RefusedError(f"{what} {coming.batch_number}. {remedy}")
    if coming.containers is not None and known.lot.opened is not None:
        what = f"Lot {known.label} is opened, so no more containers can have its label."
        raise RefusedError(f"{what} {remedy}")
    if known.amount + coming.amount.number >= LARGEST_AMOUNT:
        raise RefusedError(f"Lot {known.label} would hold more than any store. Check the amount.")


def _put_elsewhere(known: Holding, coming: Coming) -> tuple[Movement, ...]:
    """Return the move of a lot that stands somewhere else from now on."""
    was = known.lot.place or ""
    if coming.place is None or coming.place == was:
        return ()
    change = Change(column="place", was=was, now=coming.place)
    return (Movement(lot=known.label, what=What.MOVED, unit=known.unit, change=change),)


def _more_containers(known: Holding, coming: Coming) -> tuple[Movement, ...]:
    """Return the change in the number of a lot's containers, where it is said how many came."""
    if coming.containers is None:
        return ()
    before = known.lot.containers
    now = before + coming.containers if known.amount else coming.containers
    if now == before:
        return ()
    was = "" if before == 1 else str(before)
    change = Change(column="containers", was=was, now=str(now))
    return (Movement(lot=known.label, what=What.CORRECTED, unit=known.unit, change=change),)
