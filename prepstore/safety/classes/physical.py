"""Physical hazards: only what a flash point or a specific limit decides; the rest needs a test.

Source:
    Regulation (EC) No 1272/2008, Annex I, Table 2.6.1 (flammable liquids), 2.13 and 2.14 (oxidising
    liquids and solids), 2.15 (organic peroxides), 2.16 (corrosive to metals); specific limits of
    Annex VI, Table 3.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from prepstore.safety.classes.finding import Finding, Findings, Undecided, percent_text
from prepstore.safety.classes.given import HazardRow, Mixture
from prepstore.safety.classes.held import Held

_FLAMMABLE: Final = "Flam. Liq."
_TESTED: Final = ("Ox. Liq.", "Ox. Sol.", "Met. Corr.", "Org. Perox.")
_LOW_FLASH_POINT, _HIGH_FLASH_POINT = Decimal(23), Decimal(60)

_NEEDS_A_TEST: Final = (
    (
        "oxidising",
        ("Ox. Liq.", "Ox. Sol."),
        "It is oxidising. Whether a mixture with it is, only tests O.1 to O.3 tell "
        "(Annex I, 2.13 and 2.14).",
    ),
    (
        "corrosive to metals",
        ("Met. Corr. 1",),
        "It is corrosive to metals. Whether a mixture with it is, only test C.1 tells "
        "(Annex I, 2.16).",
    ),
    (
        "organic peroxide",
        ("Org. Perox.",),
        "It is an organic peroxide. Which type a mixture with it is, only tests tell "
        "(Annex I, 2.15).",
    ),
)

NOT_CALCULATED: Final = (
    "Expl.", "Flam. Gas", "Aerosol", "Ox. Gas", "Press. Gas", "Flam. Sol.", "Self-react.",
    "Pyr. Liq.", "Pyr. Sol.", "Self-heat.", "Water-react.", "Desen. Expl.",
)  # fmt: skip
"""Physical classes of ingredients that no rule of Annex I carries over to a mixture."""


def physical(held: Sequence[Held], mixture: Mixture) -> Findings:
    """Return the physical classes that can be told, and the questions that need a test."""
    found = [one for kind in _TESTED for one in _by_limits(held, kind)]
    undecided = list(_untested(held))
    if mixture.flash_point is not None:
        found += _by_flash_point(held, mixture.flash_point)
    else:
        found += _by_limits(held, _FLAMMABLE)
        undecided += _needs_a_flash_point(held)
    return Findings(tuple(found), tuple(undecided))


def _by_limits(held: Sequence[Held], kind: str) -> list[Finding]:
    """Return the most severe class of one kind that a specific limit of an ingredient gives."""
    reached = [
        (row, one) for one in held for row in one.of(kind) if row.band.is_set and one.in_band(row)
    ]
    if not reached:
        return []
    # The categories of a class are in order of their signs: 1 before 2, type A before B.
    row, one = min(reached, key=lambda found: found[0].hazard_class)
    rule = f"{one.by}: {one.item} {percent_text(one.percent)}, within its specific limit."
    return [Finding(row.hazard_class, (row.h_code,), rule)]


def _untested(held: Sequence[Held]) -> Iterator[Undecided]:
    """Yield each ingredient with a class that only a test tells, and without a specific limit."""
    for what, names, why in _NEEDS_A_TEST:
        for one in held:
            if _without_limits(one.of(*names)):
                yield Undecided(what, one.item, why)


def _without_limits(rows: Sequence[HazardRow]) -> bool:
    return bool(rows) and not any(row.band.is_set for row in rows)


def _by_flash_point(held: Sequence[Held], flash_point: Decimal) -> list[Finding]:
    text = f"{flash_point.normalize():f}"
    if flash_point < _LOW_FLASH_POINT:
        rule = f"Annex I, Table 2.6.1: its flash point of {text} °C is below 23 °C"
        if any(one.of("Flam. Liq. 1") for one in held):
            rule += (
                "; whether it is Flam. Liq. 1, its initial boiling point tells (35 °C or less), "
                "which is not known"
            )
        return [Finding("Flam. Liq. 2", ("H225",), f"{rule}.")]
    if flash_point <= _HIGH_FLASH_POINT:
        rule = f"Annex I, Table 2.6.1: its flash point of {text} °C is from 23 °C to 60 °C."
        return [Finding("Flam. Liq. 3", ("H226",), rule)]
    return []


def _needs_a_flash_point(held: Sequence[Held]) -> Iterator[Undecided]:
    why = (
        "It is a flammable liquid. Whether a mixture with it is, its flash point tells "
        "(Annex I, Table 2.6.1), and none is given."
    )
    for one in held:
        if _without_limits(one.of("Flam. Liq.")):
            yield Undecided("flash point", one.item, why)
