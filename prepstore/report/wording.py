"""Amounts, dates and reasons as people say them."""

from datetime import date
from decimal import ROUND_HALF_UP, Context, Decimal

from prepstore.amounts import LARGER, THOUSAND, Kind, plain
from prepstore.planning.calendar import Period
from prepstore.planning.states import Lack, Why

_SMALLER = {Kind.MASS: "mg", Kind.VOLUME: "µL"}
_FIGURES = 4
_WIDE = Context(prec=60)
"""Room for every digit of a price, however large."""


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
    if abs(rounded) >= THOUSAND and kind in LARGER:
        return f"{plain(_figures(number / THOUSAND))} {LARGER[kind]}"
    if 0 < abs(rounded) < Decimal("0.1") and kind in _SMALLER:
        return f"{plain(_figures(number * THOUSAND))} {_SMALLER[kind]}"
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


def far_day_in_words(day: date) -> str:
    """Return a day that may lie years ahead.

    >>> far_day_in_words(date(2028, 3, 7))
    'Tue 7 Mar 2028'
    """
    return f"{day_in_words(day)} {day.year}"


# Not strftime: a plan reads the same whatever the machine's language.
_WEEKDAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = (
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
)  # fmt: skip


def period_in_words(period: Period) -> str:
    """Return a period as people say it.

    >>> period_in_words(Period.of_week("2027-W10"))
    'Week 2027-W10, Mon 8 Mar to Sun 14 Mar'
    """
    days = f"{day_in_words(period.first)} to {day_in_words(period.last)}"
    return f"Week {period.week}, {days}" if period.week else f"{days} {period.last.year}"


def money_in_words(price: Decimal, currency: str | None) -> str:
    """Return a price with two decimals, more only where it has them.

    >>> money_in_words(Decimal("7.8"), "EUR"), money_in_words(Decimal("0.125"), None)
    ('7.80 EUR', '0.125')
    """
    cents = price.quantize(Decimal("0.01"), context=_WIDE)
    number = f"{cents:f}" if cents == price else plain(price)
    return f"{number} {currency}" if currency else number


def percent_in_words(fraction: Decimal) -> str:
    """Return a fraction of 0 to 1 as a percentage.

    >>> percent_in_words(Decimal("0.125"))
    '12.5 %'
    """
    return f"{plain(fraction * 100)} %"


def lack_in_words(lack: Lack) -> str:
    """Return why an item is short for a session."""
    needed = f"needed by {day_in_words(lack.needed_by)}"
    match lack.why:
        case Why.TOO_LATE if lack.arrives is not None:
            return f"{needed}; ordered today it comes on {day_in_words(lack.arrives)}"
        case Why.TO_ORDER:
            return f"to be ordered, {needed}"
        case Why.OVER_CAPACITY:
            return str(lack.why)
        case _:
            return f"{lack.why}, {needed}"
