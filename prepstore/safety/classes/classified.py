"""The classes of a mixture by Regulation (EC) No 1272/2008, each with its rule, and what is open.

It is a calculation by named rules, not a judgement: the supplier's safety data sheet, tests of the
mixture and a competent person come first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from prepstore.safety.classes.acute import acute, unknown_percent
from prepstore.safety.classes.alone import by_one_limit, organs, sensitisers
from prepstore.safety.classes.aquatic import aquatic
from prepstore.safety.classes.entries import Entries
from prepstore.safety.classes.finding import Finding, Findings, Undecided, joined, percent_text
from prepstore.safety.classes.given import HazardRow, Ingredient, Mixture
from prepstore.safety.classes.held import Held, held_on
from prepstore.safety.classes.label import pictograms, shown_statements, signal_word
from prepstore.safety.classes.physical import NOT_CALCULATED, physical
from prepstore.safety.classes.skin_and_eye import skin_and_eye
from prepstore.safety.classes.statements import SUPPLEMENTAL, sensitising_items, supplemental
from prepstore.safety.classes.summed import aspiration, irritating_or_narcotic


@dataclass(frozen=True, slots=True)
class Because:
    """A class and the rule that gave it, in a sentence."""

    hazard_class: str
    rule: str


@dataclass(frozen=True, slots=True)
class Classified:
    """The classes of a mixture, what its label shows, and what could not be decided.

    Attributes:
        classes: As `Skin Corr. 1B`, sorted, each once; where something is undecided, those that
            hold under every reading.
        h_codes: Hazard statements, sorted.
        signal_word: `Danger`, `Warning`, or None.
        pictograms: As `GHS05`, sorted, by the precedence of Article 26.
        euh: Codes of supplemental statements, sorted.
        undecided: What is open, sorted.
        because: Why each class and supplemental statement holds, in order of class.
        sensitisers: Items that a label names as sensitising (EUH208 and Annex II, 2.8).
        unknown_acute_percent: % by mass whose acute toxicity is unknown, in words as Annex I,
            3.1.3.6.2.2 wants them; blank where there is none.
        not_calculated: Classes and supplemental statements of ingredients, with the item, that no
            rule carries over to a mixture.
    """

    classes: tuple[str, ...]
    h_codes: tuple[str, ...]
    signal_word: str | None
    pictograms: tuple[str, ...]
    euh: tuple[str, ...]
    undecided: tuple[Undecided, ...]
    because: tuple[Because, ...]
    sensitisers: tuple[str, ...]
    unknown_acute_percent: str
    not_calculated: tuple[tuple[str, str], ...]


def classified(
    ingredients: Iterable[Ingredient], mixture: Mixture, on: date, entries: Entries
) -> Classified:
    """Return the classes of a mixture that is made on a day.

    Args:
        ingredients: What it is made of; what they lack of 100 % counts as nothing that is known.
        mixture: Its pH, flash point and viscosity, as far as they are known.
        on: The make-day: rules and entries are those in force on it.
        entries: The catalogue of harmonised entries (`harmonised_entries()`).

    Source:
        Regulation (EC) No 1272/2008, Annexes I, II and VI; each module names its tables.
    """
    held = held_on(ingredients, mixture, on, entries)
    findings = _findings(held, mixture, on)
    euh = supplemental(held, findings.found)
    undecided = (*findings.undecided, *_without_an_entry(held, on))
    return _classified(held, findings.found, euh, undecided)


def _findings(held: Sequence[Held], mixture: Mixture, on: date) -> Findings:
    """Return what every rule found, in the order of Annex I."""
    alone = Findings((
        *sensitisers(held, mixture.physical_form),
        *by_one_limit(held, on),
        *organs(held),
        *irritating_or_narcotic(held),
    ))  # fmt: skip
    return joined([
        physical(held, mixture),
        acute(held),
        skin_and_eye(held, mixture),
        alone,
        aspiration(held, mixture),
        aquatic(held),
    ])  # fmt: skip


def _classified(
    held: Sequence[Held],
    found: Sequence[Finding],
    euh: Sequence[Finding],
    undecided: Iterable[Undecided],
) -> Classified:
    classes = tuple(sorted({one.hazard_class for one in found}))
    codes = [code for one in (*found, *euh) for code in one.h_codes]
    reasons = {Because(one.hazard_class, one.rule): None for one in (*found, *euh)}
    return Classified(
        classes=classes,
        h_codes=shown_statements(code for code in codes if not code.startswith("EUH")),
        signal_word=signal_word(classes),
        pictograms=pictograms(classes),
        euh=tuple(sorted({code for code in codes if code.startswith("EUH")})),
        undecided=tuple(sorted(set(undecided))),
        because=tuple(sorted(reasons, key=lambda one: one.hazard_class)),
        sensitisers=sensitising_items(held),
        unknown_acute_percent=_unknown_in_words(held),
        not_calculated=tuple(sorted(_not_calculated(held))),
    )


def _without_an_entry(held: Iterable[Held], on: date) -> list[Undecided]:
    why = (
        f"Nothing holds for it on {on.isoformat()}: no entry of Annex VI that is shipped and no "
        "row of hazard_limits. It is counted as not classified, and of unknown acute toxicity."
    )
    return [
        Undecided("no entry in force", one.item, why)
        for one in held
        if not one.rows and not one.is_water
    ]


def _unknown_in_words(held: Iterable[Held]) -> str:
    unknown = unknown_percent(held)
    if not unknown:
        return ""
    return (
        f"{percent_text(unknown)} of the mixture consists of ingredients of unknown acute toxicity."
    )


def _not_calculated(held: Iterable[Held]) -> list[tuple[str, str]]:
    return [
        (row.hazard_class, one.item)
        for one in held
        for row in one.rows
        if row.hazard_class.startswith(NOT_CALCULATED) or _is_without_limit(row)
    ]


def _is_without_limit(row: HazardRow) -> bool:
    """Return whether it is a statement for which the act gives no concentration in mixtures.

    Those of the classes of Delegated Regulation (EU) 2023/707 have classes of their own name.
    """
    return row.hazard_class.startswith(SUPPLEMENTAL) and not row.band.is_set
