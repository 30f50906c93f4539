"""What about a recording may be a slip: asked about first, or told beside it."""

from calendar import monthrange
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Final

from prepstore.cell_types import LotState, fold
from prepstore.movements import (
    Booking,
    Movement,
    OrderChange,
    OrderWhat,
    TimetableChange,
    What,
)
from prepstore.shelf.asked import in_words
from prepstore.shelf.shelf import Shelf
from prepstore.stores import Holding

_YEARS_OF_USE: Final = 1
_YEARS_OF_EXPIRY: Final = 30
"""Common practice, no source: hardly anything is given more than twenty years."""


def doubts_of(booking: Booking, shelf: Shelf, day: date, today: date) -> Iterator[str]:
    """Yield a sentence for each date that is far from what one expects.

    Args:
        booking: What is to be recorded.
        shelf: The lots as they are before.
        day: The day on which it happened, as it is told.
        today: The real day.
    """
    yield from doubts_of_orders(booking, day, today)
    for lot, expiry in _expiries(booking):
        if expiry > _years_after(today, _YEARS_OF_EXPIRY):
            yield f"Lot {lot} would keep until {expiry}, more than thirty years. Check the year."
    for movement in booking.movements:
        held = shelf.lots.get(fold(movement.lot))
        if held is not None and movement.what is What.COUNTED:
            yield from _far_more(held, movement)
        came = held.lot.received if held is not None else None
        if came is not None and day < came and movement.what not in _WITHOUT_A_DAY:
            yield f"Lot {movement.lot} came on {came}, which is after {day}. Check the day."


_FAR_MORE: Final = 10
"""A count of more than so many times what was there is likelier another unit. Common practice."""


def _far_more(held: Holding, movement: Movement) -> Iterator[str]:
    now = held.amount + movement.number
    if held.amount and now > held.amount * _FAR_MORE:
        yield (
            f"Lot {held.label} held {in_words(held.amount, held.material)} and would hold "
            f"{in_words(now, held.material)} now. Check the number and its unit."
        )


def doubts_of_day(day: date, today: date) -> Iterator[str]:
    """Yield a sentence where the day on which something happened is far ahead."""
    if day > _years_after(today, _YEARS_OF_USE):
        yield f"{day} is more than a year ahead of today, {today}. Check the year."


def doubts_of_orders(booking: Booking, day: date, today: date) -> Iterator[str]:
    """Yield a sentence for each date that is far ahead, as `doubts_of`, of orders alone."""
    yield from doubts_of_day(day, today)
    for change in _due_anew(booking):
        if change.due > _years_after(today, _YEARS_OF_USE):
            yield f"{change.pack} would be due on {change.due}, more than a year ahead."


def doubts_of_sessions(changes: Iterable[TimetableChange], today: date) -> Iterator[str]:
    """Yield a sentence for each session whose day would be more than a year from today."""
    for change in changes:
        if change.column == "date" and change.now:
            day = date.fromisoformat(change.now)
            if day > _years_after(today, _YEARS_OF_USE) or today > _years_after(day, _YEARS_OF_USE):
                yield (
                    f"Session {change.session} would be on {day}, more than a year from today, "
                    f"{today}. Check the year."
                )


_WITHOUT_A_DAY: Final = frozenset({What.UNDONE, What.CORRECTED, What.RECEIVED})


def remarks_on(booking: Booking, shelf: Shelf, day: date, today: date) -> Iterator[str]:
    """Yield a sentence for what is recorded all the same and is worth a word.

    Args:
        booking: What is recorded.
        shelf: The lots as they are before.
        day: The day on which it happened, as it is told.
        today: The real day.
    """
    yield from remarks_on_orders(booking, day, today)
    for movement in booking.movements:
        yield from _not_to_be_used(movement, shelf, day)
    for lot, expiry in _expiries(booking):
        if expiry < day:
            yield f"Lot {lot} is out of date on {day} already: it keeps until {expiry}."


def remarks_on_orders(booking: Booking, day: date, today: date) -> Iterator[str]:
    """Yield a sentence for what is worth a word, as `remarks_on`, of orders alone."""
    # A name is often retired from a day ahead, such as the end of term.
    others = (booking.movements, booking.uses, booking.orders, booking.containers)
    is_of_names_alone = not any(others)
    if today < day <= _years_after(today, _YEARS_OF_USE) and not is_of_names_alone:
        yield f"{day} is still to come: today is {today}."
    for change in _due_anew(booking):
        if change.due < day:
            yield f"{change.pack} would have come on {change.due}, before {day}. Check the day."


def _not_to_be_used(movement: Movement, shelf: Shelf, day: date) -> Iterator[str]:
    held = shelf.lots.get(fold(movement.lot))
    if held is None or movement.what is not What.USED:
        return
    if held.last_day is not None and held.last_day < day:
        yield f"Lot {held.label} was out of date on {day}: its last day was {held.last_day}."
    if not held.is_usable:
        is_so = "in quarantine" if held.lot.state is LotState.QUARANTINE else str(held.lot.state)
        yield f"Lot {held.label} is {is_so}, and plans do not count it."


def _expiries(booking: Booking) -> Iterator[tuple[str, date]]:
    """Yield lot and expiry of each lot that gets one."""
    for cells in booking.new_lots:
        if "expiry" in cells:
            yield cells["lot"], date.fromisoformat(cells["expiry"])
    for movement in booking.movements:
        change = movement.change
        if movement.what is What.UNDONE or change is None or change.column != "expiry":
            continue
        if change.now:
            yield movement.lot, date.fromisoformat(change.now)


def _due_anew(booking: Booking) -> Iterator[OrderChange]:
    for change in booking.orders:
        if change.what in (OrderWhat.DUE_CHANGED, OrderWhat.PLACED) and change.packs > 0:
            yield change


def _years_after(day: date, years: int) -> date:
    """Return the same day so many years later, the last one there is beyond the calendar."""
    year = day.year + years
    if year > date.max.year:
        return date.max
    # The 29th of February has no such day in most years.
    return day.replace(year=year, day=min(day.day, monthrange(year, day.month)[1]))
