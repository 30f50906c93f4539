"""Classes that hazard statements stand for, where somebody entered the statements alone."""

from collections.abc import Iterable, Mapping
from functools import cache
from typing import Final

from prepstore.safety.classes.entries import harmonised_entries
from prepstore.safety.classes.label import label_elements

_IN_NO_ENTRY: Final = {
    "H222": "Aerosol 1",
    "H223": "Aerosol 2",
    "H229": "Aerosol 3",
    "H240": "Org. Perox. A",
    "H252": "Self-heat. 2",
    "H280": "Press. Gas",
    "H281": "Press. Gas",
    "H360": "Repr. 1B",
    "H361": "Repr. 2",
    "H362": "Lact.",
}
"""Statements that no entry of Annex VI has as they are. Source: Regulation (EC) No 1272/2008,
Annex I, the tables of label elements."""


def classes_of_statements(h_codes: Iterable[str]) -> tuple[str, ...]:
    """Return a class for each hazard statement, sorted; none for one that is not known.

    Where a statement stands for several classes, it is the one with the stricter signal word.

    >>> classes_of_statements(["H225", "H360FD", "H301+H311"])
    ('Acute Tox. 3', 'Flam. Liq. 2', 'Repr. 1B')
    """
    single = {code for joined in h_codes for code in joined.split("+")}
    found = (_classes().get(code) or _IN_NO_ENTRY.get(code[:4]) for code in single)
    return tuple(sorted({one for one in found if one}))


@cache
def _classes() -> Mapping[str, str]:
    """Return a class by statement, of all that the entries of Annex VI have."""
    several: dict[str, set[str]] = {}
    for versions in harmonised_entries().by_cas.values():
        for row in (row for entry in versions for row in entry.rows if row.h_code):
            several.setdefault(row.h_code, set()).add(row.hazard_class)
    return {code: min(classes, key=_by_strictness) for code, classes in several.items()}


def _by_strictness(hazard_class: str) -> tuple[bool, str]:
    elements = label_elements().get(hazard_class)
    return elements is None or elements.signal_word != "Danger", hazard_class
