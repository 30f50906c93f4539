"""Money and how it is known, in words and as cells for other programs."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction
from typing import Any, Final

from prepstore.amounts import RESOLUTION, Kind
from prepstore.report.row_lists import number_in_json
from prepstore.report.wording import money_in_words
from prepstore.shelf.prices import Cost, Known, cents, in_digits

COST_COLUMNS: Final = ("paid", "estimated", "known", "no_price")
LARGER: Final = {Kind.MASS: ("kg", 1000), Kind.VOLUME: ("L", 1000), Kind.COUNT: ("each", 1)}
"""What people say prices of, and how many of the unit that is."""


def known_in_words(cost: Cost) -> str:
    """Return how money is known: in a word, or in shares where it is known in several ways.

    >>> from prepstore.shelf.prices import estimated, not_known, paid
    >>> known_in_words(paid(Fraction(3)) + estimated(Fraction(1)) + not_known("dye"))
    'paid 75 %, estimated 25 %, some not known'
    """
    if cost.ways == {Known.NOT_KNOWN}:
        return str(Known.NOT_KNOWN)
    is_mixed = {Known.PAID, Known.ESTIMATED} <= cost.ways and cost.total > 0
    words = _shares(cost) if is_mixed else _known_part(cost)
    return f"{words}, some {Known.NOT_KNOWN}" if Known.NOT_KNOWN in cost.ways else words


def _known_part(cost: Cost) -> str:
    return str(Cost(ways=cost.ways - {Known.NOT_KNOWN}).known)


def _shares(cost: Cost) -> str:
    """Return shares of at least 1 %, so that neither way is said to be none of it."""
    percent = int(cost.paid / cost.total * 100 + Fraction(1, 2))
    percent = min(max(percent, 1), 99)
    return f"{Known.PAID} {percent} %, {Known.ESTIMATED} {100 - percent} %"


def money(cost: Cost) -> Decimal | None:
    """Return what is counted, which is in cents or as it was typed; None where nothing is known."""
    return None if cost.ways == {Known.NOT_KNOWN} else in_digits(cost.total)


def cost_in_words(cost: Cost, currency: str | None) -> str:
    """Return what is counted as people say it; blank where nothing is known."""
    number = money(cost)
    return "" if number is None else money_in_words(number, currency)


def cost_cells(cost: Cost) -> dict[str, Any]:
    """Return what was paid and estimated as numbers, how they are known, and what has no price."""
    return {
        "paid": number_in_json(in_digits(cost.paid)),
        "estimated": number_in_json(in_digits(cost.estimated)),
        "known": known_in_words(cost),
        "no_price": sorted(cost.lacking),
    }


def money_cell(cost: Cost) -> int | float | None:
    """Return what is counted as a number for other programs; None where nothing is known."""
    number = money(cost)
    return None if number is None else number_in_json(number)


def price_in_words(price: Cost, unit: Kind, currency: str | None) -> str:
    """Return the price of a kilogram, a litre or a piece; blank where it is not known."""
    if price.lacking:
        return ""
    larger, times = LARGER[unit]
    return f"{money_in_words(cents(price.total * times), currency)}/{larger}"


def price_cell(price: Cost) -> int | float | None:
    """Return the price of one unit to a billionth, for other programs; None if not known."""
    if price.lacking:
        return None
    return number_in_json(in_digits(price.total).quantize(RESOLUTION))


def no_price_lines(names: Iterable[str]) -> Iterator[str]:
    """Yield a line that names what has no price, and says that it is not counted."""
    lacking = ", ".join(sorted(names))
    if lacking:
        yield f"Not counted, since no price is recorded and no pack is sold: {lacking}."
