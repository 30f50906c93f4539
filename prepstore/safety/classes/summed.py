"""STOT SE 3 and aspiration: effects of several ingredients are added up.

Source:
    Regulation (EC) No 1272/2008, Annex I, 3.8.3.4.5 and 3.8.3.4.6 (respiratory irritation and
    narcotic effects apart, 20 %), and 3.10.3.3.1 (10 %, and a kinematic viscosity of at most
    20.5 mm²/s at 40 °C). Cut-off values: Table 1.1, 1 %.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from prepstore.safety.classes.finding import Finding, Findings, Undecided
from prepstore.safety.classes.given import HazardRow, Mixture
from prepstore.safety.classes.held import Held
from prepstore.safety.classes.sums import Term, in_words, is_relevant, term, total

_THIRD_CATEGORY_LIMIT: Final = Decimal(20)
_ASPIRATION_LIMIT: Final = Decimal(10)
_MOST_VISCOUS: Final = Decimal("20.5")
_STOT: Final = "STOT SE 3"
_ASPIRATION: Final = "Asp. Tox. 1"


def irritating_or_narcotic(held: Sequence[Held]) -> list[Finding]:
    """Return STOT SE 3 by respiratory irritation (H335) and by narcotic effects (H336)."""
    return [
        Finding(_STOT, (h_code,), f"Annex I, 3.8.3.4.5 ({h_code}): {in_words(terms)}.")
        for h_code in ("H335", "H336")
        for terms in [_terms(held, _STOT, h_code, _THIRD_CATEGORY_LIMIT)]
        if total(terms) >= 1
    ]


def aspiration(held: Sequence[Held], mixture: Mixture) -> Findings:
    """Return Asp. Tox. 1, or that it is open where the viscosity is not known."""
    terms = _terms(held, _ASPIRATION, "H304", _ASPIRATION_LIMIT)
    if total(terms) < 1:
        return Findings()
    words = f"Annex I, 3.10.3.3.1: {in_words(terms)}"
    if mixture.viscosity is None:
        why = f"{words} at a viscosity of at most 20.5 mm²/s at 40 °C, which is not given."
        return Findings((), tuple(Undecided("viscosity", one.item, why) for one in terms))
    if mixture.viscosity > _MOST_VISCOUS:
        return Findings()
    rule = f"{words}; its viscosity {mixture.viscosity:f} mm²/s is at most 20.5 mm²/s at 40 °C."
    return Findings((Finding(_ASPIRATION, ("H304",), rule),))


def _terms(held: Sequence[Held], name: str, h_code: str, generic: Decimal) -> list[Term]:
    return [
        term(one, row.band.start, generic)
        for one, row in _rows(held, name, h_code)
        if is_relevant(one, row.band.start) and _is_below_end(one, row)
    ]


def _rows(held: Sequence[Held], name: str, h_code: str) -> Iterator[tuple[Held, HazardRow]]:
    for one in held:
        for row in one.of(name):
            if row.h_code == h_code:
                yield one, row


def _is_below_end(one: Held, row: HazardRow) -> bool:
    return row.band.end is None or one.counted_specific < row.band.end
