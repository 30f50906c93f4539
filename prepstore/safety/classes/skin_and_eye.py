"""Skin corrosion and irritation, serious eye damage and eye irritation.

Source:
    Regulation (EC) No 1272/2008, Annex I, 3.2.3 with Table 3.2.3 and 3.3.3 with Table 3.3.3; a
    substance with specific limits is judged by them and not again by the generic ones.
"""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Final

from prepstore.safety.classes.finding import Finding, Findings, Undecided
from prepstore.safety.classes.given import Mixture
from prepstore.safety.classes.held import Held
from prepstore.safety.classes.sums import Term, in_words, is_relevant, term, total

CORROSIVE: Final = ("Skin Corr. 1A", "Skin Corr. 1B", "Skin Corr. 1C", "Skin Corr. 1")
_SKIN: Final = (*CORROSIVE, "Skin Irrit. 2")
_DAMAGING: Final = (*CORROSIVE, "Eye Dam. 1")
_EYE: Final = ("Eye Dam. 1", "Eye Irrit. 2")

_CORROSIVE_LIMIT: Final = Decimal(5)
_IRRITANT_LIMIT: Final = Decimal(10)
_CORROSIVE_AS_IRRITANT: Final = Decimal(1)  # ten times its concentration, against 10 %
_EYE_DAMAGE_LIMIT: Final = Decimal(3)
_ACID_PH, _BASE_PH = Decimal(2), Decimal("11.5")


def skin_and_eye(held: Sequence[Held], mixture: Mixture) -> Findings:
    """Return the classes for skin and eyes; Skin Corr. 1 takes in serious eye damage."""
    skin = _skin(held)
    is_corrosive = skin is not None and skin.hazard_class in CORROSIVE
    eye = None if is_corrosive else _eye(held)
    found = tuple(one for one in (skin, eye) if one is not None)
    return Findings(found, _extreme_ph(held, mixture, is_corrosive=is_corrosive))


def _skin(held: Sequence[Held]) -> Finding | None:
    relevant = [one for one in held if is_relevant(one, one.start(*_SKIN))]
    for group in _groups(relevant):
        terms = [
            term(one, one.start(*group), _CORROSIVE_LIMIT) for one in relevant if one.of(*group)
        ]
        if total(terms) >= 1:
            rule = f"Annex I, Table 3.2.3 ({' + '.join(group)}): {in_words(terms)}"
            return Finding(group[-1], ("H314",), f"{rule}. Serious eye damage is included.")
    terms = [_as_irritant(one) for one in relevant if one.of(*_SKIN)]
    if total(terms) >= 1:
        rule = f"Annex I, Table 3.2.3 (10 x Skin Corr. 1 + Skin Irrit. 2): {in_words(terms)}."
        return Finding("Skin Irrit. 2", ("H315",), rule)
    return None


def _groups(held: Iterable[Held]) -> Iterator[tuple[str, ...]]:
    """Yield which classes are added up for 1A, 1B and 1C, each the last of its group.

    One ingredient of category 1 without sub-category leaves the mixture without one (note below
    Table 3.2.3).
    """
    if any(row.hazard_class == CORROSIVE[-1] for one in held for row in one.rows):
        yield CORROSIVE
        return
    for number in range(1, len(CORROSIVE)):
        yield CORROSIVE[:number]


def _as_irritant(one: Held) -> Term:
    generic = _CORROSIVE_AS_IRRITANT if one.of(*CORROSIVE) else _IRRITANT_LIMIT
    return term(one, one.start("Skin Irrit. 2"), generic)


def _eye(held: Sequence[Held]) -> Finding | None:
    relevant = [one for one in held if is_relevant(one, one.start(*_EYE))]
    damaging = [term(one, _damage_limit(one), _EYE_DAMAGE_LIMIT) for one in _damaging(relevant)]
    if total(damaging) >= 1:
        rule = f"Annex I, Table 3.3.3 (Skin Corr. 1 + Eye Dam. 1): {in_words(damaging)}."
        return Finding("Eye Dam. 1", ("H318",), rule)
    terms = [_as_eye_irritant(one) for one in relevant if one.of(*_DAMAGING, *_EYE)]
    if total(terms) >= 1:
        rule = f"(10 x (Skin Corr. 1 + Eye Dam. 1) + Eye Irrit. 2): {in_words(terms)}."
        return Finding("Eye Irrit. 2", ("H319",), f"Annex I, Table 3.3.3 {rule}")
    return None


def _damaging(held: Iterable[Held]) -> list[Held]:
    return [one for one in held if one.of(*_DAMAGING) or _end_of_irritation(one) is not None]


def _damage_limit(one: Held) -> Decimal | None:
    """Return from where a substance with limits of its own for eyes damages them.

    Its own limit; else where its eye irritation ends; else where its skin corrosion begins.
    """
    own = one.start("Eye Dam. 1")
    if own is None:
        own = _end_of_irritation(one)
    if own is None and one.start("Eye Irrit. 2") is not None:
        own = one.start(*CORROSIVE)
    return own


def _end_of_irritation(one: Held) -> Decimal | None:
    ends = (row.band.end for row in one.of("Eye Irrit. 2") if row.band.end is not None)
    return next(ends, None)


def _as_eye_irritant(one: Held) -> Term:
    generic = _CORROSIVE_AS_IRRITANT if one.of(*_DAMAGING) else _IRRITANT_LIMIT
    return term(one, one.start("Eye Irrit. 2"), generic)


def _extreme_ph(
    held: Sequence[Held], mixture: Mixture, *, is_corrosive: bool
) -> tuple[Undecided, ...]:
    """Return whether the rule of extreme pH (Annex I, 3.2.3.1.2) is left open, and by what.

    The rule alone never gives a class here: the acid or alkaline reserve may overrule it.
    """
    acids_or_bases = [one.item for one in held if one.is_acid_or_base]
    if mixture.ph is None:
        if is_corrosive:
            return ()
        why = (
            "An acid or a base, and no pH is given: at pH 2 or less, or 11.5 or more, Annex I, "
            "3.2.3.1.2 makes it Skin Corr. 1 unless other data say otherwise."
        )
        return tuple(Undecided("extreme pH", item, why) for item in acids_or_bases)
    if _ACID_PH < mixture.ph < _BASE_PH:
        return ()
    ph = f"{mixture.ph.normalize():f}"
    why = (
        f"Its pH is {ph}: at 2 or less, or 11.5 or more, Annex I, 3.2.3.1.2 makes it Skin Corr. 1 "
        "unless its acid or alkaline reserve and other data say otherwise."
    )
    return tuple(Undecided("extreme pH", item, why) for item in acids_or_bases or [""])
