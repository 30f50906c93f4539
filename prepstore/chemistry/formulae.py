"""Formulas as chemists write them, to molar masses."""

import re
import unicodedata
from collections.abc import Iterator, Mapping
from decimal import Decimal
from functools import cache

from prepstore.chemistry.atomic_weights import ATOMIC_WEIGHT

_SIGN = re.compile(r"([A-Z][a-z]?|[(\[{](?!\d)|[)\]}])([1-9]\d*)?")
_ADDUCT = re.compile(r"[·.•⋅∙*]")
_COEFFICIENT = re.compile(r"(?!0+(?:\.0+)?[A-Z])\d+(?:\.\d+)?|")
_CLOSES = {"(": ")", "[": "]", "{": "}"}


class FormulaError(ValueError):
    """A formula cannot be read; the message says why."""


@cache
def elements(formula: str) -> Mapping[str, Decimal]:
    """Return the count of each element in one formula unit.

    Args:
        formula: Such as `CuSO4·5H2O`; a dot may be `·`, `.` or `*`, subscripts may be small.

    Raises:
        FormulaError: It cannot be read, or names an unknown element.

    >>> {symbol: int(count) for symbol, count in elements("(NH4)2Fe(SO4)2·6H2O").items()}
    {'N': 2, 'H': 20, 'Fe': 1, 'S': 2, 'O': 14}
    """
    plain_text = unicodedata.normalize("NFKC", formula).replace(" ", "")
    counts: dict[str, Decimal] = {}
    for coefficient, part in _adducts(plain_text):
        for symbol, count in _part(part).items():
            counts[symbol] = counts.get(symbol, Decimal(0)) + coefficient * count
    return counts


@cache
def molar_mass(formula: str) -> Decimal:
    """Return the molar mass of a formula in g/mol.

    Raises:
        FormulaError: The formula cannot be read.

    Source:
        Sum of IUPAC abridged standard atomic weights (`atomic_weights`). Checked against
        published values in tests/published/.

    >>> molar_mass("NaCl")
    Decimal('58.440')
    """
    return sum(
        (ATOMIC_WEIGHT[symbol] * count for symbol, count in elements(formula).items()), Decimal(0)
    )


def _adducts(formula: str) -> Iterator[tuple[Decimal, str]]:
    """Yield the coefficient and text of each part that a dot divides."""
    rest = formula
    while True:
        found = _COEFFICIENT.match(rest)
        coefficient = found.group() if found else ""
        rest = rest[len(coefficient) :]
        dot = _ADDUCT.search(rest)
        part = rest[: dot.start()] if dot else rest
        if not part:
            raise FormulaError("a part of it is empty")
        yield Decimal(coefficient or 1), part
        if dot is None:
            return
        rest = rest[dot.end() :]


def _part(text: str) -> dict[str, Decimal]:
    """Count the elements of a part without dots, brackets opened out."""
    groups: list[tuple[str, dict[str, Decimal]]] = [("", {})]
    for sign, count in _signs(text):
        if sign in _CLOSES:
            groups.append((sign, {}))
        elif sign in _CLOSES.values():
            opened, inside = groups.pop()
            if _CLOSES.get(opened) != sign or not inside:
                raise FormulaError("its brackets do not match")
            _add(inside, count, groups[-1][1])
        elif sign in ATOMIC_WEIGHT:
            _add({sign: Decimal(1)}, count, groups[-1][1])
        else:
            raise FormulaError(f"{sign} is not an element with a standard atomic weight")
    if len(groups) != 1:
        raise FormulaError("a bracket is not closed")
    return groups[0][1]


def _add(counts: Mapping[str, Decimal], times: Decimal, total: dict[str, Decimal]) -> None:
    for symbol, count in counts.items():
        total[symbol] = total.get(symbol, Decimal(0)) + count * times


def _signs(text: str) -> Iterator[tuple[str, Decimal]]:
    """Yield each element symbol or bracket with the number behind it (1 where none is)."""
    end = 0
    for found in _SIGN.finditer(text):
        if found.start() != end:
            break
        end = found.end()
        yield found[1], Decimal(found[2] or 1)
    if end != len(text):
        raise FormulaError(f"'{text[end:]}' in it is not understood")
