"""A label's number as a code to scan: QR (ISO/IEC 18004), or Micro QR where room is short."""

from contextlib import suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import segno

MODULE_MM: Final = 0.375
"""The side of one dark square: three dots of a printer of 203 dots an inch."""


@dataclass(frozen=True, slots=True)
class Code:
    """A code's squares, row by row, and the rows that must stay white around it."""

    rows: tuple[tuple[bool, ...], ...]
    quiet: int

    @property
    def side_mm(self) -> float:
        """Return its side with the white around it."""
        return (len(self.rows) + 2 * self.quiet) * MODULE_MM


@lru_cache(maxsize=256)
def codes_for(number: str) -> tuple[Code, ...]:
    """Return the codes that hold a number, the larger first.

    Telephones read QR codes alone; a Micro QR code, which holds short numbers only, wants a
    scanner that knows it.
    """
    made = [segno.make_qr(number)]
    with suppress(segno.DataOverflowError):
        made.append(segno.make_micro(number))
    return tuple(
        Code(
            tuple(tuple(bool(dark) for dark in row) for row in code.matrix),
            code.default_border_size,
        )
        for code in made
    )
