"""Supplemental statements (EUH) of a mixture.

Source:
    Regulation (EC) No 1272/2008, Article 25(1) and Annex II, Part 1 (statements for mixtures that
    are classified), Part 2, 2.8 with Annex I, Table 3.4.6 (EUH208).
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from prepstore.safety.classes.finding import Finding, percent_text
from prepstore.safety.classes.given import HazardRow
from prepstore.safety.classes.held import Held

_SENSITISING: Final = ("Resp. Sens.", "Skin Sens.")
_ELICITS: Final = {"1A": Decimal("0.01"), "1": Decimal("0.1"), "1B": Decimal("0.1")}
_TENTH: Final = Decimal("0.1")
_FROM: Final = 1
EUH208: Final = "EUH208"


def supplemental(held: Sequence[Held], found: Sequence[Finding]) -> list[Finding]:
    """Return the supplemental statements, each once.

    Args:
        held: What holds for each ingredient.
        found: The classes of the mixture.
    """
    rules: dict[str, list[str]] = {}
    for one in held:
        for row in one.of(*_codes(one)):
            rule = _carried(one, row, found)
            if rule:
                rules.setdefault(row.h_code, []).append(rule)
    carried = [Finding(code, (code,), f"{'; '.join(rules[code])}.") for code in sorted(rules)]
    return [*carried, *_allergic(held, found)]


def _codes(one: Held) -> list[str]:
    return [row.hazard_class for row in one.rows if row.hazard_class.startswith("EUH")]


def _carried(one: Held, row: HazardRow, found: Sequence[Finding]) -> str:
    """Return why a statement of an ingredient is one of the mixture; blank where it is none.

    With a specific limit, by that. Without one the act gives no limit: from 1 %, where the mixture
    is classified; EUH071 only where it is corrosive to skin or acutely toxic when breathed in.
    """
    words = f"{one.item} {percent_text(one.percent)}"
    if row.band.is_set:
        return f"{one.by}: {words}, within its specific limit" if one.in_band(row) else ""
    if one.percent < _FROM or not found:
        return ""
    if row.h_code == "EUH071" and not _may_corrode_airways(found):
        return ""
    return f"Article 25(1) and Annex II, Part 1: {words}, and the mixture is classified"


def _may_corrode_airways(found: Sequence[Finding]) -> bool:
    breathed = {"H330", "H331", "H332"}
    return any(
        one.hazard_class.startswith("Skin Corr.") or breathed & set(one.h_codes) for one in found
    )


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
        rule = f"Annex II, 2.8 with Annex I, Table 3.4.6: contains {', '.join(items)}."
        yield Finding(EUH208, (EUH208,), rule)
