"""A list for people: columns one below the other, within the width that there is."""

import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import zip_longest
from textwrap import wrap

from prepstore.report.screen import list_width, wrapped

_GAP = "  "
_FOLDED_TO_AT_LEAST = 16
_BELOW = "    "
_NUMBER_AND_WHAT_IT_IS_OF = re.compile(r"(?<=\d) (?=\S)")
_NO_BREAK = "\N{NO-BREAK SPACE}"


def as_table(heading: Sequence[str], lines: Sequence[Sequence[str]]) -> Iterator[str]:
    """Yield a heading and lines with their columns one below the other; blank columns are left out.

    Where the screen is too narrow, long cells are folded. Where that is not enough, the last
    columns go below their line, each cell after its heading. Nothing is yielded without lines.
    """
    shown = [place for place in range(len(heading)) if any(line[place] for line in lines)]
    rows = [[line[place] for place in shown] for line in (heading, *lines)] if lines else []
    columns = list(zip(*rows, strict=True))
    widths = _widths(columns, list_width())
    for number, row in enumerate(rows):
        yield from _line(row[: len(widths)], widths)
        if number:
            yield from _below(rows[0][len(widths) :], row[len(widths) :])


def _widths(columns: Sequence[Sequence[str]], room: int | None) -> list[int]:
    """Return the widths of the columns that stand side by side: all, or those that have room."""
    whole = [max(map(len, cells)) for cells in columns]
    if room is None or _together(whole) <= room:
        return whole
    least = [_least(cells, width) for cells, width in zip(columns, whole, strict=True)]
    beside = len(least)
    while beside > 1 and _together(least[:beside]) > room:
        beside -= 1
    return _folded(whole[:beside], least[:beside], room)


def _together(widths: Sequence[int]) -> int:
    return sum(widths) + len(_GAP) * (len(widths) - 1)


def _least(cells: Sequence[str], whole: int) -> int:
    """Return how narrow a column may be: words stay whole."""
    words = (word for cell in cells for word in _kept_together(cell).split(" "))
    longest_word = max(map(len, words), default=0)
    return max(longest_word, min(whole, _FOLDED_TO_AT_LEAST))


def _folded(whole: Sequence[int], least: Sequence[int], room: int) -> list[int]:
    """Return widths that fit: the widest columns give way first, none below its least."""
    widths = list(whole)
    while _together(widths) > room:
        can_give_way = [place for place, width in enumerate(widths) if width > least[place]]
        if not can_give_way:
            break
        widths[max(can_give_way, key=lambda place: widths[place])] -= 1
    return widths


def _line(cells: Sequence[str], widths: Sequence[int]) -> Iterator[str]:
    folded = [_fold(cell, width) for cell, width in zip(cells, widths, strict=True)]
    for parts in zip_longest(*folded, fillvalue=""):
        yield _GAP.join(
            part.ljust(width) for part, width in zip(parts, widths, strict=True)
        ).rstrip()


def _fold(cell: str, width: int) -> Sequence[str]:
    if len(cell) <= width:
        return (cell,)
    folded = wrap(_kept_together(cell), width, break_long_words=False, break_on_hyphens=False)
    return [part.replace(_NO_BREAK, " ") for part in folded]


def _kept_together(cell: str) -> str:
    """Return a cell in which no line ends between a number and its unit, as in 15 mL or 30 %."""
    return _NUMBER_AND_WHAT_IT_IS_OF.sub(_NO_BREAK, cell)


def _below(heading: Iterable[str], cells: Iterable[str]) -> Iterator[str]:
    given = [(name, cell) for name, cell in zip(heading, cells, strict=True) if cell]
    text = "; ".join(f"{name}: {cell}" if name else cell for name, cell in given)
    if text:
        yield from wrapped(text, first=_BELOW, further=_BELOW)
