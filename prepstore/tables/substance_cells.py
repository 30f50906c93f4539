"""Cells that say what a substance is: CAS numbers, formulae, H codes, waste codes."""

import re
from decimal import Decimal

from prepstore import cell_types
from prepstore.chemistry.formulae import FormulaError, elements
from prepstore.problems import nearest
from prepstore.safety.hazard_statements import hazard_statements, is_known
from prepstore.tables.unreadable import UnreadableError

_CAS = re.compile(r"([0-9]{2,7})-([0-9]{2})-([0-9])")
_HAZARD = re.compile(r"(?:EUH|H)[0-9]{3}[A-Za-z]{0,2}(?:\+H[0-9]{3}[A-Za-z]{0,2})*")
_WASTE_CODE = re.compile(r"(?:0[1-9]|1[0-9]|20) [0-9]{2} [0-9]{2}\*?")
_SPECIES = re.compile(r"(?:([1-9][0-9]*)\s+)?(\S.*)")


def cas(text: str) -> str:
    """Return a CAS Registry Number whose check digit is right.

    Raises:
        UnreadableError: It is none.
    """
    found = _CAS.fullmatch(text)
    if found is None:
        raise UnreadableError(
            "cas-unreadable", "is not a CAS Registry Number.", "Write it like 7647-14-5."
        )
    digits = (found[1] + found[2])[::-1]
    check = sum(position * int(digit) for position, digit in enumerate(digits, start=1)) % 10
    if check != int(found[3]):
        raise UnreadableError(
            "cas-check-digit",
            f"has a wrong check digit: for these digits it would be {check}.",
            "Copy the CAS number from the label again.",
        )
    return text


def formula(text: str) -> str:
    """Return a formula that can be read.

    Raises:
        UnreadableError: It is none.
    """
    try:
        elements(text)
    except FormulaError as error:
        raise UnreadableError(
            "formula-unreadable",
            f"is not a formula that can be read: {error}.",
            "Write it like NaCl or CuSO4·5H2O.",
        ) from error
    return text


def species(text: str) -> cell_types.Species:
    """Return how many of what a concentration counts, as `2 Cl`.

    Raises:
        UnreadableError: It is none.
    """
    found = _SPECIES.fullmatch(text)
    count, of = (found[1], found[2]) if found else ("1", text)
    return cell_types.Species(Decimal(count or 1), formula(of))


def hazard_codes(text: str) -> tuple[str, ...]:
    """Return H and EUH codes, all of which exist.

    Raises:
        UnreadableError: It is none.
    """
    codes = tuple(re.split(r"[\s;,]+", text.strip(" ;,")))
    for code in codes:
        if not _HAZARD.fullmatch(code):
            raise UnreadableError(
                "hazard-code-unreadable",
                f"has '{code}', which is not an H code.",
                "Write codes like H225 H319, with spaces between.",
            )
        if not is_known(code):
            raise UnreadableError(
                "hazard-code-unknown",
                f"has '{code}', and there is no such H code.",
                nearest(code, hazard_statements()) or "Copy it from the label again.",
            )
    return codes


def waste_code(text: str) -> str:
    """Return a code of the European List of Waste.

    Raises:
        UnreadableError: It is none.
    """
    if not _WASTE_CODE.fullmatch(text):
        raise UnreadableError(
            "waste-code-unreadable",
            "is not a code of the European List of Waste.",
            "Write six digits in pairs, with * where hazardous, like 14 06 02*.",
        )
    return text
