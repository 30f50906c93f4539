"""A hydrate goes by the entry of its anhydrous form, by the mass of the anhydrous part.

Source:
    Regulation (EC) No 1272/2008, Annex VI, 1.1.1.3: the CAS number of an entry is that of the
    anhydrous form, which stands for the hydrates as well; an entry that names a hydrate is its own.
"""

import re
from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from typing import Final

from prepstore.chemistry.formulae import FormulaError, molar_mass
from prepstore.safety.data_files import rows_of

_WATER_OF_CRYSTALLISATION: Final = re.compile(r"[·.•⋅∙*]\s*(?:\d+(?:\.\d+)?)?\s*H[2₂]O$")


@cache
def _goes_by() -> Mapping[str, str]:
    return {row["cas"]: row["goes_by"] for row in rows_of("hydrates.csv")}


def entry_cas(cas: str) -> str:
    """Return the CAS number by whose entry a substance goes: a hydrate's is the anhydrous form's.

    >>> entry_cas("6153-56-6"), entry_cas("7758-99-8")
    ('144-62-7', '7758-99-8')
    """
    return _goes_by().get(cas, cas)


def has_an_entry_of_its_own(cas: str) -> bool:
    """Return whether Annex VI has an entry that names this very hydrate."""
    return _goes_by().get(cas) == cas


def anhydrous_formula(formula: str) -> str:
    """Return a formula without its water of crystallisation.

    >>> anhydrous_formula("C2H2O4·2H2O")
    'C2H2O4'
    """
    return _WATER_OF_CRYSTALLISATION.sub("", formula.strip())


def anhydrous_share(formula: str) -> Fraction:
    """Return which share of the mass of a hydrate is its anhydrous part, 0 to 1.

    1 for what has no water of crystallisation, and where the formula is blank or cannot be read.

    >>> round(float(anhydrous_share("C2H2O4·2H2O")), 4)
    0.7142
    """
    dry = anhydrous_formula(formula)
    try:
        return Fraction(molar_mass(dry)) / Fraction(molar_mass(formula)) if dry else Fraction(1)
    except FormulaError:
        return Fraction(1)
