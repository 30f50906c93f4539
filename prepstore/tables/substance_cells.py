"""Cells that say what a substance is: CAS numbers, formulae, groups, hazards, waste codes."""

import re
from decimal import Decimal
from typing import Final

from prepstore import cell_types
from prepstore.cell_types import AcidOrBase, ProtonRole
from prepstore.chemistry.formulae import FormulaError, elements
from prepstore.problems import nearest
from prepstore.safety.hazard_classes import hazard_classes
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


def hazard_code(text: str) -> str:
    """Return one H or EUH code, which exists.

    Raises:
        UnreadableError: It is none, or there are several.
    """
    (first, *others) = hazard_codes(text)
    if others or "+" in first:
        what, remedy = "has several codes.", "Write one row for each, like H314."
        raise UnreadableError("hazard-code-unreadable", what, remedy)
    return first


def hazard_class(text: str) -> str:
    """Return a hazard class with its category, or an EUH code, as the Regulation spells it.

    The asterisks that mark some entries of its Annex VI are left out.

    Raises:
        UnreadableError: There is no such class.
    """
    name = " ".join(text.rstrip(" *").split())
    if name.upper().startswith("EUH"):
        return hazard_code(name.upper())
    spelled = {cell_types.fold(known): known for known in hazard_classes()}
    if cell_types.fold(name) not in spelled:
        what = "is not a hazard class and category."
        expected = nearest(name, hazard_classes()) or "Write it like Skin Corr. 1B."
        raise UnreadableError("hazard-class-unknown", what, expected)
    return spelled[cell_types.fold(name)]


_EPA_GROUPS: Final = frozenset({*range(1, 35), *range(101, 108)})
"""Source: EPA-600/2-80-076, A Method for Determining the Compatibility of Hazardous Wastes (1980).
It has groups 1 to 34 by what they are, and 101 to 107 by how they react."""


def reactive_groups(text: str) -> tuple[int, ...]:
    """Return the numbers of groups of the EPA's chart, each once, in the order written.

    Raises:
        UnreadableError: One is no number, or the chart has no such group.
    """
    groups: dict[int, None] = {}
    for part in filter(None, (part.strip() for part in text.split(";"))):
        number = int(part) if re.fullmatch("[0-9]{1,3}", part) else 0
        if number not in _EPA_GROUPS:
            what = f"has '{part}', which is not a group of the EPA's chart."
            remedy = "Its groups are 1 to 34 and 101 to 107; write them like 4; 19."
            raise UnreadableError("group-unknown", what, remedy)
        groups[number] = None
    if not groups:
        raise UnreadableError("group-unknown", "names no group.", "Write them like 4; 19.")
    return tuple(groups)


_PROTONS: Final = {ProtonRole.HYDROGENCARBONATE: 1, ProtonRole.CARBONATE: 2}
"""How many hydrogen ions those take up whose number is not written."""

_ACID_OR_BASE = re.compile(r"(.*[a-z])\s*([0-9]?)", re.IGNORECASE | re.DOTALL)


def acid_or_base(text: str) -> AcidOrBase:
    """Return how a substance gives or takes up hydrogen ions, as `strong acid 2`, `carbonate`.

    Raises:
        UnreadableError: The words are others, or the number is missing or one too many.
    """
    found = _ACID_OR_BASE.fullmatch(text)
    word, count = (" ".join(found[1].casefold().split()), found[2]) if found else (text, "")
    if word not in set(ProtonRole):
        roles = [f"{role}{'' if role in _PROTONS else ' 1'}" for role in ProtonRole]
        what = "does not say how it gives or takes up hydrogen ions."
        raise UnreadableError("acid-or-base-unreadable", what, nearest(text, roles))
    role = ProtonRole(word)
    if role in _PROTONS and not count:
        return AcidOrBase(role, _PROTONS[role])
    if role in _PROTONS or count in ("", "0"):
        remedy = f"Write {role}." if role in _PROTONS else f"Write it like {role} 1."
        what = "has a number, which is known." if role in _PROTONS else "has no number above 0."
        raise UnreadableError("acid-or-base-unreadable", what, remedy)
    return AcidOrBase(role, int(count))


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
