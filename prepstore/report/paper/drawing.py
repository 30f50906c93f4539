"""Drawn on the pages of a PDF: words, pictograms, codes to scan; all lengths in mm.

Fonts are embedded, of each the signs that are used.
"""

from collections.abc import Iterator
from contextlib import ExitStack
from datetime import UTC, date, datetime, time
from functools import cache
from importlib.resources import as_file, files
from itertools import groupby
from math import sqrt
from typing import Final

from fpdf import FPDF

from prepstore.report.paper.scannable import MODULE_MM, Code
from prepstore.report.paper.typeface import FONT_FILE

PICTOGRAMS: Final = tuple(f"GHS0{number}" for number in range(1, 10))
"""Exploding bomb, flame, flame over circle, gas cylinder, corrosion, skull and crossbones,
exclamation mark, health hazard, environment (Annex V)."""

_FRAME: Final = 0.065
"""How wide the red frame is, in sides of it; the Regulation says: wide enough to be seen."""

_RED: Final = (255, 0, 0)
_BLACK: Final = (0, 0, 0)
_WHITE: Final = (255, 255, 255)
_POINTS_A_MM: Final = 72 / 25.4
_FONT: Final = "label"
_HAIR_MM: Final = 0.2
_OVERLAP_MM: Final = 0.005
"""Rows of a code overlap by so much, so that no light line shows between them."""


class Drawing:
    """Pages of one size, on which things are drawn from their top left corners."""

    def __init__(self, width: float, height: float, day: date, title: str) -> None:
        self._pdf = FPDF(unit="mm", format=(width, height))
        self._pdf.set_auto_page_break(auto=False)
        self._pdf.set_margin(0)
        self._pdf.set_title(title)
        # The same labels of the same day are the same file.
        self._pdf.set_creation_date(datetime.combine(day, time(), UTC))
        self._files = ExitStack()
        self._pdf.add_font(_FONT, fname=self._files.enter_context(as_file(FONT_FILE)))
        self._pdf.set_line_width(_HAIR_MM)

    def new_page(self) -> None:
        """Begin a page."""
        self._pdf.add_page()

    def words(self, left: float, base: float, text: str, size: float) -> None:
        """Write a line from its left end on a base line."""
        self._pdf.set_font(_FONT, size=size * _POINTS_A_MM)
        self._pdf.text(left, base, text)

    def rule(self, left: float, right: float, base: float) -> None:
        """Draw a level line."""
        self._pdf.line(left, base, right, base)

    def pictogram(self, code: str, left: float, top: float, side: float) -> None:
        """Draw a hazard pictogram: a black symbol on white in a red frame of this side.

        Args:
            code: One of `PICTOGRAMS`.
            left: Of the square around the diamond; likewise `top`.
            top: Of the same.
            side: Of the red frame, outside.
        """
        across = side * sqrt(2)
        self._diamond(left, top, across, _RED)
        inset = _FRAME * side * sqrt(2)
        self._diamond(left + inset, top + inset, across - 2 * inset, _WHITE)
        self._pdf.image(_symbol(code), left, top, across, across)

    def _diamond(
        self, left: float, top: float, across: float, colour: tuple[int, int, int]
    ) -> None:
        half = across / 2
        corners = [
            (left + half, top),
            (left + across, top + half),
            (left + half, top + across),
            (left, top + half),
        ]
        self._pdf.set_fill_color(*colour)
        self._pdf.polygon(corners, style="F")

    def code(self, code: Code, left: float, top: float) -> None:
        """Draw a code to scan from the corner of the white around it."""
        self._pdf.set_fill_color(*_BLACK)
        begins = code.quiet * MODULE_MM
        for number, row in enumerate(code.rows):
            for first, length in _runs(row):
                self._pdf.rect(
                    left + begins + first * MODULE_MM,
                    top + begins + number * MODULE_MM,
                    length * MODULE_MM,
                    MODULE_MM + _OVERLAP_MM,
                    style="F",
                )

    def pdf(self) -> bytes:
        """Return the file; nothing more can be drawn."""
        with self._files:
            return bytes(self._pdf.output())


@cache
def _symbol(code: str) -> bytes:
    return (files("prepstore.report.paper") / f"symbols/{code}.svg").read_bytes()


def _runs(row: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    """Yield where dark squares that touch begin, and how many they are."""
    place = 0
    for is_dark, squares in groupby(row):
        length = len(tuple(squares))
        if is_dark:
            yield place, length
        place += length
