"""Hazard statements in words.

From memory. The wording follows Regulation (EC) No 1272/2008 (CLP), Annex III, and, for the codes
that CLP has not taken over, the United Nations' GHS (Rev. 9); places where a supplier names an
organ, a route or a substance are left general. Most EUH wordings were compared with a public
transcription (github.com/cheminfo/ghs-hazard, data/euh.mjs, and public copies of EUH380 to
EUH451); the H wordings were not confirmed against the Regulation. These words are a reminder on
paper: the supplier's safety data sheet holds.
"""

import re
from collections.abc import Mapping
from functools import cache
from typing import Final

from prepstore.safety.data_files import rows_of

SEE_SAFETY_DATA_SHEET: Final = "see the safety data sheet"


@cache
def hazard_statements() -> Mapping[str, str]:
    """Return each code, as `H225` or `H301+H311` in rising order, with its statement.

    A statement has no full stop at its end.
    """
    return {row["code"]: row["statement"] for row in rows_of("hazard_statements.csv")}


def is_known(code: str) -> bool:
    """Return whether a code, or each of several joined by `+`, is a hazard statement's.

    >>> is_known("H225"), is_known("H301+H311"), is_known("H301+H999")
    (True, True, False)
    """
    return all(_tidy(part) in hazard_statements() for part in code.split("+"))


_PREFIX = re.compile(r"\A(?:EU)?H(?=\d)", re.IGNORECASE)


def in_words(code: str) -> str:
    """Return the statement of a code, or of several joined by `+`.

    Codes together give their one common statement where there is one, else theirs in turn, with
    `;` between and each once. The letters after the digits keep their case, for it matters:
    `H360FD` and `H360Fd` say different things.

    Returns:
        The statement without a full stop. A code that is not known, alone or among others, reads
        "see the safety data sheet".

    >>> in_words("H225")
    'Highly flammable liquid and vapour'
    >>> in_words("H301 + H311")
    'Toxic if swallowed or in contact with skin'
    >>> in_words("H315+H319")
    'Causes skin irritation; Causes serious eye irritation'
    """
    codes = [_tidy(part) for part in code.split("+")]
    together = hazard_statements().get("+".join(sorted(codes)))
    if together is not None:
        return together
    each = dict.fromkeys(hazard_statements().get(one, SEE_SAFETY_DATA_SHEET) for one in codes)
    return "; ".join(each)


def _tidy(code: str) -> str:
    """Return a code without blanks, its `H` or `EUH` in capitals."""
    return _PREFIX.sub(lambda prefix: prefix[0].upper(), "".join(code.split()))
