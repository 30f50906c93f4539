"""Which of the substances at one place must not meet, and which cannot be checked.

A place is a waste container with what is in it and what is sent to it, or where stock is kept. A
solution is told here as what it is made of.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, product
from typing import Final

from prepstore.cell_types import fold
from prepstore.safety.meeting.chart import ChartPair, chart_pairs
from prepstore.safety.meeting.placing import Substance, placing_of


@dataclass(frozen=True, slots=True)
class Hit:
    """Two substances at one place that the chart says something of.

    `substances` are in order of their names, and `groups` says by which group each of them is
    meant, in that order; `pair` has the two groups in rising order.
    """

    substances: tuple[str, str]
    groups: tuple[int, int]
    pair: ChartPair

    @property
    def codes(self) -> tuple[str, ...]:
        """Return the codes of the chart, in its order; none where it is unknown."""
        return self.pair.codes

    @property
    def unknown(self) -> bool:
        """Return whether what happens is unknown, since the chart's blank is doubted."""
        return self.pair.unknown


@dataclass(frozen=True, slots=True)
class Unchecked:
    """A substance of which no pair could be looked up, and why."""

    substance: str
    because: str


CONTENTS_UNKNOWN: Final = Unchecked("unknown", "what the open container holds is not known")
"""What an open container adds whose composition nobody has written down."""

CONTENTS_KNOWN_IN_PART: Final = Unchecked(
    CONTENTS_UNKNOWN.substance, "part of what the open container holds is not known"
)
"""What an open container adds of which some was written down, and some was not."""

NOT_IN_TABLES: Final = "it is not in the tables any more"
"""Why something in an open container cannot be looked up that the tables do not have."""


def hits_among(substances: Iterable[Substance]) -> tuple[Hit, ...]:
    """Return every hit among the substances at one place, by names, then groups.

    Args:
        substances: In whatever order; one that is named twice counts once.

    Returns:
        A hit for each two substances and each two groups of theirs that the chart has. Items of
        one CAS number are one substance, and do not meet themselves.
    """
    present = _by_name(substances)
    members: dict[int, list[Substance]] = {}
    for substance in present.values():
        for group in placing_of(substance).groups:
            members.setdefault(group, []).append(substance)
    found: dict[tuple[tuple[str, str], tuple[int, int]], Hit] = {}
    for hit in sorted(_hits(members), key=_order):
        # Where both have both groups, the pair of groups is found both ways round.
        found.setdefault((hit.substances, hit.pair.groups), hit)
    return tuple(found.values())


def unchecked_among(substances: Iterable[Substance]) -> tuple[Unchecked, ...]:
    """Return the substances that have no group, by name, each with the reason."""
    present = _by_name(substances)
    placings = [(present[name].name, placing_of(present[name])) for name in sorted(present)]
    return tuple(
        Unchecked(name, placing.because) for name, placing in placings if not placing.groups
    )


def _by_name(substances: Iterable[Substance]) -> dict[str, Substance]:
    return {fold(substance.name): substance for substance in substances}


def _hits(members: dict[int, list[Substance]]) -> Iterator[Hit]:
    pairs = chart_pairs()
    for groups in combinations(sorted(members), 2):
        pair = pairs.get(groups)
        if pair is not None:
            for one, other in product(*(members[group] for group in groups)):
                if not _are_one(one, other):
                    yield _hit(one, other, pair)


def _are_one(one: Substance, other: Substance) -> bool:
    return one is other or (one.cas is not None and one.cas == other.cas)


def _hit(one: Substance, other: Substance, pair: ChartPair) -> Hit:
    lower, higher = pair.groups
    if fold(one.name) < fold(other.name):
        return Hit((one.name, other.name), (lower, higher), pair)
    return Hit((other.name, one.name), (higher, lower), pair)


def _order(hit: Hit) -> tuple[str, str, tuple[int, int], tuple[int, int]]:
    first, second = hit.substances
    return fold(first), fold(second), hit.pair.groups, hit.groups
