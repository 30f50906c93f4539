"""The chart of groups of substances that react with one another.

A pair that the chart leaves blank, and a pair that is not in it, is *not known*. It is never safe.

Source:
    Hatayama et al., A Method for Determining the Compatibility of Hazardous Wastes,
    EPA-600/2-80-076, U.S. Environmental Protection Agency, April 1980: 41 groups, 296 pairs with
    codes, and group 107 with each of the 40 others. The report itself was not at hand. The chart
    was read in public transcriptions, 46 of its pairs in two and the others in one, so a cell may
    be wrong; the column `remark` names the five cells that look wrong, and the eight blanks that
    cannot be meant, which count as unknown.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from prepstore.safety.data_files import rows_of

CHART: Final = "EPA-600/2-80-076"

HALOGENATED_ORGANICS: Final = 17
"""The group whose share a waste container's label and carrier ask for."""


@dataclass(frozen=True, slots=True)
class ChartPair:
    """Two groups that the chart says something of, the lower one first.

    `codes` are in the order of the chart; none where the chart's blank is doubted. `remark` says
    what is doubted.
    """

    groups: tuple[int, int]
    codes: tuple[str, ...]
    remark: str = ""

    @property
    def unknown(self) -> bool:
        """Return whether what happens is unknown, since the chart's blank is doubted."""
        return not self.codes


@cache
def chart_pairs() -> Mapping[tuple[int, int], ChartPair]:
    """Return all pairs of the chart by their groups, the lower one first."""
    return {
        pair.groups: pair
        for row in rows_of("meeting/chart.csv")
        for pair in [
            ChartPair(
                (int(row["group_a"]), int(row["group_b"])),
                tuple(row["codes"].split()),
                row["remark"],
            )
        ]
    }


def chart_pair(one: int, other: int) -> ChartPair | None:
    """Return what the chart says of two groups, in whatever order; None where it says nothing.

    None means that nothing is known, never that the two may meet.

    >>> chart_pair(19, 2)
    ChartPair(groups=(2, 19), codes=('H', 'F'), remark='')
    >>> chart_pair(17, 19) is None
    True
    """
    return chart_pairs().get((min(one, other), max(one, other)))


@cache
def group_names() -> Mapping[int, str]:
    """Return the groups by number, in rising order: 1 to 34 and 101 to 107."""
    return {int(row["group"]): row["name"] for row in rows_of("meeting/groups.csv")}


@cache
def code_meanings() -> Mapping[str, str]:
    """Return what each code of the chart says, as a clause without a full stop."""
    return {row["code"]: row["in_words"] for row in rows_of("meeting/codes.csv")}


def codes_in_words(codes: Iterable[str]) -> str:
    """Return what codes say, with `; ` between; of no codes, that it is not known.

    >>> codes_in_words(("H", "F"))
    'it gets hot; it may catch fire'
    >>> codes_in_words(())
    'what happens is not known'
    """
    return "; ".join(code_meanings()[code] for code in codes) or "what happens is not known"
