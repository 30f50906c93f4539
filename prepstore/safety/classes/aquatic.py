"""Hazards to the aquatic environment, by summation with M-factors.

Source:
    Regulation (EC) No 1272/2008, Annex I, 4.1.3.5.5 with Tables 4.1.1 and 4.1.2; cut-off values
    4.1.3.1: 0.1 % / M for Acute 1 and Chronic 1, 1 % for the others.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from prepstore.safety.classes.finding import (
    Finding,
    Findings,
    Undecided,
    number_text,
    percent_text,
)
from prepstore.safety.classes.given import HazardRow
from prepstore.safety.classes.held import Held

ACUTE: Final = "Aquatic Acute 1"
CHRONIC: Final = tuple(f"Aquatic Chronic {number}" for number in (1, 2, 3, 4))
_H_CODES: Final = ("H410", "H411", "H412", "H413")
_LIMIT: Final = 25
_CUT_OFF_MOST: Final = Fraction(1, 10)
_CUT_OFF_OTHERS: Final = Fraction(1)
_WEIGHTS: Final = (
    {1: Fraction(1)},
    {1: Fraction(10), 2: Fraction(1)},
    {1: Fraction(100), 2: Fraction(10), 3: Fraction(1)},
)
"""What Chronic 1 (beside its M-factor), 2 and 3 weigh in the sums for Chronic 1, 2 and 3."""


@dataclass(frozen=True, slots=True)
class Part:
    """A substance of one aquatic class: its concentration and M-factor."""

    item: str
    percent: Fraction
    category: int
    m_factor: Decimal

    def weighed(self, weights: dict[int, Fraction]) -> Fraction:
        """Return what it adds to a sum, %."""
        return self.percent * Fraction(self.m_factor) * weights.get(self.category, 0)


def aquatic(held: Sequence[Held]) -> Findings:
    """Return the aquatic classes, and which M-factors that are not given leave them open."""
    acute = _acute(_parts(held, ACUTE))
    chronic = _chronic(_parts(held, *CHRONIC))
    found = tuple(one for one in (acute, chronic) if one is not None)
    reached = {one.hazard_class for one in found}
    return Findings(found, tuple(_undecided(held, reached)))


def _parts(held: Iterable[Held], *names: str) -> list[Part]:
    """Return the relevant substances of these classes; an M-factor that is not given is 1."""
    parts = [
        Part(one.item, one.counted, int(row.hazard_class[-1]), _m_factor(row))
        for one in held
        for row in one.of(*names)
        if one.in_band(row)
    ]
    return [one for one in parts if one.percent >= _cut_off(one)]


def _m_factor(row: HazardRow) -> Decimal:
    is_most_severe = row.hazard_class.endswith(" 1")
    return row.m_factor if row.m_factor is not None and is_most_severe else Decimal(1)


def _cut_off(part: Part) -> Fraction:
    if part.category > 1:
        return _CUT_OFF_OTHERS
    return _CUT_OFF_MOST / Fraction(part.m_factor)


def _acute(parts: Sequence[Part]) -> Finding | None:
    total = sum((one.weighed(_WEIGHTS[0]) for one in parts), Fraction(0))
    if total < _LIMIT:
        return None
    rule = f"Annex I, Table 4.1.1: {_in_words(parts, _WEIGHTS[0])} = {number_text(total)}"
    return Finding(ACUTE, ("H400",), f"{rule}, and 25 or more gives it.")


def _chronic(parts: Sequence[Part]) -> Finding | None:
    for name, h_code, weights in zip(CHRONIC, _H_CODES, _WEIGHTS, strict=False):
        total = sum((one.weighed(weights) for one in parts), Fraction(0))
        if total >= _LIMIT:
            rule = f"Annex I, Table 4.1.2: {_in_words(parts, weights)} = {number_text(total)}"
            return Finding(name, (h_code,), f"{rule}, and 25 or more gives it.")
    total = sum((one.percent for one in parts), Fraction(0))
    if total < _LIMIT:
        return None
    added = " + ".join(f"{one.item} {percent_text(one.percent)}" for one in parts)
    rule = f"Annex I, Table 4.1.2: {added} = {percent_text(total)}, and 25 % or more gives it."
    return Finding(CHRONIC[-1], (_H_CODES[-1],), rule)


def _in_words(parts: Sequence[Part], weights: dict[int, Fraction]) -> str:
    return " + ".join(
        f"{one.item} {percent_text(one.percent)} x M {one.m_factor:f}"
        + (f" x {weights[one.category]}" if weights[one.category] > 1 else "")
        for one in parts
        if one.category in weights
    )


def _undecided(held: Sequence[Held], reached: set[str]) -> Iterable[Undecided]:
    """Yield each substance whose M-factor is not given, where a larger one changes the class.

    It does unless the most severe class is reached already: however little there is of it, some
    M-factor brings it to 25 %.
    """
    for one in held:
        open_classes = [
            row.hazard_class
            for row in one.of(ACUTE, CHRONIC[0])
            if row.m_factor is None and row.hazard_class not in reached
        ]
        if open_classes:
            why = (
                f"No M-factor is given for its {' and '.join(open_classes)}: it is counted as 1, "
                "and a larger one would make the class more severe."
            )
            yield Undecided("M-factor", one.item, why)
