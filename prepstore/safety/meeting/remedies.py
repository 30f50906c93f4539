"""What to do about a hit, in plain words.

Common practice, no source. None of it says that something is safe: local rules and a competent
person decide.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from prepstore.safety.meeting.chart import ChartPair

_ACIDS: Final = {1, 2, 3}
_CAUSTICS: Final = 10
_WATER: Final = 106
_NOT_BESIDE_OTHERS: Final = {"E", "F", "GF", "GT", "P", "U"}


class Where(StrEnum):
    """Where substances meet: in a waste container, or where stock is kept."""

    STREAM = "stream"
    PLACE = "place"


@dataclass(frozen=True, slots=True)
class _Remedy:
    """What to do about a pair that a test holds for, in each kind of place."""

    holds: Callable[[ChartPair], bool]
    in_stream: str
    at_place: str


def remedy_for(pair: ChartPair, where: Where) -> str:
    """Return what to do about a pair, as one or more sentences."""
    remedy = next(one for one in _REMEDIES if one.holds(pair))
    return remedy.in_stream if where is Where.STREAM else remedy.at_place


def _is_acid_with_base(pair: ChartPair) -> bool:
    lower, higher = pair.groups
    return lower in _ACIDS and higher == _CAUSTICS


def _is_acid_with_water(pair: ChartPair) -> bool:
    lower, higher = pair.groups
    return lower in _ACIDS and higher == _WATER


_REMEDIES: Final = (
    _Remedy(
        lambda pair: pair.unknown,
        "Ask a competent person before they meet; until then a container of its own for each.",
        "Ask a competent person; until then keep them apart.",
    ),
    _Remedy(
        lambda pair: "X" in pair.codes,
        "A container of its own, dry and mixed with nothing; ask how it is made harmless first.",
        "Keep it dry, on a tray of its own, away from water and from everything else.",
    ),
    _Remedy(
        _is_acid_with_base,
        "Neutralise first, a little at a time, in the fume cupboard, by local rules; else a "
        "container of its own for each.",
        "Keep acids and bases in different cupboards, or at least on trays of their own.",
    ),
    _Remedy(
        _is_acid_with_water,
        "Acid into water, a little at a time, never water into acid; let it cool before the "
        "container is closed.",
        "Keep the acid on a tray of its own, so that a leak of one cannot reach the other.",
    ),
    _Remedy(
        lambda pair: bool(_NOT_BESIDE_OTHERS.intersection(pair.codes)),
        "Never in one container: a container of its own for each. Where one is already in it, "
        "add nothing, leave the cap loose, and ask.",
        "Keep them in different cupboards; if in doubt, ask.",
    ),
    _Remedy(
        lambda pair: "G" in pair.codes,
        "A container of its own for each; else let the gas off first, in the fume cupboard, by "
        "local rules, and leave the cap vented.",
        "Keep each on a tray of its own, so that a leak of one cannot reach the other.",
    ),
    _Remedy(
        lambda pair: "S" in pair.codes,
        "Ask which container takes toxic metals: what dissolves them makes them harder to remove.",
        "Keep each on a tray of its own, so that a leak of one cannot reach the other.",
    ),
    _Remedy(
        lambda _: True,
        "A container of its own for each; else a little at a time, in the fume cupboard, by local "
        "rules, and let it cool before the container is closed.",
        "Keep each on a tray of its own, so that a leak of one cannot reach the other.",
    ),
)
"""Looked through in this order; the first that holds is given."""
