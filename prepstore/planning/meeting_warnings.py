"""What to look at where substances meet that must not."""

from collections.abc import Callable, Iterator, Sequence
from itertools import groupby
from typing import Final

from prepstore.planning.meetings import Meeting
from prepstore.planning.plan import Plan
from prepstore.planning.warned import Parts, Warned
from prepstore.safety.meeting.chart import CHART, codes_in_words
from prepstore.safety.meeting.remedies import Where, remedy_for

ALREADY_THERE: Final = "already in the container"

_NAMED_AT_MOST: Final = 2
_GRAVEST_FIRST: Final = ("X", "E", "GT", "GF", "F", "P", "U", "G", "H", "S")


def gravest(hits: Sequence[Meeting]) -> list[Meeting]:
    """Return hits, the gravest first: by what the chart says happens, then by names.

    The order of codes is ours: what explodes or poisons before what burns, and what burns before
    what only gets hot. A pair that the chart leaves unknown counts as one that may be dangerous.
    """
    return sorted(hits, key=_gravity)


def _gravity(hit: Meeting) -> tuple[int, int, tuple[str, str]]:
    codes = hit.hit.codes or ("U",)
    ranks = sorted(_GRAVEST_FIRST.index(code) for code in codes)
    return ranks[0], -len(ranks), hit.hit.substances


def _must_not_meet(plan: Plan) -> Iterator[Warned]:
    """Warn once of each stream and place, of the gravest pairs; the plan's JSON has all.

    What meets only in one solution has met already, and so have two that are in the container.
    """
    apart = [hit for hit in plan.meetings.hits if hit.is_to_come and not hit.is_in_one_thing]
    for (where, name), group in groupby(apart, key=lambda hit: (hit.where, hit.name)):
        hits = gravest(list(group))
        sessions = {session for hit in hits for session in hit.sessions}
        parts: Parts = {
            "pairs": "; ".join(_pair(hit) for hit in hits[:_NAMED_AT_MOST]),
            "more": max(0, len(hits) - _NAMED_AT_MOST),
            "chart": CHART,
            "remedy": remedy_for(hits[0].hit.pair, where),
            "sessions": tuple(
                work.session.session for work in plan.works if work.session.session in sessions
            ),
        }
        yield Warned(_code_of(where), name, parts)


def _code_of(where: Where) -> str:
    if where is Where.STREAM:
        return "must-not-meet"
    return "must-not-stand-together"


def _pair(hit: Meeting) -> str:
    """Return the two substances with their groups, and which of them only the container has."""
    told = (
        f"{substance} (group {group}{_since(hit, substance)})"
        for substance, group in zip(hit.hit.substances, hit.hit.groups, strict=True)
    )
    return f"{' with '.join(told)}: {codes_in_words(hit.hit.codes)}"


def _since(hit: Meeting, substance: str) -> str:
    return f", {ALREADY_THERE}" if substance in hit.from_before else ""


def _halogenated(plan: Plan) -> Iterator[Warned]:
    for found in plan.meetings.halogenated:
        parts: Parts = {"substances": found.substances, "sessions": found.sessions}
        yield Warned("halogenated-in-non-halogenated", found.stream, parts)


MEETING_WARNINGS: Final[tuple[Callable[[Plan], Iterator[Warned]], ...]] = (
    _must_not_meet,
    _halogenated,
)
