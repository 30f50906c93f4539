"""Labels of lots: those that nobody has yet, and those that a print reserved for batches."""

from collections.abc import Container, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from functools import cached_property

from prepstore.cell_types import fold
from prepstore.recorded import OfEntry


def free_label(day: date, *taken: Container[str]) -> str:
    """Return a label that is not among those taken (folded): the day and a number.

    >>> free_label(date(2027, 3, 8), {"2027-03-08-1"})
    '2027-03-08-2'
    """
    number = 1
    while any(f"{day}-{number}" in labels for labels in taken):
        number += 1
    return f"{day}-{number}"


class LabelWhat(StrEnum):
    """What happened to a label that no lot has yet."""

    RESERVED = "reserved"
    FREED = "freed"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelChange:
    """A label reserved by a print for a batch of a solution made on a day, or freed again."""

    what: LabelWhat
    label: str
    solution: str
    make_on: date


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordedLabel(OfEntry):
    """A change of a reserved label as the store keeps it."""

    change: LabelChange


@dataclass(frozen=True)
class ReservedLabels:
    """The labels that are reserved, by folded label; solutions bear the names they have now."""

    of: Mapping[str, LabelChange] = field(default_factory=dict)

    @cached_property
    def _by_batch(self) -> Mapping[tuple[str, date], tuple[str, ...]]:
        found: dict[tuple[str, date], tuple[str, ...]] = {}
        for one in self.of.values():
            key = (fold(one.solution), one.make_on)
            found[key] = (*found.get(key, ()), one.label)
        return found

    def of_batch(
        self, solution: str, planned_for: date, made_on: date, lots: Container[str]
    ) -> str:
        """Return the label that the next batch of a solution gets.

        It is the first that is reserved for it and that no lot has, else the next free one of the
        day on which it is really made.

        Args:
            solution: Its folded name.
            planned_for: The day for which the batch was planned.
            made_on: The day on which it is made.
            lots: The folded labels of all lots.
        """
        reserved = self._by_batch.get((solution, planned_for), ())
        unused = (label for label in reserved if fold(label) not in lots)
        return next(unused, None) or free_label(made_on, lots, self.of)


NO_RESERVED_LABELS = ReservedLabels()
