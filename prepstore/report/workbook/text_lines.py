"""How many lines a text takes in a cell: its words by the widths of their letters."""

from functools import lru_cache
from typing import Final
from unicodedata import normalize

_FIRST: Final = 32
_WIDTHS: Final = (
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
)  # fmt: skip
"""Of the letters from the space to the tilde, in thousandths of the size: Arial, as Helvetica.

Source: Adobe's font metrics of the core fonts, file Helvetica.afm, which Arial shares.
"""
_BOLD_WIDTHS: Final = (
    278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611, 975, 722, 722, 722, 722, 667,
    611, 778, 722, 278, 556, 722, 611, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 333, 278, 333, 584, 556, 333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556,
    278, 889, 611, 611, 611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
)  # fmt: skip
"""The same of Helvetica-Bold.afm."""
_OTHERS: Final = {"·": 278, "×": 584, "–": 556, "°": 400, "²": 333, "³": 333, "µ": 611}
_UNKNOWN: Final = 1000
_WIDEST: Final = max(*_WIDTHS, *_BOLD_WIDTHS, _UNKNOWN)


class _Letters(dict[str, int]):
    """How wide each letter of a font is, in thousandths of its size."""

    def __missing__(self, letter: str) -> int:
        # An accent does not widen its letter.
        plain = normalize("NFD", letter)[0]
        return self[plain] if plain.isascii() and plain.isprintable() else _UNKNOWN


_PLAIN: Final = _Letters({chr(_FIRST + at): wide for at, wide in enumerate(_WIDTHS)} | _OTHERS)
_BOLD: Final = _Letters({chr(_FIRST + at): wide for at, wide in enumerate(_BOLD_WIDTHS)} | _OTHERS)


def lines_of(text: str, width: float, size: float, *, is_bold: bool = False) -> int:
    """Return how many lines a text takes: words are kept whole where they fit on a line.

    Args:
        text: With its own line breaks.
        width: Of the cell's inside, in points.
        size: Of the font, in points.
        is_bold: Whether it is bold.
    """
    room = width * 1000 / size
    if "\n" not in text:
        return _lines(text, room, is_bold)
    return sum(_lines(line, room, is_bold) for line in text.split("\n"))


def _lines(line: str, room: float, is_bold: bool) -> int:  # noqa: FBT001 - of the cache's key
    return 1 if len(line) * _WIDEST <= room else _lines_of_words(line, room, is_bold)


@lru_cache(maxsize=1 << 14)
def _lines_of_words(line: str, room: float, is_bold: bool) -> int:  # noqa: FBT001 - as above
    count, used = 1, 0.0
    space = _WIDTHS[0]
    for word in line.split(" "):
        wide = _width(word, is_bold)
        if used and used + space + wide > room:
            count, used = count + 1, 0.0
        # A word wider than a line goes on over the next ones.
        over, wide = divmod(wide, room) if wide > room else (0, wide)
        count += int(over)
        used += wide + (space if used else 0)
    return count


@lru_cache(maxsize=1 << 14)
def _width(word: str, is_bold: bool) -> float:  # noqa: FBT001 - of the cache's key
    letters = _BOLD if is_bold else _PLAIN
    return sum([letters[letter] for letter in word])
