"""Lines that fit the screen: as wide as it is, from 60 to 200 columns."""

from collections.abc import Iterator
from shutil import get_terminal_size
from textwrap import wrap

_NARROWEST, _USUAL, _WIDEST = 60, 80, 200


def columns() -> int:
    """Return how wide a line may be: that of the terminal, or of the variable COLUMNS; else 80."""
    return min(max(get_terminal_size((_USUAL, 24)).columns, _NARROWEST), _WIDEST)


def wrapped(text: str, *, first: str = "", further: str = "") -> Iterator[str]:
    """Yield a text in lines that fit, the first behind one indent, further ones behind another."""
    yield from wrap(
        text,
        columns(),
        initial_indent=first,
        subsequent_indent=further,
        break_long_words=False,
        break_on_hyphens=False,
    )
