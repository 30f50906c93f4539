"""Classes that one ingredient gives by itself, from a limit: nothing is added up.

Source:
    Regulation (EC) No 1272/2008, Annex I, Tables 3.4.5, 3.5.2, 3.6.2, 3.7.2, 3.8.3, 3.9.4 and 5.1;
    3.11 and 4.2 to 4.4 as amended by Delegated Regulation (EU) 2023/707 (CELEX 32023R0707), which
    mixtures that are new on the market follow from 1 May 2026. Note 11 of Annex VI, 1.1.3.2.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Final

from prepstore.safety.classes.finding import Finding, named, percent_text
from prepstore.safety.classes.given import HazardRow, PhysicalForm
from prepstore.safety.classes.held import Held

NEW_CLASSES_FROM: Final = date(2026, 5, 1)
"""The day from which new mixtures have the classes of Delegated Regulation (EU) 2023/707."""


@dataclass(frozen=True, slots=True)
class Ladder:
    """Classes of one kind, the most severe first, each with its generic limit in % by mass."""

    place: str
    limits: Mapping[str, Decimal]
    since: date = date.min


def _named_ladder(place: str, text: str, since: date = date.min) -> Ladder:
    pairs = [part.rsplit(" ", 1) for part in text.split(", ")]
    return Ladder(place, {name: Decimal(limit) for name, limit in pairs}, since)


_SENSITISERS: Final = (
    _named_ladder("Table 3.4.5", "Resp. Sens. 1A 0.1, Resp. Sens. 1 1, Resp. Sens. 1B 1"),
    _named_ladder("Table 3.4.5", "Skin Sens. 1A 0.1, Skin Sens. 1 1, Skin Sens. 1B 1"),
)
_GASEOUS_SENSITISERS: Final = _named_ladder(
    "Table 3.4.5", "Resp. Sens. 1A 0.1, Resp. Sens. 1 0.2, Resp. Sens. 1B 0.2"
)
_LADDERS: Final = (
    _named_ladder("Table 3.5.2", "Muta. 1A 0.1, Muta. 1B 0.1, Muta. 2 1"),
    _named_ladder("Table 3.6.2", "Carc. 1A 0.1, Carc. 1B 0.1, Carc. 2 1"),
    _named_ladder("Table 3.7.2", "Repr. 1A 0.3, Repr. 1B 0.3, Repr. 2 3"),
    _named_ladder("Table 3.7.2", "Lact. 0.3"),
    _named_ladder("Table 5.1", "Ozone 1 0.1"),
    _named_ladder("3.11.3", "ED HH 1 0.1, ED HH 2 1", NEW_CLASSES_FROM),
    _named_ladder("4.2.3", "ED ENV 1 0.1, ED ENV 2 1", NEW_CLASSES_FROM),
    _named_ladder("4.3.3", "PBT 0.1", NEW_CLASSES_FROM),
    _named_ladder("4.3.3", "vPvB 0.1", NEW_CLASSES_FROM),
    _named_ladder("4.4.3", "PMT 0.1", NEW_CLASSES_FROM),
    _named_ladder("4.4.3", "vPvM 0.1", NEW_CLASSES_FROM),
)
_BORON_LIMIT: Final = Decimal("0.3")
_ORGAN_LIMIT: Final = Decimal(10)
_ORGAN_SECOND_FROM_FIRST: Final = Decimal(1)


def sensitisers(held: Sequence[Held], form: PhysicalForm) -> list[Finding]:
    """Return the classes of sensitisation, one for breathing and one for skin at most."""
    breathed, skin = _SENSITISERS
    ladders = (_GASEOUS_SENSITISERS if form is PhysicalForm.GAS else breathed, skin)
    return [found for ladder in ladders for found in _on(ladder, held)]


def by_one_limit(held: Sequence[Held], on: date) -> list[Finding]:
    """Return the other classes that one ingredient gives: the most severe of each kind."""
    found = [one for ladder in _LADDERS if ladder.since <= on for one in _on(ladder, held)]
    boron = _boron(held)
    return found if boron is None else _with_boron(found, boron)


def _with_boron(found: Sequence[Finding], boron: Finding) -> list[Finding]:
    """Return classes with that of note 11: one class for reproduction, with all its statements."""
    others = [one for one in found if not one.hazard_class.startswith("Repr.")]
    own = [one for one in found if one.hazard_class.startswith("Repr.")]
    codes = [code for one in (*own, boron) for code in one.h_codes]
    most_severe = min((*own, boron), key=lambda one: one.hazard_class)
    rules = dict.fromkeys(
        one.rule for one in (*own, boron) if one.hazard_class == most_severe.hazard_class
    )
    return [*others, Finding(most_severe.hazard_class, _together(codes), " ".join(rules))]


def _on(ladder: Ladder, held: Sequence[Held]) -> Iterator[Finding]:
    """Yield the most severe class of a ladder that an ingredient gives, if any does."""
    reached = [(row, one) for one in held for row in one.rows if _gives(row, one, ladder.limits)]
    for name in ladder.limits:
        givers = [(row, one) for row, one in reached if row.hazard_class == name]
        if givers:
            codes = (row.h_code for row, _ in reached) if name.startswith("Repr.") else ()
            yield Finding(
                name,
                _together([*codes, *(row.h_code for row, _ in givers)]),
                f"Annex I, {ladder.place}: {_by_limit(givers, ladder.limits[name])}.",
            )
            return


def _gives(row: HazardRow, one: Held, limits: Mapping[str, Decimal]) -> bool:
    if row.hazard_class not in limits:
        return False
    return one.in_band(row) if row.band.is_set else one.counted >= limits[row.hazard_class]


def _by_limit(givers: Sequence[tuple[HazardRow, Held]], generic: Decimal) -> str:
    return "; ".join(
        f"{one.item} {percent_text(one.counted)}, {_limit_text(row, generic)}"
        for row, one in givers
    )


def _limit_text(row: HazardRow, generic: Decimal) -> str:
    if row.band.start is None:
        return f"generic limit {percent_text(Fraction(generic))}"
    return f"specific limit {percent_text(Fraction(row.band.start))}"


def _together(codes: Sequence[str]) -> tuple[str, ...]:
    """Return statements, each once; those for reproduction as the one that says all of them.

    Annex VI, Table 1.2 has the combinations H360FD, H360Fd, H360Df and H361fd.
    """
    reproductive = {code for code in codes if code[:4] in ("H360", "H361")}
    others = sorted(set(codes) - reproductive)
    if not reproductive:
        return tuple(_without_covered(others))
    stem = min(code[:4] for code in reproductive)
    if stem in reproductive:
        return (*others, stem)
    letters = {letter for code in reproductive for letter in code[4:]}
    kept = [
        letter
        for letter in ("F", "D", "f", "d")
        if letter in letters and (letter.isupper() or letter.upper() not in letters)
    ]
    kept.sort(key=lambda letter: (letter.islower(), letter.upper() != "F"))
    return (*others, stem + "".join(kept))


def _without_covered(codes: Sequence[str]) -> list[str]:
    """Return statements without `H350i` beside `H350`, which takes it in."""
    return [code for code in codes if code[:4] == code or code[:4] not in codes]


def _boron(held: Sequence[Held]) -> Finding | None:
    """Return the class that note 11 gives by the sum of boron compounds."""
    parts = [(one.item, one.percent) for one in held if one.is_boron]
    total = sum((percent for _, percent in parts), Fraction(0))
    if total < _BORON_LIMIT:
        return None
    rule = (
        f"Annex VI, 1.1.3.2, note 11: boron compounds are added up: {named(parts)}; "
        f"{percent_text(total)} in all, and 0.3 % or more gives it."
    )
    return Finding("Repr. 1B", ("H360FD",), rule)


def organs(held: Sequence[Held]) -> list[Finding]:
    """Return the classes for target organs after one exposure (1, 2) and after repeated ones."""
    single = _organ(held, "STOT SE", ("H370", "H371"), "Table 3.8.3")
    repeated = _organ(held, "STOT RE", ("H372", "H373"), "Table 3.9.4")
    return [one for one in (single, repeated) if one is not None]


def _organ(held: Sequence[Held], kind: str, h_codes: tuple[str, str], place: str) -> Finding | None:
    first, second = f"{kind} 1", f"{kind} 2"
    limits = {first: _ORGAN_LIMIT, second: _ORGAN_LIMIT}
    for name, h_code in ((first, h_codes[0]), (second, h_codes[1])):
        givers = [(row, one) for one in held for row in one.of(name) if _gives(row, one, limits)]
        texts = [_by_limit(givers, _ORGAN_LIMIT)] if givers else []
        if name == second:
            texts += [_from_first(one) for one in held if _gives_second(one, first, second)]
        if texts:
            return Finding(name, (h_code,), f"Annex I, {place}: {'; '.join(texts)}.")
    return None


def _gives_second(one: Held, first: str, second: str) -> bool:
    """Return whether a category 1 substance below its limit gives category 2, from 1 %.

    One with a specific limit for category 2 is judged by that.
    """
    has_own = one.start(second) is not None
    return bool(one.of(first)) and not has_own and one.counted >= _ORGAN_SECOND_FROM_FIRST


def _from_first(one: Held) -> str:
    return f"{one.item} {percent_text(one.counted)}, category 1, from 1 % and below its limit"
