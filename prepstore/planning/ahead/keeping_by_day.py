"""What it costs to keep what was bought until it is used: first in, first out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO


@dataclass(frozen=True, slots=True)
class Arrived:
    """An amount of an item that came on a day, the price of a unit of it, and its last day."""

    day: date
    code: str
    amount: Decimal
    unit_price: Decimal
    last_day: date | None


def cost_of_keeping(
    arrived: Iterable[Arrived], used: Iterable[tuple[date, Decimal]], ends: Sequence[date]
) -> Decimal:
    """Return the sum over the ends of weeks of what is there then, at the price paid.

    Args:
        arrived: Of one item; used up by day of arrival, on one day by pack code.
        used: How much of it is used on which day.
        ends: The last days of the weeks.

    Returns:
        Money; what is out of date on an end costs nothing from then on.
    """
    queue = sorted(arrived, key=lambda one: (one.day, one.code))
    uses = sorted(used, key=lambda one: one[0])
    total = ZERO
    for end in ends:
        total += _there(queue, [one for one in uses if one[0] <= end], end)
    return total


def _there(queue: Sequence[Arrived], uses: Sequence[tuple[date, Decimal]], end: date) -> Decimal:
    """Return the price of what is left of arrivals at the end of a day."""
    left = [one.amount if one.day <= end else ZERO for one in queue]
    for day, amount in uses:
        wanted = amount
        for place, one in enumerate(queue):
            if wanted <= 0:
                break
            # What comes late is used when it comes: so its day does not matter here.
            if left[place] <= 0 or (one.last_day is not None and one.last_day < day):
                continue
            taken = min(wanted, left[place])
            left[place] -= taken
            wanted -= taken
    return sum(
        (
            amount * one.unit_price
            for one, amount in zip(queue, left, strict=True)
            if one.last_day is None or end <= one.last_day
        ),
        ZERO,
    )
