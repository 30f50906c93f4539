"""Lines that fit the screen: text from 60 to 200 columns wide, lists as wide as it is."""

from collections.abc import Iterable, Iterator
from shutil import get_terminal_size
from textwrap import wrap

_NARROWEST, _USUAL, _WIDEST = 60, 80, 200


def columns() -> int:
    """Return how wide a line may be: that of the terminal, or of the variable COLUMNS; else 80."""
    return min(max(get_terminal_size((_USUAL, 24)).columns, _NARROWEST), _WIDEST)


def wrapped(text: str, *, first: str = "", further: str = "") -> Iterator[str]:
    """Yield a text in lines that fit, the first behind one indent, further ones behind another."""
    room = columns()
    if len(first) + len(text) <= room and text.strip() == text and text.isprintable():
        yield from [f"{first}{text}"] if text else []
        return
    yield from wrap(
        text,
        room,
        initial_indent=first,
        subsequent_indent=further,
        break_long_words=False,
        break_on_hyphens=False,
    )


def list_width() -> int | None:
    """Return how wide a list may be: as `columns`, but with no end; None in a file or a pipe."""
    given = get_terminal_size((0, 0)).columns
    return max(given, _NARROWEST) if given else None


def fitted(lines: Iterable[str]) -> Iterator[str]:
    """Yield lines of a list as they are, those that are too long for the screen folded."""
    room = list_width()
    for line in lines:
        if room is None or len(line) <= room:
            yield line
        else:
            indent = line[: len(line) - len(line.lstrip())]
            yield from wrapped(line.lstrip(), first=indent, further=f"{indent}  ")
