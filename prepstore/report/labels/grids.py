"""Where labels stand: on A4 sheets of labels, given by their dimensions, or each on its own.

A grid is written `3x8 70x37`: labels across and down, then the width and height of one in mm.
Sheets that are shipped (`a4_grids.csv`) know their margins and gaps; for others add where the
first label begins, `from 8x13`, and from label to label, `every 66x38`. Without them the labels
touch one another in the middle of the sheet.
"""

import csv
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib.resources import files
from itertools import count
from typing import Final

from prepstore.amounts import ZERO, plain
from prepstore.problems import RefusedError

A4: Final = (Decimal(210), Decimal(297))
"""Width and height of a sheet, mm (ISO 216)."""

NOT_PRINTED: Final = Decimal("4.3")
"""The rim of a sheet that office printers leave white, mm; common practice, no source."""

MARGIN: Final = Decimal(1)
"""From a label's edge to what is printed, mm; common practice, no source."""

_MOST_MM: Final = 300
_LOOSE: Final = Decimal("0.2")
"""Shipped dimensions are to 0.1 mm, and their sums to no better than this."""


@dataclass(frozen=True, slots=True)
class Place:
    """A label on its page, counted from 0: its corner, and what may be printed on, all in mm."""

    page: int
    left: Decimal
    top: Decimal
    width: Decimal
    height: Decimal
    inner_left: Decimal
    inner_top: Decimal
    inner_width: Decimal
    inner_height: Decimal


@dataclass(frozen=True, slots=True)
class Grid:
    """Labels on a sheet: how many, how large, where the first begins, and from one to the next."""

    columns: int
    rows: int
    width: Decimal
    height: Decimal
    left: Decimal
    top: Decimal
    across: Decimal
    down: Decimal
    sheet: tuple[Decimal, Decimal] = A4
    rim: Decimal = NOT_PRINTED

    def __str__(self) -> str:
        """Return the grid as it is written, without its margins.

        >>> str(shipped_grids()[5])
        '3x9 70x32'
        """
        return f"{self.columns}x{self.rows} {plain(self.width)}x{plain(self.height)}"

    @property
    def in_full(self) -> str:
        """Return the grid as it is written, with its margins."""
        begins, step = _pair(self.left, self.top), _pair(self.across, self.down)
        return f"{self} from {begins} every {step}"

    @property
    def labels(self) -> int:
        """Return how many labels are on a sheet."""
        return self.columns * self.rows

    def places(self, start: int = 1) -> Iterator[Place]:
        """Yield places without end, row by row; the first is the `start`-th of the first sheet.

        Raises:
            RefusedError: The sheet has no such label.
        """
        if not 1 <= start <= self.labels:
            what = f"A sheet of {self} has labels 1 to {self.labels}, not {start}."
            raise RefusedError(f"{what} Give --start a number of these.")
        for number in count(start - 1):
            page, on_page = divmod(number, self.labels)
            yield self._place(page, *divmod(on_page, self.columns))

    def _place(self, page: int, row: int, column: int) -> Place:
        left, top = self.left + column * self.across, self.top + row * self.down
        begins, width = self._inner(left, self.width, self.sheet[0])
        begins_down, height = self._inner(top, self.height, self.sheet[1])
        return Place(page, left, top, self.width, self.height, begins, begins_down, width, height)

    def _inner(self, begins: Decimal, length: Decimal, sheet: Decimal) -> tuple[Decimal, Decimal]:
        """Return where printing begins along one side of a label, and how long it may go on."""
        first = max(begins + MARGIN, self.rim)
        last = min(begins + length - MARGIN, sheet - self.rim)
        return first, max(last - first, ZERO)


@cache
def shipped_grids() -> tuple[Grid, ...]:
    """Return the common sheets of A4 labels, by their dimensions alone."""
    text = (files("prepstore.report.labels") / "a4_grids.csv").read_text(encoding="utf-8")
    return tuple(_shipped_grid(row) for row in csv.DictReader(text.splitlines()))


