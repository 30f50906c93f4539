"""What was recorded in a copy of a store, and what a store held when it was: before it is taken in.

A prep room goes on with a copy while the store cannot be reached; what it recorded there is taken
into the store afterwards, entry by entry.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

from prepstore.movements import Booking, Signed

Key = tuple[str, str, str]
"""What tells entries apart wherever they are: instant, person and day."""

Uses = Mapping[str, tuple[int, ...]]
"""Of each session how many uses were recorded, and what was planned, used and lacked together."""


def key_of(signed: Signed) -> Key:
    """Return what tells an entry apart from all others, in whichever store it is."""
    return signed.at_utc, signed.by, signed.on_day.isoformat()


@dataclass(frozen=True, slots=True, kw_only=True)
class Past:
    """What a store held at a moment of all that a booking touches.

    `lots` and `containers` are in billionths, lots by folded label and containers as spelled;
    `states` of containers, blank for one that is not there; `empty` how many empty ones a stream
    (as spelled) has; `orders` packs by folded reference and pack, and day. What began is with the
    entry with which it began last, where that is known.
    """

    lots: Mapping[str, int] = field(default_factory=dict)
    lots_began: Mapping[str, int] = field(default_factory=dict)
    containers: Mapping[str, int] = field(default_factory=dict)
    states: Mapping[str, str] = field(default_factory=dict)
    empty: Mapping[str, int] = field(default_factory=dict)
    containers_began: Mapping[str, int] = field(default_factory=dict)
    sessions: Uses = field(default_factory=dict)
    sessions_began: Mapping[str, int] = field(default_factory=dict)
    orders: Mapping[tuple[str, str, str], int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class CopiedEntry:
    """An entry of a copy: its number there, who recorded what, and what the copy held before it."""

    number: int
    signed: Signed
    booking: Booking
    before: Past
