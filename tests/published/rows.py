"""Check values as their tables hold them: one row a case, its source in the last column."""

import csv
from decimal import Decimal
from pathlib import Path

FOLDER = Path(__file__).parent
Row = dict[str, str]


def rows_of(table: str) -> list[Row]:
    """Return the rows of one of the tables beside this file."""
    with (FOLDER / f"{table}.csv").open(encoding="utf-8", newline="") as lines:
        return list(csv.DictReader(lines))


def half_a_unit(printed: str) -> Decimal:
    """Return half a unit in the last printed place of a number, relative to it.

    >>> half_a_unit("0.375 mol/L")
    Decimal('0.001333333333333333333333333333')
    """
    number = Decimal(printed.split(maxsplit=1)[0])
    last_place = Decimal(1).scaleb(int(number.as_tuple().exponent))
    return last_place / 2 / number


def in_figures(number: Decimal, figures: int) -> Decimal:
    """Return a number rounded half up to so many significant figures.

    >>> in_figures(Decimal("249.677"), 4)
    Decimal('249.7')
    """
    place = number.adjusted() - figures + 1
    return number.quantize(Decimal(1).scaleb(place), rounding="ROUND_HALF_UP")
