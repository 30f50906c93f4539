"""What sessions really used beside what was planned for them."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import Kind, of_billionths
from prepstore.cell_types import fold
from prepstore.movements import SessionUse

_HUNDRED = Decimal(100)


@dataclass(frozen=True, slots=True)
class Usage:
    """What the sessions of a practical used of an item: figures in its unit.

    `sessions` counts those that have it recorded; `percent` is how much more than planned was
    used (less: negative), None where nothing was planned. Sessions that were booked as far as there
    was say nothing about the spare: they are only counted, as `cut_short`, with what they `lacked`.
    """

    practical: str
    item: str
    unit: Kind
    sessions: int
    planned: Decimal
    used: Decimal
    cut_short: int
    lacked: Decimal

    @property
    def difference(self) -> Decimal:
        """Return how much more was used than planned."""
        return self.used - self.planned

    @property
    def percent(self) -> Decimal | None:
        """Return the difference as a percentage of what was planned."""
        return self.difference / self.planned * _HUNDRED if self.planned else None


def usage_of(uses: Iterable[SessionUse]) -> list[Usage]:
    """Return a row an item and practical, in the order of their names; what was undone is gone."""
    sums: dict[tuple[str, str], list[SessionUse]] = {}
    for use in uses:
        sums.setdefault((fold(use.practical), fold(use.item)), []).append(use)
    rows = [_usage(of_one) for _, of_one in sorted(sums.items())]
    return [row for row in rows if row.sessions or row.cut_short]


def _usage(uses: list[SessionUse]) -> Usage:
    by_session: dict[str, list[SessionUse]] = {}
    for use in uses:
        by_session.setdefault(fold(use.session), []).append(use)
    cut_short = [of_one for of_one in by_session.values() if _sum(of_one, "lacked")]
    whole = [
        of_one
        for of_one in by_session.values()
        if not _sum(of_one, "lacked") and (_sum(of_one, "planned") or _sum(of_one, "used"))
    ]
    return Usage(
        practical=uses[-1].practical,
        item=uses[-1].item,
        unit=uses[-1].unit,
        sessions=len(whole),
        planned=of_billionths(sum(_sum(of_one, "planned") for of_one in whole)),
        used=of_billionths(sum(_sum(of_one, "used") for of_one in whole)),
        cut_short=len(cut_short),
        lacked=of_billionths(sum(_sum(of_one, "lacked") for of_one in cut_short)),
    )


def _sum(uses: list[SessionUse], figure: str) -> int:
    return sum(getattr(use, figure) for use in uses)
