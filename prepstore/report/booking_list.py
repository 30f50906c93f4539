"""A booking as lines for the person who records it."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import fine_amount_in_words, in_billionths, of_billionths
from prepstore.cell_types import LotState, fold
from prepstore.movements import Booking, Movement, What
from prepstore.report.text_table import as_table
from prepstore.report.wording import money_in_words
from prepstore.shelf.counting import Count, SheetCount
from prepstore.shelf.shelf import Shelf
from prepstore.shelf.using import quoted
from prepstore.stores import Holding, is_to_be_dated


@dataclass(frozen=True, slots=True)
class LotsBefore:
    """What lots held before, in billionths, and what is in them, by folded label."""

    held: Mapping[str, int]
    items: Mapping[str, str]

    @classmethod
    def of(cls, shelf: Shelf) -> "LotsBefore":
        """Return all lots of a shelf."""
        return cls(
            {label: in_billionths(held.amount) for label, held in shelf.lots.items()},
            {label: held.material.name for label, held in shelf.lots.items()},
        )


def booking_lines(booking: Booking, before: LotsBefore) -> Iterator[str]:
    """Yield a line a movement: the lot, what happened, and what is left.

    Args:
        booking: What is recorded.
        before: The lots as they were before.
    """
    left = dict(before.held)
    items = {**before.items, **{fold(cells["lot"]): cells["item"] for cells in booking.new_lots}}
    for movement in booking.movements:
        lot = fold(movement.lot)
        left[lot] = left.get(lot, 0) + movement.billionths
        words = movement_in_words(movement)
        now = fine_amount_in_words(of_billionths(left[lot]), movement.unit)
        is_amount = movement.billionths or movement.what is What.COUNTED
        yield f"{movement.lot} {items[lot]}: {words}" + (f", {now} left" if is_amount else "")


def lacked_lines(booking: Booking) -> Iterator[str]:
    """Yield a line for each thing of which a session was to take more than there was."""
    for use in booking.uses:
        if use.lacked > 0:
            left_out, planned = (
                fine_amount_in_words(of_billionths(number), use.unit)
                for number in (use.lacked, use.planned)
            )
            yield f"left out: {left_out} of {use.item}, which was not there ({planned} was planned)"


def to_be_opened(booking: Booking, shelf: Shelf) -> Iterator[str]:
    """Yield a line for each lot that was used from though nobody recorded its opening.

    Only for items that age once opened, or that form peroxides: their date decides.
    """
    for movement in booking.movements:
        held = shelf.lots.get(fold(movement.lot))
        if movement.what is What.USED and held is not None and is_to_be_dated(held, shelf.goods):
            yield (
                f"{held.label} is recorded as never opened, but {held.material.name} ages once "
                f"opened: prepstore stock open {quoted(held.label)}"
            )


def count_lines(count: SheetCount, shelf: Shelf) -> Iterator[str]:
    """Yield what a counting sheet found: each difference, how many agree, what to count again."""
    rows = []
    for movement in (one.movement for one in count.counts):
        held = shelf.lot(movement.lot)
        if movement.billionths:
            now = held.amount + movement.number
            rows.append(
                (
                    held.lot.place or "",
                    held.label,
                    held.material.name,
                    fine_amount_in_words(held.amount, held.unit),
                    fine_amount_in_words(now, held.unit),
                    _difference(movement),
                )
            )
    heading = ("place", "lot", "item", "should hold", "counted", "difference")
    yield from as_table(heading, rows)
    agree = len(count.counts) - len(rows)
    if count.counts:
        yield f"{len(rows)} of {len(count.counts)} counts differ, {agree} agree."
    elif not count.moved_since:
        yield "No row of the sheet has anything under Counted."
    for held in count.moved_since:
        name = f"{held.label} {held.material.name}"
        yield f"{name} has moved since the sheet was written: count it again."


def standing_on_a_count(count: Count, held: Holding, day: date) -> Iterator[str]:
    """Yield what a lot holds now where something has come or gone since the day of its count."""
    if count.since:
        now = fine_amount_in_words(held.amount + count.movement.number, held.unit)
        since = fine_amount_in_words(abs(of_billionths(count.since)), held.unit)
        way = "came" if count.since > 0 else "went"
        yield f"After {day} another {since} {way}, so lot {held.label} holds {now} now."


def movement_in_words(movement: Movement) -> str:
    """Return what happened, without the lot.

    >>> from prepstore.amounts import Kind
    >>> movement_in_words(Movement(lot="L1", what=What.USED, billionths=-10**9, unit=Kind.MASS))
    'used 1 g'
    """
    words = [str(movement.what)]
    if movement.what is What.COUNTED:
        words.append(_difference(movement))
    elif movement.billionths:
        signed = movement.what in (What.UNDONE, What.OPENED)
        number = movement.number if signed else abs(movement.number)
        plus = "+" if signed and number > 0 else ""
        words.append(f"{plus}{fine_amount_in_words(number, movement.unit)}")
    if movement.change is not None:
        words.append(f"{',' if movement.billionths else ''} {_change(movement)}")
    if movement.stream:
        words.append(f"into {movement.stream}")
    if movement.order_line:
        words.append(f"of {movement.order_line}")
    if movement.paid is not None:
        words.append(f"for {money_in_words(Decimal(movement.paid), None)}")
    return " ".join(words).replace(" ,", ",").replace("  ", " ")


def _difference(movement: Movement) -> str:
    if not movement.billionths:
        return "as expected"
    amount = fine_amount_in_words(abs(movement.number), movement.unit)
    return f"{amount} {'more' if movement.billionths > 0 else 'less'}"


def _change(movement: Movement) -> str:
    change = movement.change
    if change is None:
        return ""
    if movement.what is What.TESTED or (movement.what is What.OPENED and change.column == "opened"):
        return f"on {change.now}"
    usual = {"state": str(LotState.USABLE), "containers": "1"}.get(change.column, "blank")
    name = "" if movement.what in (What.MOVED, What.STATE_CHANGED) else f"{change.column} "
    return f"{name}from {change.was or usual} to {change.now or usual}"
