"""The groups of a substance: its own, where the department gives them, else those shipped.

Source:
    The column `source` of `substances.csv`. The groups and their definitions are those of
    EPA-600/2-80-076. Its list of members was not found in any public copy: where a row says so,
    the list was followed from memory, and all else is placed by its structure. CAS numbers and
    names were compared with the identifiers of the library chemicals 1.5.2.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from prepstore.safety.data_files import rows_of
from prepstore.safety.meeting.chart import CHART


@dataclass(frozen=True, slots=True)
class Substance:
    """Something that may meet others: an item's name, its CAS number, the cell of its groups.

    `own` is what the column `group` gives, and stands in place of what is shipped; None where the
    cell is blank.
    """

    name: str
    cas: str | None = None
    own: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True)
class Placing:
    """The groups of a substance in rising order, none where it has none, and why."""

    groups: tuple[int, ...]
    because: str


@dataclass(frozen=True, slots=True)
class ShippedPlacing:
    """A row of what is shipped; `groups` is empty where the chart has no group for it."""

    cas: str
    substance: str
    groups: tuple[int, ...]
    reason: str
    source: str


@cache
def shipped_placings() -> Mapping[str, ShippedPlacing]:
    """Return what is shipped, by CAS number."""
    return {
        row["cas"]: ShippedPlacing(
            row["cas"],
            row["substance"],
            tuple(int(group) for group in row["groups"].split(";") if group.strip()),
            row["reason"],
            row["source"],
        )
        for row in rows_of("meeting/substances.csv")
    }


def placing_of(substance: Substance) -> Placing:
    """Return the groups of a substance and why.

    >>> placing_of(Substance("propanone", "67-64-1"))
    Placing(groups=(19,), because='by its structure or kind: a ketone')
    >>> placing_of(Substance("tap water"))
    Placing(groups=(), because='it has no CAS number, and its column group is blank')
    """
    if substance.own:
        return Placing(substance.own, "as its column group says")
    if substance.cas is None:
        return Placing((), "it has no CAS number, and its column group is blank")
    shipped = shipped_placings().get(substance.cas)
    if shipped is None:
        return Placing((), "no group is known for its CAS number, and its column group is blank")
    if not shipped.groups:
        return Placing((), f"{CHART} has no group for it: {shipped.reason}")
    return Placing(shipped.groups, f"by its structure or kind: {shipped.reason}")
