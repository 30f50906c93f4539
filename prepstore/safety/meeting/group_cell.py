"""A cell that gives the groups of an item, as `3; 31`."""

from typing import Final

from prepstore.safety.meeting.chart import CHART, group_names

EXPECTED: Final = (
    f"Write the numbers of its groups in {CHART}, 1 to 34 or 101 to 107, with ; between, "
    "like 3; 31."
)


class GroupCellError(ValueError):
    """A cell of groups cannot be read: `what` says why, `expected` how it is written."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.expected = EXPECTED
        super().__init__(f"{what} {EXPECTED}")


def read_groups(text: str) -> tuple[int, ...]:
    """Return the groups that a cell names, each once, in rising order; at least one.

    Raises:
        GroupCellError: A part of it is no group of the chart, or there is none.

    >>> read_groups("31; 3")
    (3, 31)
    """
    parts = [part.strip() for part in text.split(";") if part.strip()]
    if not parts:
        raise GroupCellError("names no group.")
    return tuple(sorted({_group(part) for part in parts}))


def _group(part: str) -> int:
    known = {str(number): number for number in group_names()}
    if part not in known:
        raise GroupCellError(f"has '{part}', which is no group of the chart.")
    return known[part]
