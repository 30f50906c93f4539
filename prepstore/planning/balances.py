"""What goes in comes out: of each line of each session, to the last digit."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, settle
from prepstore.cell_types import AIR, DRAIN, KEPT
from prepstore.planning.demands import Scale
from prepstore.planning.endings import Ending, is_stream

STREAMS: Final = "streams"
HELD_BACK: Final = "held_back"
OUT: Final = (KEPT, STREAMS, AIR, DRAIN, HELD_BACK)
"""Where a line's amount may be afterwards; what is not assigned counts as a stream."""


@dataclass(frozen=True, slots=True)
class Account:
    """What of a line goes in, and what comes out by `OUT`; settled, so that it closes exactly."""

    goes_in: Decimal
    out: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True)
class Balance:
    """The balance of one line of a session, in its item's unit (folded name).

    `expected` is without spare, `allow_for` with it.
    """

    name: str
    expected: Account
    allow_for: Account


def balances_of(scale: Scale) -> list[Balance]:
    """Return the balance of each line that is followed, in the order of the script.

    Not followed are apparatus and consumables whose line does not say where they end.
    """
    return [_of_line(one) for one in scale.endings.lines if one.ends]


def _of_line(ending: Ending) -> Balance:
    line = ending.line
    expected, allow_for = dict.fromkeys(OUT, ZERO), dict.fromkeys(OUT, ZERO)
    for end, amount in ending.ends.items():
        place = STREAMS if is_stream(end) else end
        expected[place] += amount.expected
        allow_for[place] += amount.allow_for
    expected[HELD_BACK] = ending.held_back.expected
    allow_for[HELD_BACK] = ending.held_back.allow_for
    return Balance(line.name, _closed(line.expected, expected), _closed(line.amount, allow_for))


def _closed(goes_in: Decimal, out: Mapping[str, Decimal]) -> Account:
    """Return figures settled, the largest of what comes out as the rest that makes them close."""
    settled = {place: settle(amount) if amount else ZERO for place, amount in out.items()}
    largest = max(settled, key=lambda place: settled[place])
    others = sum((amount for place, amount in settled.items() if place != largest), ZERO)
    return Account(settle(goes_in), {**settled, largest: settle(goes_in) - others})
