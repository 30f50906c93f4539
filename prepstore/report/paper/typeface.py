"""The letters of a label: their widths and heights, as the font itself gives them.

DejaVu Sans Condensed, one font for all of a label (Annex I, 1.2.1.5(c)): without serifs, with
subscripts, superscripts, Greek and Cyrillic letters, and tall small letters, so that a line at the
legal x-height stays short and low. Measures are shares of the font's size unless they say mm.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from io import BytesIO
from math import ceil
from typing import Final

from fontTools.ttLib import TTFont

FONT_FILE: Final[Traversable] = files("prepstore.report.paper") / "fonts/DejaVuSansCondensed.ttf"

_POINTS_A_MM: Final = 72 / 25.4
_POINT_STEPS: Final = 100
"""A PDF states the size of a font to a hundredth of a point."""


@dataclass(frozen=True, slots=True)
class Typeface:
    """A font's own measures: of its small x, of its tallest and lowest letters, of each sign."""

    x_height: float
    ascent: float
    descent: float
    advances: dict[str, float]

    def width_of(self, text: str) -> float:
        """Return how wide a text is that the font has all signs for."""
        return sum(self.advances[sign] for sign in text)

    def lacking(self, text: str) -> tuple[str, ...]:
        """Return the signs of a text that the font does not have, each once."""
        return tuple(
            sign for sign in dict.fromkeys(text) if not (sign in self.advances or sign.isspace())
        )

    def drawable(self, text: str) -> str:
        """Return a text in which signs that the font lacks are question marks or blanks."""
        return "".join(
            sign if sign in self.advances else " " if sign.isspace() else "?" for sign in text
        )

    def size_for(self, x_height_mm: float) -> float:
        """Return the least size in mm, in whole steps of a PDF, with at least this x-height."""
        points = x_height_mm / self.x_height * _POINTS_A_MM
        return ceil(points * _POINT_STEPS - 1e-6) / _POINT_STEPS / _POINTS_A_MM


@cache
def typeface() -> Typeface:
    """Return the measures of the font that is shipped."""
    font = TTFont(BytesIO(FONT_FILE.read_bytes()), lazy=True)
    em = font["head"].unitsPerEm
    widths = font["hmtx"].metrics
    names = font.getBestCmap()
    return Typeface(
        font["glyf"][names[ord("x")]].yMax / em,
        font["hhea"].ascent / em,
        -font["hhea"].descent / em,
        {chr(sign): widths[name][0] / em for sign, name in names.items()},
    )
