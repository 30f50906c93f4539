"""Amounts, dates and reasons as people say them."""

from collections.abc import Iterable
from datetime import date
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal
from functools import cache
from typing import Final

from prepstore.amounts import LARGER, THOUSAND, Kind, plain, settle
from prepstore.cell_types import Container, Share
from prepstore.chemistry.conversions import Material
from prepstore.planning.calendar import Period
from prepstore.planning.setting_out import Bottles, too_much_for
from prepstore.planning.states import Lack, Why
from prepstore.recorded import OfEntry
from prepstore.settings import Settings

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


def practical_amount(
    number: Decimal, kind: Kind, settings: Settings, *, is_least: bool = False
) -> str:
    """Return an amount as a person can weigh or measure it.

    A weighing is as fine as the balance that it is for, a volume has three figures, counted things
    are whole.

    Args:
        number: How much, in the unit that `kind` names.
        kind: What it measures.
        settings: The department's balances.
        is_least: Whether it must not be less than the exact figure, as on a bench.

    >>> practical_amount(Decimal("144.395"), Kind.VOLUME, Settings(), is_least=True)
    '145 mL'
    >>> practical_amount(Decimal("21.2574"), Kind.MASS, Settings())
    '21.26 g'
    """
    settled = settle(number)
    step = Decimal(1) if kind is Kind.COUNT else _fineness(settled, kind, settings)
    up = ROUND_CEILING if is_least or kind is Kind.COUNT else ROUND_HALF_UP
    rounded = (settled / step).to_integral_value(up) * step
    if abs(rounded) >= THOUSAND and kind in LARGER:
        return f"{plain(rounded / THOUSAND)} {LARGER[kind]}"
    if 0 < abs(rounded) < Decimal("0.1") and kind in _SMALLER:
        return f"{plain(rounded * THOUSAND)} {_SMALLER[kind]}"
    return plain(rounded) if kind is Kind.COUNT else f"{plain(rounded)} {kind}"


_HUNDRED: Final = Decimal(100)
_FIGURES_OF_A_CYLINDER: Final = 3
_FINEST_VOLUME: Final = Decimal("0.01")


def _fineness(number: Decimal, kind: Kind, settings: Settings) -> Decimal:
    """Return the step in which an amount is weighed or measured."""
    figures = Decimal(1).scaleb(number.adjusted() + 1 - _FIGURES_OF_A_CYLINDER)
    if kind is not Kind.MASS:
        return max(figures, _FINEST_VOLUME) if number >= 1 else min(figures, _FINEST_VOLUME)
    if number < settings.balance * _HUNDRED:
        return settings.analytical_balance
    # A balance that shows 0.01 g does not carry kilograms.
    return max(settings.balance, figures / 10)


def _figures(number: Decimal) -> Decimal:
    """Round to four figures, whole numbers kept whole."""
    if number == 0:
        return Decimal(0)
    places = max(0, _FIGURES - 1 - number.adjusted())
    return number.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)


_TEN, _TENTH, _ONE = Decimal(10), Decimal("0.1"), Decimal(1)


def rough_percent_in_words(percent: Decimal) -> str:
    """Return a share as people read it: whole, below 10 % to a tenth.

    >>> [rough_percent_in_words(Decimal(one)) for one in ("62.49", "8.06", "0.04", "0")]
    ['62 %', '8.1 %', 'below 0.1 %', '0 %']
    """
    step = _TENTH if percent < _TEN else _ONE
    rounded = percent.quantize(step, rounding=ROUND_HALF_UP)
    if percent > 0 and percent < _TENTH:
        return f"below {_TENTH} %"
    return f"{plain(rounded)} %"


def shares_in_words(shares: Iterable[Share]) -> str:
    """Return where something ends as people write it.

    >>> shares_in_words([Share("aqueous acid", Decimal("0.9")), Share("air", Decimal("0.1"))])
    'aqueous acid 90 %; air 10 %'
    """
    whole = Decimal(1)
    return "; ".join(
        share.end if share.fraction == whole else f"{share.end} {percent_in_words(share.fraction)}"
        for share in shares
    )


@cache
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


def near_day_in_words(day: date) -> str:
    """Return a day of which the month is plain.

    >>> near_day_in_words(date(2027, 3, 8))
    'Mon 8'
    """
    return f"{_WEEKDAYS[day.weekday()]} {day.day}"


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


def vessels_in_words(flasks: Iterable[Decimal]) -> str:
    """Return what a batch without a step is rounded up to; flasks are in mL."""
    sizes = [amount_in_words(size, Kind.VOLUME) for size in flasks]
    return f"{', '.join(sizes)}, multiples of {sizes[-1]} or its largest batch"


def bottles_in_words(
    bottles: Bottles, container: Container | None, material: Material, settings: Settings
) -> str:
    """Return how many containers are filled alike, with how much each, for how many sets."""
    unit = material.unit
    too_small = too_much_for(container, material, bottles.amount) is not None
    sets = f"{bottles.sets} sets" if bottles.sets != 1 else "1 set"
    amount = practical_amount(bottles.amount, unit, settings, is_least=True)
    each = "each " if bottles.number > 1 else ""
    return f"{bottles.number} × {container or 'container'}, {each}{amount} ({sets})" + (
        ": TOO SMALL" if too_small else ""
    )


def lack_in_words(lack: Lack) -> str:
    """Return why an item is short for a session."""
    needed = f"needed by {day_in_words(lack.needed_by)}"
    if lack.is_only_spare:
        needed += "; only spare is short"
    match lack.why:
        case Why.TOO_LATE if lack.arrives is not None:
            return f"{needed}; if ordered today, it comes on {day_in_words(lack.arrives)}"
        case Why.TO_ORDER:
            return f"to be ordered, {needed}"
        case Why.OVER_CAPACITY:
            return str(lack.why)
        case _:
            return f"{lack.why}, {needed}"


def order_reference(supplier: str, day: date) -> str:
    """Return what an order to a supplier is called that is placed on a day."""
    return f"{supplier} {day}"


def user_in_words(one: OfEntry) -> str:
    """Return who recorded something, and as whom a server knew that person if that differs."""
    return " as ".join(one.users)


def why_in_words(one: OfEntry) -> str:
    """Return why something was recorded, and from where it was taken in if it was.

    The day is that of the taking in, in UTC.
    """
    taken = f"taken in from {one.taken_from} on {one.taken_in[:10]}" if one.taken_in else ""
    return "; ".join(part for part in (one.reason, taken) if part)
