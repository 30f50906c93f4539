"""A mistake undone: movements that reverse an entry's."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from prepstore.amounts import in_billionths, of_billionths
from prepstore.columns import TABLES
from prepstore.facts import LotState, OnOrder, fold
from prepstore.movements import (
    Booking,
    Change,
    Movement,
    OrderChange,
    OrderWhat,
    Recorded,
    RecordedName,
    RecordedOrder,
    SessionUse,
    What,
)
from prepstore.problems import RefusedError
from prepstore.shelf.asked import in_digits
from prepstore.shelf.deliveries import OrderKey, key_of
from prepstore.shelf.names import change_undone
from prepstore.shelf.shelf import LotHeld, Shelf
from prepstore.shelf.using import quoted


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What was recorded in one go: movements, session uses, changes of orders and of names.

    `of_session` are all uses of its session, those of later entries too.
    """

    number: int
    movements: Sequence[Recorded]
    uses: Sequence[SessionUse]
    of_session: Sequence[SessionUse]
    orders: Sequence[RecordedOrder]
    names: Sequence[RecordedName]


def undone(shelf: Shelf, entry: Entry) -> Booking:
    """Return what reverses an entry: every amount, changed cell, session's use and order.

    Args:
        shelf: The lots as they are now, what is on order and, to undo a name, all names.
        entry: What is to be undone.

    Raises:
        RefusedError: It is undone already, or something has happened since that stands in the
            way; a sentence for each reason.
    """
    _refuse_what_has_no_way_back(entry)
    reasons = [reason for one in entry.movements if (reason := _in_the_way(shelf, one))]
    reasons += _below_nothing(shelf, entry.movements)
    reasons += _less_than_nothing_used(entry)
    reasons += _no_longer_on_order(shelf.inventory.on_order, entry.orders)
    if reasons:
        raise RefusedError(*reasons)
    # The last first, so that cells changed twice go back step by step.
    back = [_reversed(shelf.lot(one.movement.lot), one) for one in entry.movements[::-1]]
    return Booking(
        # What comes back before what goes, so that no lot falls below nothing on the way.
        movements=tuple(sorted(back, key=lambda movement: movement.billionths < 0)),
        uses=tuple(replace(use, planned=-use.planned, used=-use.used) for use in entry.uses),
        orders=tuple(_order_reversed(one) for one in entry.orders),
        names=tuple(change_undone(shelf, one.change) for one in entry.names[::-1]),
        session=entry.uses[0].session if entry.uses else None,
        reason=f"undoes entry {entry.number}",
    )


def _refuse_what_has_no_way_back(entry: Entry) -> None:
    number = entry.number
    reversals = [one.undone_by for one in entry.movements]
    reversals += [one.undone_by for one in entry.orders]
    undone_by = next((other for other in reversals if other is not None), None)
    if undone_by is not None:
        what = f"Entry {number} was undone by entry {undone_by} already."
        raise RefusedError(f"{what} To have it back: prepstore stock undo {undone_by}")
    if any(one.movement.what is What.OPENING_AMOUNT for one in entry.movements):
        what = f"Entry {number} is a load of tables with new lots, which cannot be undone."
        raise RefusedError(f"{what} Count or discard the lots that are wrong.")


def _order_reversed(one: RecordedOrder) -> OrderChange:
    change = one.change
    return replace(change, what=OrderWhat.UNDONE, packs=-change.packs, reverses=one.number)


def _no_longer_on_order(
    on_order: Iterable[OnOrder], orders: Sequence[RecordedOrder]
) -> Iterator[str]:
    """Yield a sentence for each order of which fewer packs are to come than would be taken off."""
    there: dict[OrderKey, int] = {key_of(order): order.packs for order in on_order}
    for one in orders:
        key = key_of(one.change)
        there[key] = there.get(key, 0) - one.change.packs
    for one in orders:
        if there[key_of(one.change)] < 0:
            reference = f" of {one.change.reference}" if one.change.reference else ""
            yield (
                f"Not all of {one.change.pack}{reference}, due on {one.change.due}, is still on "
                "order. Undo what was recorded later first: prepstore order history"
            )


def _reversed(held: LotHeld, one: Recorded) -> Movement:
    change = one.movement.change
    back = change and Change(column=change.column, was=change.now, now=change.was)
    return replace(
        one.movement,
        lot=held.label,
        what=What.UNDONE,
        billionths=-one.movement.billionths,
        written="",
        change=back,
        reverses=one.number,
    )


def _in_the_way(shelf: Shelf, one: Recorded) -> str:
    """Return why a changed cell cannot go back; blank where nothing stands in the way."""
    change = one.movement.change
    if change is None:
        return ""
    held = shelf.lot(one.movement.lot)
    now = _cell(held, change.column)
    if now == _usual_left_out(change.column, change.now):
        return ""
    what = f"The {change.column} of lot {held.label} is '{now}' now, no longer '{change.now}'."
    return f"{what} Undo what was recorded after entry {one.entry} first."


_USUAL: Final[Mapping[str, str]] = {"state": str(LotState.USABLE), "containers": "1"}
"""What a blank cell means, so that it is the same whether written or left out."""


def _cell(held: LotHeld, column: str) -> str:
    """Return a cell of a lot's row as a movement writes it."""
    value = getattr(held.lot, TABLES["stock"].columns[column].field)
    return "" if value is None else _usual_left_out(column, str(value))


def _usual_left_out(column: str, cell: str) -> str:
    return "" if cell == _USUAL.get(column) else cell


def _below_nothing(shelf: Shelf, entry: Iterable[Recorded]) -> list[str]:
    """Return a sentence for each lot that would hold less than nothing."""
    after: dict[str, int] = {}
    for one in entry:
        lot = fold(one.movement.lot)
        before = after.get(lot, in_billionths(shelf.lot(lot).amount))
        after[lot] = before - one.movement.billionths
    short = [(shelf.lot(lot), -held) for lot, held in after.items() if held < 0]
    return [
        f"Lot {held.label} would hold {in_digits(of_billionths(lacks), held.material)} less than "
        f"nothing, since some of it has gone since. Undo that first, or count the lot."
        for held, lacks in short
    ]


def _less_than_nothing_used(entry: Entry) -> Iterator[str]:
    """Yield a sentence for each item of which more would have come back than was used."""
    total: dict[str, int] = {}
    for use in entry.of_session:
        total[fold(use.item)] = total.get(fold(use.item), 0) + use.used
    for use in entry.uses:
        if total[fold(use.item)] < use.used:
            yield (
                f"Session {use.session} brought {use.item} back later. Undo that entry first: "
                f"prepstore stock history --session {quoted(use.session)}"
            )
