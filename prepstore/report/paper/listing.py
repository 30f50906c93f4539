"""A list on A4, laid across: sections with a table each, over as many pages as it takes.

All lengths are in mm. The first row of a table is kept with what stands above it; where a table
goes on over a page, its headings stand there again.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from itertools import accumulate
from typing import Final

from prepstore.report.paper.drawing import Drawing
from prepstore.report.paper.flow import Line, Page, Paragraph, Rule, Style, flow
from prepstore.report.paper.typeface import Typeface, typeface

_WIDTH, _HEIGHT, _MARGIN = 297.0, 210.0, 15.0
ROOM: Final = _WIDTH - 2 * _MARGIN
"""How wide the columns of a table may be together."""

_TITLE, _HEADING, _BODY, _SMALL = 5.6, 4.2, 3.2, 2.6
"""Letters of 16, 12, 9 and 7.4 points; the smallest is read at arm's length."""

_GAP: Final = 3.0
_FOOT: Final = 6.0
_CELL_GAP: Final = 3.0
_ROW_PADDING: Final = 2.2
_HAIR: Final = 0.8
_BOTTOM: Final = _HEIGHT - _MARGIN - _FOOT
_NO_END: Final = 1e6


@dataclass(frozen=True, slots=True)
class Table:
    """Columns by heading and width, and rows of cells; a blank one is to be written in.

    A row is at least so high.
    """

    columns: tuple[tuple[str, float], ...]
    rows: tuple[tuple[str, ...], ...]
    row_height: float = 8.0


@dataclass(frozen=True, slots=True)
class Section:
    """A heading, paragraphs below it, and a table."""

    heading: str
    paragraphs: tuple[str, ...] = ()
    table: Table | None = None


@dataclass(frozen=True, slots=True)
class Listing:
    """What stands above and below the sections: a title, a remark, the foot of each page."""

    title: str
    remark: str
    foot: str


@dataclass(frozen=True, slots=True)
class _Strip:
    """Something as wide as the page that is not divided; what is in it is from its top."""

    height: float
    lines: tuple[Line, ...] = ()
    rules: tuple[Rule, ...] = ()


_Strips = list[_Strip]


def listing_pdf(listing: Listing, sections: Sequence[Section], day: date) -> bytes:
    """Return a list as a PDF.

    Args:
        listing: What stands above and below the sections.
        sections: In their order.
        day: Which the file is dated.
    """
    letters = typeface()
    pages = _Pages()
    pages.begin([*_text(listing.title, _TITLE, letters), *_text(listing.remark, _SMALL, letters)])
    for section in sections:
        _put_section(pages, section, letters)
    drawing = Drawing(_WIDTH, _HEIGHT, day, listing.title)
    for number, page in enumerate(pages.pages, start=1):
        drawing.new_page()
        foot = f"{listing.foot} · page {number} of {len(pages.pages)}"
        below = _below(_BOTTOM + _FOOT - _SMALL * 1.2, _text(foot, _SMALL, letters)[0])
        for strip in (*page, below):
            _draw(drawing, strip)
    return drawing.pdf()


@dataclass(slots=True)
class _Pages:
    """Strips by page, each moved down to where it stands."""

    pages: list[_Strips] = field(default_factory=lambda: [[]])
    top: float = _MARGIN

    def begin(self, strips: Sequence[_Strip], again: Sequence[_Strip] = ()) -> None:
        """Put strips that are kept together where they fit on one page.

        Where they do not, `again` stands once more at the head of each page that they go on to.
        """
        height = sum(strip.height for strip in strips)
        if self.top + height > _BOTTOM >= _MARGIN + height:
            self._turn(())
        for strip in strips:
            self.go_on(strip, again)

    def go_on(self, strip: _Strip, again: Sequence[_Strip]) -> None:
        """Put one more; `again` stands before it where it begins a page."""
        if self.top + strip.height > _BOTTOM and self.top > _MARGIN:
            self._turn(again)
        self._add(strip)

    def _turn(self, again: Sequence[_Strip]) -> None:
        self.pages.append([])
        self.top = _MARGIN
        for strip in again:
            self._add(strip)

    def _add(self, strip: _Strip) -> None:
        self.pages[-1].append(_below(self.top, strip))
        self.top += strip.height


