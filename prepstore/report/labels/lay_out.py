"""One label laid out: pictograms, code and words, as large as they fit and never under the law.

What is tried, in this order: all words before fewer (a small package may leave some out), large
names before plain ones, wanted pictograms before the least, a QR code before a Micro QR code; then
the letters grow until the label is full.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from math import ceil, sqrt
from typing import Final

from prepstore.report.labels.contents import LabelContent
from prepstore.report.labels.label_text import LeftOut, levels_for, paragraphs_of
from prepstore.report.paper.flow import NOTHING, Area, Line, Page, Paragraph, Rule, Style, flow
from prepstore.report.paper.scannable import Code, codes_for
from prepstore.report.paper.typeface import Typeface
from prepstore.safety.label_sizes import LabelSize, label_size_for

_CLEAR: Final = 0.8
"""Between a pictogram or a code and what is beside it, mm."""

_MANNERS: Final = (
    ((1.6, 6.0, False), (1.3, 6.0, False)),
    ((1.0, 5.0, False), (1.0, 0.0, True)),
)
"""How many times larger the name and the signal word are, how many mm there are to write in, and
whether words are set as tightly as they may be: the first group is tried with all else first."""

_MOST_GROWTH: Final = 2.2
_HALVINGS: Final = 7


@dataclass(frozen=True, slots=True)
class Diamond:
    """A pictogram: the corner of the square around it, and the side of its red frame, mm."""

    pictogram: str
    left: float
    top: float
    side: float

    @property
    def across(self) -> float:
        """Return its width and height, from corner to corner."""
        return self.side * sqrt(2)


@dataclass(frozen=True, slots=True)
class PlacedCode:
    """A code to scan, from the top left corner of the white around it, mm."""

    code: Code
    left: float
    top: float


@dataclass(frozen=True, slots=True)
class Laid:
    """A label as it is drawn, in mm from the corner of what may be printed on."""

    lines: tuple[Line, ...]
    rules: tuple[Rule, ...]
    diamonds: tuple[Diamond, ...]
    code: PlacedCode
    x_height: float
    left_out: LeftOut


@dataclass(frozen=True, slots=True)
class _Attempt:
    """What is tried: the words, how they are set, the side of the pictograms, and the code."""

    paragraphs: tuple[Paragraph, ...]
    pictograms: tuple[str, ...]
    side: float
    code: Code
    larger: float
    to_write: float
    width: float
    height: float
    typeface: Typeface

    def at(self, x_height: float) -> "tuple[_Standing, list[Line], list[Rule]] | None":
        """Return the label with letters of this height; None where it does not fit."""
        style = Style(self.typeface.size_for(x_height), self.larger, self.to_write)
        for standing in _standings(self):
            page = Page(self.width, self.height, standing.blocked)
            words = flow(self.paragraphs, style, page, self.typeface)
            if words is not None:
                return standing, *words
        return None


@dataclass(frozen=True, slots=True)
class _Standing:
    """Where pictograms and the code stand, and where no words go."""

    diamonds: tuple[Diamond, ...]
    code: PlacedCode
    blocked: tuple[Area, ...]


def lay_out(content: LabelContent, width: float, height: float, typeface: Typeface) -> Laid | None:
    """Return a label laid out; None where it does not fit, even with the least letters.

    Args:
        content: What stands on it.
        width: Of what may be printed on, mm.
        height: The same.
        typeface: Of the font.
    """
    least = label_size_for(content.capacity_ml)
    for left_out in levels_for(content):
        attempts = _attempts(content, left_out, (width, height), typeface)
        if attempts[-1].at(float(least.x_height_mm)) is None:
            continue
        fitting = next(one for one in attempts if one.at(float(least.x_height_mm)) is not None)
        return _grown(fitting, float(least.x_height_mm), left_out)
    return None


def could_be(content: LabelContent, width: float, height: float, typeface: Typeface) -> bool:
    """Return whether a label fits at all; quicker than laying it out."""
    x_height = float(label_size_for(content.capacity_ml).x_height_mm)
    return any(
        _attempts(content, left_out, (width, height), typeface)[-1].at(x_height) is not None
        for left_out in levels_for(content)
    )


def _attempts(
    content: LabelContent, left_out: LeftOut, room: tuple[float, float], typeface: Typeface
) -> list[_Attempt]:
    """Return what is tried, the one that needs the least room last."""
    paragraphs = {
        is_tight: paragraphs_of(content, left_out, is_tight=is_tight) for is_tight in (False, True)
    }
    pictograms = content.hazards.pictograms
    sides = _sides(label_size_for(content.capacity_ml)) if pictograms else [0.0]
    return [
        _Attempt(paragraphs[is_tight], pictograms, side, code, larger, to_write, *room, typeface)
        for manners in _MANNERS
        for side, code, (larger, to_write, is_tight) in product(
            sides, codes_for(content.number), manners
        )
    ]


def _sides(size: LabelSize) -> list[float]:
    """Return the sides that pictograms may have, the wanted one first, in steps of 1 mm."""
    least, wanted = int(size.pictogram_least_mm), int(size.pictogram_wanted_mm)
    return [float(side) for side in range(wanted, least - 1, -1)]


def _grown(attempt: _Attempt, least: float, left_out: LeftOut) -> Laid:
    """Return a label that fits with the least letters, with the largest that fit."""
    best, fitting = least, attempt.at(least)
    too_large = least * _MOST_GROWTH
    for _ in range(_HALVINGS):
        tried = (best + too_large) / 2
        larger = attempt.at(tried)
        if larger is None:
            too_large = tried
        else:
            best, fitting = tried, larger
    if fitting is None:
        raise AssertionError("an attempt that fitted does not fit")
    standing, lines, rules = fitting
    return Laid(tuple(lines), tuple(rules), standing.diamonds, standing.code, best, left_out)


def _standings(attempt: _Attempt) -> Iterator[_Standing]:
    """Yield where pictograms (top right) and the code (below, beside, or bottom left) may stand."""
    label = Area(0, 0, attempt.width, attempt.height)
    side = attempt.code.side_mm
    bottom = attempt.height - side
    for columns in range(1, len(attempt.pictograms) + 1) if attempt.pictograms else (0,):
        diamonds = _diamonds(attempt, columns)
        symbols = _around(diamonds, attempt)
        lefts = (attempt.width - side, 0.0, symbols.left - side)
        for left in dict.fromkeys(lefts):
            code = Area(left, bottom, side, side)
            if code.meets(symbols) or not (_is_in(code, label) and _is_in(symbols, label)):
                continue
            yield _Standing(
                diamonds,
                PlacedCode(attempt.code, left, bottom),
                tuple(_to_the_side(area, attempt.width) for area in (symbols, code) if area.width),
            )


def _is_in(inner: Area, outer: Area) -> bool:
    return (
        inner.left >= -NOTHING
        and inner.top >= -NOTHING
        and inner.right <= outer.right + NOTHING
        and inner.bottom <= outer.bottom + NOTHING
    )


def _diamonds(attempt: _Attempt, columns: int) -> tuple[Diamond, ...]:
    """Return the pictograms in so many columns at the top right."""
    across = attempt.side * sqrt(2)
    begins = attempt.width - columns * across
    return tuple(
        Diamond(
            pictogram,
            begins + number % columns * across,
            number // columns * across,
            attempt.side,
        )
        for number, pictogram in enumerate(attempt.pictograms)
    )


def _around(diamonds: tuple[Diamond, ...], attempt: _Attempt) -> Area:
    """Return the area of the pictograms; without any, one of no size in the corner."""
    if not diamonds:
        return Area(attempt.width, 0, 0, 0)
    across, left = diamonds[0].across, diamonds[0].left
    columns = round((attempt.width - left) / across)
    rows = ceil(len(diamonds) / columns)
    return Area(left, 0, columns * across, rows * across)


def _to_the_side(area: Area, width: float) -> Area:
    """Return an area with white around it that reaches to its side of the label."""
    top = max(area.top - _CLEAR, 0.0)
    height = area.bottom + _CLEAR - top
    if area.left <= NOTHING and area.right < width - NOTHING:
        return Area(0, top, area.right + _CLEAR, height)
    left = max(area.left - _CLEAR, 2 * NOTHING)
    return Area(left, top, width - left, height)