def _shipped_grid(row: Mapping[str, str]) -> Grid:
    width, height, left, top, across, down = (
        Decimal(row[f"{name}_mm"]) for name in ("width", "height", "left", "top", "across", "down")
    )
    return Grid(int(row["columns"]), int(row["rows"]), width, height, left, top, across, down)


_NUMBER: Final = r"(\d{1,3}(?:\.\d{1,2})?)"
_SIZE: Final = rf"{_NUMBER}\s*[x×]\s*{_NUMBER}"
_GRID: Final = re.compile(
    rf"(\d{{1,2}})\s*[x×]\s*(\d{{1,2}})\s+{_SIZE}"
    rf"(?:\s+from\s+{_SIZE})?(?:\s+every\s+{_SIZE})?"
)


def read_grid(text: str) -> Grid:
    """Return the grid that a text describes.

    Raises:
        RefusedError: It is none, several sheets are so, or the labels leave the sheet.

    >>> read_grid("3x8 70x37").in_full
    '3x8 70x37 from 0x0 every 70x37'
    """
    found = _GRID.fullmatch(text.strip())
    if found is None:
        raise RefusedError(
            f"'{text}' is not a grid of labels. Write it like 3x8 70x37: labels across and down, "
            "then the width and height of one in mm."
        )
    columns, rows = int(found[1]), int(found[2])
    width, height = Decimal(found[3]), Decimal(found[4])
    if found[5] is None and found[7] is None:
        shipped = _shipped(columns, rows, width, height)
        if shipped is not None:
            return shipped
    across, down = (Decimal(found[7]), Decimal(found[8])) if found[7] else (width, height)
    left, top = (
        (Decimal(found[5]), Decimal(found[6]))
        if found[5]
        else (_middle(A4[0], columns, width, across), _middle(A4[1], rows, height, down))
    )
    return _on_sheet(Grid(columns, rows, width, height, left, top, across, down))


def read_size(text: str) -> Grid:
    """Return a label of its own, for a printer that prints one label after another.

    Raises:
        RefusedError: It is no width and height.

    >>> read_size("57x32").labels
    1
    """
    found = re.fullmatch(_SIZE, text.strip())
    if found is None or not all(0 < Decimal(one) <= _MOST_MM for one in found.groups()):
        what = f"'{text}' is not the size of a label."
        raise RefusedError(f"{what} Write it like 57x32: width and height in mm, at most 300.")
    width, height = Decimal(found[1]), Decimal(found[2])
    return Grid(1, 1, width, height, ZERO, ZERO, width, height, (width, height), ZERO)


def _shipped(columns: int, rows: int, width: Decimal, height: Decimal) -> Grid | None:
    same = [
        grid
        for grid in shipped_grids()
        if (grid.columns, grid.rows, grid.width, grid.height) == (columns, rows, width, height)
    ]
    if len(same) > 1:
        forms = "; ".join(grid.in_full for grid in same)
        raise RefusedError(
            f"There are {len(same)} sheets of {same[0]}. Give one of these: {forms}."
        )
    return same[0] if same else None


def _middle(sheet: Decimal, number: int, length: Decimal, step: Decimal) -> Decimal:
    return max((sheet - (number - 1) * step - length) / 2, ZERO)


def _on_sheet(grid: Grid) -> Grid:
    """Return a grid whose labels are apart and on the sheet.

    Raises:
        RefusedError: They are not.
    """
    right = grid.left + (grid.columns - 1) * grid.across + grid.width
    bottom = grid.top + (grid.rows - 1) * grid.down + grid.height
    if not (grid.labels and grid.width and grid.height):
        raise RefusedError(f"A grid of {grid} has no labels. Give numbers above 0.")
    if grid.across < grid.width or grid.down < grid.height:
        raise RefusedError(
            f"The labels of {grid.in_full} lie over one another. Give `every` at least their size."
        )
    if right > A4[0] + _LOOSE or bottom > A4[1] + _LOOSE:
        raise RefusedError(
            f"The labels of {grid.in_full} reach {plain(right)} x {plain(bottom)} mm, beyond an A4 "
            f"sheet of {_pair(*A4)} mm. Check the numbers."
        )
    return grid


def _pair(one: Decimal, other: Decimal) -> str:
    return f"{plain(one)}x{plain(other)}"
