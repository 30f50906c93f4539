"""Amounts, dates and reasons as people say them."""

from datetime import date
from decimal import ROUND_HALF_UP, Decimal

from prepstore.amounts import Kind, plain
from prepstore.planning.states import Lack, Why

_THOUSAND = Decimal(1000)
_LARGER = {Kind.MASS: "kg", Kind.VOLUME: "L"}
_SMALLER = {Kind.MASS: "mg", Kind.VOLUME: "µL"}
_FIGURES = 4


def amount_in_words(number: Decimal, kind: Kind) -> str:
    """Return an amount as people say it: at most four figures, in the unit that fits.

    >>> amount_in_words(Decimal("2500.0000001"), Kind.VOLUME)
    '2.5 L'
    >>> amount_in_words(Decimal("0.0125"), Kind.MASS)
    '12.5 mg'
    """
    if kind is Kind.COUNT:
        return plain(_figures(number))
    rounded = _figures(number)
    if abs(rounded) >= _THOUSAND and kind in _LARGER:
        return f"{plain(_figures(number / _THOUSAND))} {_LARGER[kind]}"
    if 0 < abs(rounded) < Decimal("0.1") and kind in _SMALLER:
        return f"{plain(_figures(number * _THOUSAND))} {_SMALLER[kind]}"
    return f"{plain(rounded)} {kind}"


def _figures(number: Decimal) -> Decimal:
    """Round to four figures, whole numbers kept whole."""
    if number == 0:
        return Decimal(0)
    places = max(0, _FIGURES - 1 - number.adjusted())
    return number.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


def day_in_words(day: date) -> str:
    """Return a day as people say it.

    >>> day_in_words(date(2027, 3, 8))
    'Mon 8 Mar'
    """
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"


# Not strftime: a plan reads the same whatever the machine's language.
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def lack_in_words(lack: Lack) -> str:
    """Return why an item is short for a session."""
    needed = f"needed by {day_in_words(lack.needed_by)}"
    match lack.why:
        case Why.TOO_LATE if lack.arrives is not None:
            return f"{needed}; ordered today it comes on {day_in_words(lack.arrives)}"
        case Why.TO_ORDER:
            return f"to be ordered, {needed}"
        case _:
            return f"{lack.why}, {needed}"
