"""What a sheet holds before it is laid out: columns, rows, and rows that belong together."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Final


class CellForm(StrEnum):
    """What the cells of a column hold, and so how they are shown."""

    TEXT = "text"
    WORD = "word"
    NUMBER = "number"
    COUNT = "count"
    MONEY = "money"
    PERCENT = "percent"
    DAY = "day"
    MIDDLE = "middle"
    WRITE = "write"


class Look(StrEnum):
    """How a row stands out on paper, without colour too."""

    PLAIN = "plain"
    ALERT = "alert"
    BAND = "band"
    HEADING = "heading"
    TOTAL = "total"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Formula:
    """A live formula: what it says in a given row, counted as a spreadsheet does."""

    in_row: Callable[[int], str]


@dataclass(frozen=True, slots=True)
class Told:
    """Texts that follow each other in one cell, each after its word, which is bold.

    So they take fewer lines than in rows of their own, and each is still found by its word.
    """

    parts: tuple[tuple[str, str], ...]

    def __str__(self) -> str:
        """Return what the cell says."""
        return "".join(text for _, text in self.pieces())

    def pieces(self) -> Iterator[tuple[bool, str]]:
        """Yield the pieces of its text in order, and whether each is bold."""
        for place, (word, text) in enumerate(self.parts):
            yield True, f"{' · ' if place else ''}{word}: "
            yield False, text


Single = str | int | Decimal | date | Formula | None
"""What a cell holds that is all in one look."""
Value = Single | Told


ACROSS: Final = 150
"""How many characters wide a sheet of a plan is at most; a wider one would print smaller."""
UPRIGHT: Final = 104
"""The same of a sheet that is printed upright: half as many rows again are on its page."""


@dataclass(frozen=True, slots=True)
class SheetColumn:
    """A column: heading with its unit, width in characters, and what its cells hold."""

    heading: str
    width: float
    form: CellForm = CellForm.TEXT


@dataclass(frozen=True, slots=True)
class Chart:
    """A small chart of one column of rows above it, whose first column names the bars.

    The last of its `rows` rows is `above` the row that holds the chart (1: just above; of a number
    below nothing: so many rows below it). The values are shares of one, or money; the axis goes
    from nothing to `top`, a whole number. It is as wide as so many charts side by side as it goes
    `across`.
    """

    title: str
    column: int
    rows: int
    above: int
    top: int
    form: CellForm = CellForm.PERCENT
    across: int = 1


CHARTS_ACROSS: Final = 4
"""How many charts one row holds."""


@dataclass(frozen=True, slots=True)
class SheetRow:
    """Values from the first column on; one at `runs_from` runs on to the last column.

    Where there is another at `then_from`, the first runs on up to it, and it to the last column;
    one that `runs_to` a column ends there, and others may follow.
    `form` says what the cells after the first hold where their columns say something else. A row
    with charts is as high as they are; one to write in is at least so many `lines` high, or, where
    it has no box, has room for a hand if it `is_written_in`. One that `is_tied` stays on one page
    with the row above it.
    """

    values: tuple[Value, ...]
    look: Look = Look.PLAIN
    runs_from: int | None = None
    then_from: int | None = None
    runs_to: int | None = None
    form: CellForm | None = None
    charts: tuple[Chart, ...] = ()
    lines: int = 1
    is_written_in: bool = False
    is_tied: bool = False


HEADING_ROW: Final = 4
"""The columns' headings; the rows above say what the sheet is, and print on every page."""

Block = tuple[SheetRow, ...]
"""Rows that are kept on one page where they fit on one."""


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet: its name, its title, its columns and its blocks of rows.

    One that `is_upright` is printed so, and others across. With `has_a_page_each` every block
    begins a page of its own. Where it `repeats_bands`, the last one stands again at the head of
    each page that goes on under it. What is wanted `if_room` comes after the blocks, and is printed
    where the last page has room for it. Rows `on_screen` come after all others and are not printed.
    A sheet for the screen alone is not printed, nor is one that is blank: of which nothing is to be
    done this time.
    """

    name: str
    title: str
    columns: tuple[SheetColumn, ...]
    blocks: Iterable[Block]
    is_filtered: bool = False
    is_upright: bool = False
    has_a_page_each: bool = False
    repeats_bands: bool = False
    if_room: Block = ()
    on_screen: Iterable[Block] = ()
    is_for_screen: bool = False
    is_blank: bool = False

    @property
    def takes_paper(self) -> bool:
        """Return whether any of it is printed."""
        return not (self.is_for_screen or self.is_blank)


def in_currency(heading: str, currency: str | None) -> str:
    """Return the heading of a column of money, with its currency where one is set."""
    return f"{heading}, {currency}" if currency else heading


def band(text: str) -> SheetRow:
    """Return a row that opens a part of a sheet."""
    return SheetRow((text,), Look.BAND, runs_from=0)


def told(*parts: tuple[str, str], look: Look = Look.PLAIN) -> SheetRow:
    """Return a row over the whole width with texts, each after its word in bold."""
    return SheetRow((Told(parts),), look, runs_from=0)


def note(text: str) -> SheetRow:
    """Return a remark that runs over the whole width."""
    return SheetRow((text,), Look.NOTE, runs_from=0)