def _below(top: float, strip: _Strip) -> _Strip:
    """Return a strip so far down."""
    return _Strip(
        strip.height,
        tuple(Line(one.left, one.base + top, one.text, one.size) for one in strip.lines),
        tuple(Rule(one.left, one.right, one.base + top) for one in strip.rules),
    )


def _draw(drawing: Drawing, strip: _Strip) -> None:
    for line in strip.lines:
        drawing.words(_MARGIN + line.left, line.base, line.text, line.size)
    for rule in strip.rules:
        drawing.rule(_MARGIN + rule.left, _MARGIN + rule.right, rule.base)


def _put_section(pages: _Pages, section: Section, letters: Typeface) -> None:
    """Put a section: its heading with what follows up to the first row, then row by row."""
    begins = [_Strip(_GAP), *_heading(section.heading, letters)]
    for text in section.paragraphs:
        begins += _text(text, _BODY, letters)
    again = list(_heading(f"{section.heading} (continued)", letters))
    table = section.table
    rows = [_row(table, row, letters) for row in table.rows] if table else []
    titles = [_titles(table, letters)] if table else []
    pages.begin([*begins, *titles, *rows[:1]], again)
    for row in rows[1:]:
        pages.go_on(row, [*again, *titles])


def _heading(text: str, letters: Typeface) -> Iterator[_Strip]:
    yield from _text(text, _HEADING, letters)
    yield _Strip(1.5, rules=(Rule(0, ROOM, 0.5),))


def _text(text: str, size: float, letters: Typeface) -> _Strips:
    """Return a text in lines, a strip each."""
    return [
        _Strip(height, (Line(0, base, line.text, size),))
        for line, base, height in _lines(text, size, ROOM, letters)
    ]


def _lines(
    text: str, size: float, width: float, letters: Typeface
) -> Iterator[tuple[Line, float, float]]:
    """Yield the lines of a text in a width, with the base from the top of each, and its height."""
    drawable = _broken(letters.drawable(text), width / size, letters)
    laid = flow([Paragraph(drawable)], Style(size, 1, 0), Page(width, _NO_END, ()), letters)
    lines = laid[0] if laid else []
    height = size * 1.2
    for number, line in enumerate(lines):
        yield line, line.base - number * height, height


def _broken(text: str, width: float, letters: Typeface) -> str:
    """Return a text in which words that are wider than a line are divided where it ends."""
    return " ".join(part for word in text.split(" ") for part in _parts(word, width, letters))


def _parts(word: str, width: float, letters: Typeface) -> Iterator[str]:
    part, used = "", 0.0
    for sign in word:
        wide = letters.width_of(sign) if not sign.isspace() else 0.0
        if part and used + wide > width:
            yield part
            part, used = "", 0.0
        part += sign
        used += wide
    yield part


def _titles(table: Table, letters: Typeface) -> _Strip:
    """Return the headings of the columns."""
    headings = Table(table.columns, (), row_height=0)
    return _cells(headings, [name for name, _ in table.columns], letters, _SMALL)


def _row(table: Table, cells: Sequence[str], letters: Typeface) -> _Strip:
    """Return a row: each cell in its column, above a line as wide as the column."""
    strip = _cells(table, cells, letters, _BODY)
    lefts = accumulate((width for _, width in table.columns), initial=0.0)
    rules = (
        Rule(left, left + width - _CELL_GAP, strip.height - _HAIR)
        for left, (_, width) in zip(lefts, table.columns, strict=False)
    )
    return replace(strip, rules=tuple(rules))


def _cells(table: Table, cells: Sequence[str], letters: Typeface, size: float) -> _Strip:
    lines: list[Line] = []
    left, height = 0.0, table.row_height
    for cell, (_, width) in zip(cells, table.columns, strict=True):
        top = _ROW_PADDING
        for line, base, pitch in _lines(cell, size, width - _CELL_GAP, letters):
            lines.append(Line(left, top + base, line.text, size))
            top += pitch
        height = max(height, top + _HAIR)
        left += width
    return _Strip(height, tuple(lines))
