"""Precautionary statements in words, and the few that a label carries.

Article 28(3) of Regulation (EC) No 1272/2008 (CLP) lets a label carry at most six of them, unless
the nature and severity of the hazards need more. Which six is a choice; ours is a rule that gives
the same statements each time:

1. Each hazard statement asks for those that Annex IV lists for it, each with a priority of 1 to 3
   (`precautionary_choice.csv`).
2. One that several hazard statements ask for has the best of their priorities.
3. One that another says too (P233 beside P403+P233) is dropped.
4. The best that asks for each kind of hazard (physical, health, environment) comes in first; then
   the best six are taken: by priority, then by the severity of the hazard statement that asks (the
   order of the file), then as the file lists them. They are shown in the order of their codes.

Statements for the general public (P101 to P103) and those whose blanks only a supplier can fill
in are not in the files. The supplier's safety data sheet holds.
"""

import re
from collections.abc import Container, Iterable, Mapping
from functools import cache
from typing import Final

from prepstore.safety.data_files import rows_of
from prepstore.safety.hazard_statements import SEE_SAFETY_DATA_SHEET

MOST_ON_A_LABEL: Final = 6
"""Article 28(3)."""

_KINDS: Final = ("H2", "H3", "H4")
"""How the codes of physical, health and environmental hazards begin."""

_SAID_BY: Final[Mapping[str, tuple[str, ...]]] = {
    "P233": ("P403+P233",),
    "P235": ("P403+P235",),
    "P403": ("P403+P233", "P403+P235", "P410+P403"),
    "P301+P310": ("P310",),
    "P301+P312": ("P301+P310", "P310"),
    "P308+P311": ("P310",),
    "P311": ("P310", "P308+P311"),
    "P312": ("P310", "P311", "P308+P311"),
    "P314": ("P308+P313", "P308+P311", "P310"),
    "P261": ("P260",),
    "P262": ("P280",),
    "P330": ("P301+P330+P331",),
    "P331": ("P301+P330+P331",),
    "P302+P352": ("P303+P361+P353",),
    "P337+P313": ("P310",),
    "P332+P313": ("P333+P313", "P310"),
    "P362+P364": ("P361+P364",),
}
"""What says a statement too, or says more; our choice."""


@cache
def precautionary_statements() -> Mapping[str, str]:
    """Return each code, as `P210` or `P305+P351+P338`, with its statement, without a full stop."""
    return {row["code"]: row["statement"] for row in rows_of("precautionary_statements.csv")}


def precaution_in_words(code: str) -> str:
    """Return the statement of a code; one that is not known sends to the safety data sheet.

    >>> precaution_in_words("P273")
    'Avoid release to the environment'
    """
    return precautionary_statements().get(code, SEE_SAFETY_DATA_SHEET)


@cache
def precautions_asked_for() -> Mapping[str, Mapping[str, int]]:
    """Return, by hazard statement without its letters, what it asks for and its priority.

    The most severe hazard statements come first.
    """
    asked: dict[str, dict[str, int]] = {}
    for row in rows_of("precautionary_choice.csv"):
        asked.setdefault(row["h_code"], {})[row["p_code"]] = int(row["priority"])
    return asked


def precautions_for(h_codes: Iterable[str], most: int = MOST_ON_A_LABEL) -> tuple[str, ...]:
    """Return the codes of the precautionary statements that a label carries, in rising order.

    Args:
        h_codes: The label's hazard statements in any order; joined ones (`H301+H311`) ask for
            what each asks for.
        most: How many at most.

    >>> precautions_for(["H225", "H319", "H336"])
    ('P210', 'P233', 'P261', 'P280', 'P305+P351+P338', 'P403+P235')
    """
    given = set(_plain(h_codes))
    ranked = _ranked(given)
    first_of_kinds = [
        next(iter(_ranked({code for code in given if code.startswith(kind)})), None)
        for kind in _KINDS
    ]
    chosen: list[str] = []
    for code in dict.fromkeys([*(one for one in first_of_kinds if one is not None), *ranked]):
        if len(chosen) < most and not _is_said_by(code, chosen):
            chosen = [one for one in chosen if not _is_said_by(one, [code])]
            chosen.append(code)
    return tuple(sorted(chosen))


def _ranked(h_codes: Container[str]) -> list[str]:
    """Return all that some hazard statements ask for, the best first."""
    best: dict[str, int] = {}
    for h_code, asked in precautions_asked_for().items():
        for code, priority in asked.items() if h_code in h_codes else ():
            best[code] = min(best.get(code, priority), priority)
    # Sorting keeps the order of the file among equal priorities.
    return sorted(best, key=lambda code: best[code])


def _is_said_by(code: str, others: Iterable[str]) -> bool:
    return any(other in _SAID_BY.get(code, ()) for other in others)


def _plain(h_codes: Iterable[str]) -> Iterable[str]:
    """Yield single codes without the letters that name a route or a target: H360FD as H360."""
    for together in h_codes:
        for code in together.split("+"):
            found = re.match(r"H\d{3}", code.strip())
            if found is not None:
                yield found[0]
