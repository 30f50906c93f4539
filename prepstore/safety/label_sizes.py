"""How large a label, its pictograms and its letters must be, and what a small one may leave out.

Regulation (EC) No 1272/2008 (CLP), Annex I, 1.2.1 and 1.5.2. The heights of letters came with
Regulation (EU) 2024/2865; they are kept already, whatever the day from which they bind.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Final

from prepstore.safety.data_files import rows_of

LINE_SPACING: Final = Decimal("1.2")
"""From line to line, in sizes of the font: Annex I, 1.2.1.5(b)."""

SMALL_PACKAGE_ML: Final = Decimal(125)
"""Up to this capacity some statements may be left out: Annex I, 1.5.2.1."""


@dataclass(frozen=True, slots=True)
class LabelSize:
    """The measures for containers up to a capacity, in mm; no capacity: for all larger ones.

    `short_mm` by `long_mm` is the label, which `must_be` that large or only should. A pictogram's
    measure is the side of its red frame, not of the square around the diamond.
    """

    capacity_to_ml: Decimal | None
    short_mm: Decimal
    long_mm: Decimal
    must_be: bool
    pictogram_least_mm: Decimal
    pictogram_wanted_mm: Decimal
    x_height_mm: Decimal

    def is_met_by(self, width_mm: Decimal, height_mm: Decimal) -> bool:
        """Return whether a label may be of this width and height, turned or not."""
        short, long = sorted((width_mm, height_mm))
        return not self.must_be or (short >= self.short_mm and long >= self.long_mm)


@cache
def label_sizes() -> tuple[LabelSize, ...]:
    """Return the rows of Table 1.3, by rising capacity."""
    return tuple(
        LabelSize(
            Decimal(row["capacity_to_mL"]) if row["capacity_to_mL"] else None,
            Decimal(row["label_short_mm"]),
            Decimal(row["label_long_mm"]),
            row["label_is"] == "at least",
            Decimal(row["pictogram_least_mm"]),
            Decimal(row["pictogram_wanted_mm"]),
            Decimal(row["x_height_mm"]),
        )
        for row in rows_of("label_sizes.csv")
    )


def label_size_for(capacity_ml: Decimal) -> LabelSize:
    """Return the measures for the label of a container that holds so many mL.

    >>> label_size_for(Decimal(500)).x_height_mm, label_size_for(Decimal(2500)).x_height_mm
    (Decimal('1.2'), Decimal('1.4'))
    """
    return next(
        size
        for size in label_sizes()
        if size.capacity_to_ml is None or capacity_ml <= size.capacity_to_ml
    )


@cache
def may_be_left_out() -> Mapping[str, str]:
    """Return, by hazard statement, what a small package may do without: `H and P`, or `P` alone."""
    return {row["h_code"]: row["may_be_left_out"] for row in rows_of("small_packages.csv")}


def hazard_may_be_left_out(h_code: str, capacity_ml: Decimal) -> bool:
    """Return whether a label of that capacity may do without the words of a hazard statement.

    >>> hazard_may_be_left_out("H319", Decimal(100)), hazard_may_be_left_out("H314", Decimal(100))
    (True, False)
    """
    return _each_may(h_code, capacity_ml, ("H and P",))


def precautions_may_be_left_out(h_code: str, capacity_ml: Decimal) -> bool:
    """Return whether a label of that capacity may do without what a hazard statement asks for."""
    return _each_may(h_code, capacity_ml, ("H and P", "P"))


def _each_may(h_code: str, capacity_ml: Decimal, words: tuple[str, ...]) -> bool:
    codes = (code.strip() for code in h_code.split("+"))
    return capacity_ml <= SMALL_PACKAGE_ML and all(
        may_be_left_out().get(code) in words for code in codes
    )
