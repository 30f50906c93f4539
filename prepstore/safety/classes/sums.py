"""Additivity: each ingredient's concentration over its own limit, added up; 1 gives the class.

Source:
    Regulation (EC) No 1272/2008, Annex I: the sums of Tables 3.2.3 and 3.3.3 with generic limits.
    With specific limits each ingredient counts by its own: ECHA, Guidance on the Application of the
    CLP Criteria, Part 1, section 1.6.3.3.3. Cut-off values: Annex I, 1.1.2.2.2 and Table 1.1.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Final

from prepstore.safety.classes.finding import number_text, percent_text
from prepstore.safety.classes.held import Held

CUT_OFF: Final = Decimal(1)
"""% from which an ingredient is taken into account for skin, eyes, STOT SE 3 and aspiration."""


@dataclass(frozen=True, slots=True)
class Term:
    """What one ingredient adds to a sum: its concentration and its limit, % by mass."""

    item: str
    percent: Fraction
    limit: Decimal

    @property
    def ratio(self) -> Fraction:
        """Return the concentration over the limit; a limit of 0 % is reached by any."""
        return self.percent / Fraction(self.limit) if self.limit else Fraction(1)


def term(held: Held, specific: Decimal | None, generic: Decimal) -> Term:
    """Return what an ingredient adds: against its specific limit, or the generic one without it."""
    if specific is None:
        return Term(held.item, held.counted, generic)
    return Term(held.item, held.counted_specific, specific)


def is_relevant(held: Held, lowest: Decimal | None) -> bool:
    """Return whether it reaches the cut-off: 1 %, or its lowest specific limit if that is less."""
    if lowest is not None and lowest < CUT_OFF:
        return held.counted_specific >= lowest
    return held.counted >= CUT_OFF


def total(terms: Iterable[Term]) -> Fraction:
    """Return the sum of the ratios; the class holds from 1."""
    return sum((one.ratio for one in terms), Fraction(0))


def in_words(terms: Iterable[Term]) -> str:
    """Return a sum as words: each concentration over its limit, and the total."""
    terms = tuple(terms)
    added = " + ".join(
        f"{one.item} {percent_text(one.percent)} / {percent_text(Fraction(one.limit))}"
        for one in terms
    )
    return f"{added} = {number_text(total(terms))}, and 1 or more gives it"
