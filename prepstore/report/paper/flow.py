"""Words in lines around what stands in their way; lengths in mm, as binary numbers.

Lengths on paper are measures of letters, not figures of a plan; a millionth of a mm is nothing.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from prepstore.report.paper.typeface import Typeface
from prepstore.safety.label_sizes import LINE_SPACING

NOTHING: Final = 1e-6
_PITCH: Final = float(LINE_SPACING)
_GAP: Final = 0.25
"""Between paragraphs, in sizes of the font."""

_ROOM_TO_WRITE: Final = 12.0
_LONGEST_TO_WRITE: Final = 30.0


class Look(Enum):
    """How a paragraph is set: larger, plain, or with a line to write on."""

    LARGE = "large"
    PLAIN = "plain"
    TO_WRITE = "to write"


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words that run on; how they look."""

    text: str
    look: Look = Look.PLAIN


@dataclass(frozen=True, slots=True)
class Area:
    """A rectangle on a label, from its top left corner."""

    left: float
    top: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Return where it ends."""
        return self.left + self.width

    @property
    def bottom(self) -> float:
        """Return where it ends."""
        return self.top + self.height

    def meets(self, other: "Area") -> bool:
        """Return whether the two share more than an edge."""
        return (
            self.left < other.right - NOTHING
            and other.left < self.right - NOTHING
            and self.top < other.bottom - NOTHING
            and other.top < self.bottom - NOTHING
        )


@dataclass(frozen=True, slots=True)
class Line:
    """A line of words: where it begins, on which base line, and the size of its font."""

    left: float
    base: float
    text: str
    size: float


@dataclass(frozen=True, slots=True)
class Rule:
    """A line to write on."""

    left: float
    right: float
    base: float


@dataclass(frozen=True, slots=True)
class Page:
    """Where words may go: so wide and high, but for some areas."""

    width: float
    height: float
    blocked: tuple[Area, ...]

    def free(self, top: float, height: float) -> tuple[float, float]:
        """Return where a line of this height may begin and end.

        What blocks reaches from one side of the page, the left or the right.
        """
        left, right = 0.0, self.width
        for area in self.blocked:
            if area.top < top + height - NOTHING and top < area.bottom - NOTHING:
                if area.left <= NOTHING:
                    left = max(left, area.right)
                else:
                    right = min(right, area.left)
        return left, right

    def next_opening(self, top: float) -> float | None:
        """Return the next height at which something stops being in the way."""
        return min((area.bottom for area in self.blocked if area.bottom > top + NOTHING),
                   default=None)  # fmt: skip


@dataclass(slots=True)
class _Pen:
    """Where the next line goes on a page."""

    page: Page
    typeface: Typeface
    top: float = 0.0

    def line_for(self, wanted: float, height: float) -> tuple[float, float] | None:
        """Go down to where so much width is free; None where it is nowhere."""
        while self.top + height <= self.page.height + NOTHING:
            left, right = self.page.free(self.top, height)
            if right - left >= wanted - NOTHING:
                return left, right
            opening = self.page.next_opening(self.top)
            if opening is None:
                return None
            self.top = opening
        return None


@dataclass(frozen=True, slots=True)
class Style:
    """How words are set: the size of the font, and the least height of a line to write on, mm.

    A large paragraph is so many times `larger`.
    """

    size: float
    larger: float
    to_write: float


def flow(
    paragraphs: Iterable[Paragraph], style: Style, page: Page, typeface: Typeface
) -> tuple[list[Line], list[Rule]] | None:
    """Return the lines of paragraphs, and rules to write on; None where they do not fit.

    Args:
        paragraphs: In their order.
        style: How they are set.
        page: Where the words may go.
        typeface: Of the font.
    """
    pen = _Pen(page, typeface)
    lines: list[Line] = []
    rules: list[Rule] = []
    for paragraph in paragraphs:
        if paragraph.look is Look.TO_WRITE:
            written = _to_write(paragraph.text, style, pen)
            if written is None:
                return None
            lines.append(written[0])
            rules.append(written[1])
        else:
            is_large = paragraph.look is Look.LARGE
            made = _lines(paragraph.text, style.size * (style.larger if is_large else 1), pen)
            if made is None:
                return None
            lines += made
        pen.top += _GAP * style.size
    return lines, rules


def _to_write(text: str, style: Style, pen: _Pen) -> tuple[Line, Rule] | None:
    size = style.size
    words = pen.typeface.width_of(f"{text} ") * size
    height = max(_PITCH * size, style.to_write)
    free = pen.line_for(words + _ROOM_TO_WRITE, height)
    if free is None:
        return None
    left, right = free
    base = pen.top + height - pen.typeface.descent * size
    pen.top += height
    begins = left + words
    return Line(left, base, text, size), Rule(begins, min(right, begins + _LONGEST_TO_WRITE), base)


def _lines(text: str, size: float, pen: _Pen) -> list[Line] | None:
    """Break a text into lines, each as full as it gets."""
    lines: list[Line] = []
    pieces = list(_pieces(text))
    height = _PITCH * size
    lead = (_PITCH - pen.typeface.ascent - pen.typeface.descent) / 2 + pen.typeface.ascent
    while pieces:
        free = pen.line_for(pen.typeface.width_of(pieces[0].rstrip()) * size, height)
        if free is None:
            return None
        left, right = free
        taken = _most_that_fit(pieces, (right - left) / size, pen.typeface)
        lines.append(Line(left, pen.top + lead * size, "".join(pieces[:taken]).rstrip(), size))
        del pieces[:taken]
        pen.top += height
    return lines


def _most_that_fit(pieces: Sequence[str], width: float, typeface: Typeface) -> int:
    """Return how many pieces go on a line; the first is known to."""
    used = 0.0
    for number, piece in enumerate(pieces):
        if number and used + typeface.width_of(piece.rstrip()) > width + NOTHING:
            return number
        used += typeface.width_of(piece)
    return len(pieces)


_BREAK: Final = re.compile(r"(?<=[-/])(?=[^\W\d_]{3})")
"""A long word breaks before three letters: 4-/methylphenol, but no date and not mol/L."""


def _pieces(text: str) -> Iterator[str]:
    """Yield what a line may not break: words with the blank after them, or parts of long ones.

    A no-break space holds words together.
    """
    for word in re.split(r"[ \t\r\n]+", text.strip()):
        yield from _BREAK.split(f"{word} ")
