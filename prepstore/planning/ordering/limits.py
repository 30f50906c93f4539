"""The most that may be there, as limits of the packs that may be ordered."""

from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.planning.ordering.model import Limit
from prepstore.planning.ordering.stands import Most, Stand


def limits_for(
    names: Sequence[str], sizes: Sequence[Decimal], arrivals: Sequence[date], stand: Stand
) -> Iterator[Limit]:
    """Yield what limits the packs, for each day on which some of them may arrive.

    All that is on order counts as there. A day on which nothing of the limited items arrives in the
    end limits nothing.

    Args:
        names: The item of each candidate, folded.
        sizes: What one pack of each holds, in the item's unit.
        arrivals: The day on which each is there, if ordered today.
        stand: What is there from day to day, and the limits.
    """
    for most in stand.limits:
        of_most = [place for place, name in enumerate(names) if name in most.of_one]
        holds = {place: sizes[place] * most.of_one[names[place]] for place in of_most}
        for day in sorted({arrivals[place] for place in of_most}):
            when = tuple(place for place in of_most if arrivals[place] == day)
            yield Limit(most.name, max(ZERO, room_on(most, day, stand)), holds, when, day)


def room_on(most: Most, day: date, stand: Stand) -> Decimal:
    """Return what may still come on a day; below nothing where too much is there already."""
    there = sum((stand.there(name, day) * of_one for name, of_one in most.of_one.items()), ZERO)
    return most.amount - there
