"""Supplemental statements (EUH) of a mixture.

Source:
    Regulation (EC) No 1272/2008: specific limits of Annex VI, Table 3 (EUH031); Annex II, 2.8 with
    Annex I, Table 3.4.6 (EUH208). For the other statements the act gives no concentration from
    which a mixture has that of an ingredient; they are not carried over, and named as such.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from prepstore.safety.classes.finding import Finding, percent_text
from prepstore.safety.classes.held import Held

SUPPLEMENTAL: Final = "EUH"
EUH208: Final = "EUH208"
_SENSITISING: Final = ("Resp. Sens.", "Skin Sens.")
_ELICITS: Final = {"1A": Decimal("0.01"), "1": Decimal("0.1"), "1B": Decimal("0.1")}
_TENTH: Final = Decimal("0.1")


def supplemental(held: Sequence[Held], found: Sequence[Finding]) -> list[Finding]:
    """Return the supplemental statements, each once.

    Args:
        held: What holds for each ingredient.
        found: The classes of the mixture.
    """
    rules: dict[str, list[str]] = {}
    for one in held:
        for row in one.rows:
            if row.hazard_class.startswith(SUPPLEMENTAL) and row.band.is_set and one.in_band(row):
                words = f"{one.item} {percent_text(one.percent)}, within its specific limit"
                rules.setdefault(row.hazard_class, []).append(f"{one.by}: {words}")
    own = [Finding(code, (code,), f"{'; '.join(rules[code])}.") for code in sorted(rules)]
    return [*own, *_allergic(held, found)]


def sensitising_items(held: Sequence[Held]) -> tuple[str, ...]:
    """Return the items that a label names as sensitising: from the limits of Table 3.4.6.

    Where the mixture is classified as sensitising, those that give it the class are among them.
    """
    return tuple(one.item for one in held if _elicits(one))


def _elicits(one: Held) -> bool:
    """Return whether a sensitiser reaches its limit of Table 3.4.6: a tenth of a specific one."""
    return any(
        one.counted >= _ELICITS[row.hazard_class.rsplit(" ", 1)[1]]
        if row.band.start is None
        else one.counted_specific >= row.band.start * _TENTH
        for row in one.of(*_SENSITISING)
    )


def _allergic(held: Sequence[Held], found: Sequence[Finding]) -> Iterator[Finding]:
    """Yield EUH208 where the mixture is not classified as sensitising and has a sensitiser."""
    if any(one.hazard_class.startswith(_SENSITISING) for one in found):
        return
    items = sensitising_items(held)
    if items:
        rule = f"Annex II, 2.8 with Annex I, Table 3.4.6: contains {'; '.join(items)}."
        yield Finding(EUH208, (EUH208,), rule)
