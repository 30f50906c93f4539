"""Text to amounts and concentrations; the only module that imports pint.

Our grammar reads the numbers, and pint sees only the unit words on our card: left to itself it
reads `1,5 mL` as 15 mL, `pcs` as parsecs, `ML` as megalitres and `N` as newtons.
"""

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import Final

from prepstore.amounts import (
    LARGEST_AMOUNT,
    Basis,
    Concentration,
    Kind,
    Portion,
    WrittenAmount,
    plain,
)
from prepstore.tables.unreadable import UnreadableError
from prepstore.tables.without import without

# It is half of the time that pint takes to start; no unit word needs an array.
with without("numpy"):
    import pint

_DEFINITIONS = """
kilo- = 1e3 = k-
deci- = 1e-1 = d-
centi- = 1e-2 = c-
milli- = 1e-3 = m-
micro- = 1e-6 = µ-
nano- = 1e-9 = n-
gram = [mass] = g
litre = [volume] = L
mole = [substance] = mol
each = [count]
"""
_registry: Final[pint.UnitRegistry[Decimal]] = pint.UnitRegistry(None, non_int_type=Decimal)
_registry.load_definitions(_DEFINITIONS.split("\n"))

_PREFIXED = {
    "g": ("kg", "g", "mg", "µg", "ng"),
    "L": ("L", "dL", "cL", "mL", "µL", "nL"),
    "mol": ("kmol", "mol", "mmol", "µmol", "nmol"),
}


def _spellings(unit: str) -> tuple[str, ...]:
    """Return the ways a unit is written: µ, μ and u are one prefix, l and L one unit."""
    micro = [unit.replace("µ", sign) for sign in "µμu"] if "µ" in unit else [unit]
    return tuple(micro + [word.replace("L", "l") for word in micro if word.endswith("L")])


CARD: Final[Mapping[str, str]] = {
    **{word: unit for units in _PREFIXED.values() for unit in units for word in _spellings(unit)},
    "each": "each",
    "cm3": "mL",
    "cm³": "mL",
    "dm3": "L",
    "dm³": "L",
}
"""Every unit word that is read, and the unit that pint knows it by."""

_HELD_IN: Final = {Kind.MASS: "g", Kind.VOLUME: "mL", Kind.SUBSTANCE: "mol", Kind.COUNT: "each"}

_NUMBER = r"(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)"
_TERM = re.compile(
    rf"(?:(?P<count>[0-9]+)\s*[x×*]\s*)?(?P<number>{_NUMBER})\s*(?P<word>[^\W\d_].*)?"
)
_TERM_AND_TIMES = re.compile(r"(?P<term>.*?)(?:\s+x|\s*[×*])\s*(?P<count>[0-9]+)")
_LEADING = re.compile(rf"{_NUMBER}\s*(?P<word>[^\W\d_]+[3³]?)(?!\w)")
_CONCENTRATION = re.compile(rf"(?P<number>{_NUMBER})\s*(?P<word>[^\W\d_].*|%.*)")
_COMMA = re.compile(r"[0-9],[0-9]")
_SPACED = re.compile(r"[0-9]\s+[0-9]")
_LARGEST = Decimal("1e12")
_LEAST = Decimal("1e-12")

AMOUNT_EXAMPLE = "Write it like 25 mL, 1.5 g, 20 mmol, 6 each or 3 x 15 mL."
CONCENTRATION_EXAMPLE = (
    "Write it like 0.1 mol/L, 5 % w/v, 37 % w/w, 70 % v/v, 20 g/L, 125 mL/L, 20 ppm, 20 vol, "
    "4 parts or to volume."
)

_MOLAR = {"M": "mol/L", "mM": "mmol/L", "µM": "µmol/L", "μM": "µmol/L", "uM": "µmol/L"}
_PERCENT: Final[Mapping[str, Basis]] = {
    "% w/w": Basis.MASS_FRACTION,
    "% v/v": Basis.VOLUME_FRACTION,
    "% w/v": Basis.MASS_PER_VOLUME,
}
_VOLUME_STRENGTH = Decimal("11.2")
"""1 vol of hydrogen peroxide = 1/11.2 mol/L (ideal gas, 22.4 L/mol, two moles a mole of O2)."""


@cache
def unit_word(word: str) -> tuple[Decimal, Kind] | None:
    """Return how many of the held unit a unit word is, and its kind; None if not on the card.

    >>> unit_word("kg")
    (Decimal('1000'), <Kind.MASS: 'g'>)
    """
    if word not in CARD:
        return None
    one = _registry.Quantity(Decimal(1), CARD[word])
    kind = next(kind for kind, unit in _HELD_IN.items() if one.is_compatible_with(unit))
    return Decimal(one.to(_HELD_IN[kind]).magnitude).normalize() + 0, kind


@cache
def read_amount(text: str) -> WrittenAmount:
    """Return a written amount: a number and a unit, portions `3 x 15 mL`, sums with `+`.

    Raises:
        UnreadableError: It is not one; a unit word that is not on the card is kept, since it may
            be one of the item's own measures.
    """
    return WrittenAmount(text, tuple(_portion(term.strip(), text) for term in text.split("+")))


def leading_amount(text: str) -> WrittenAmount | None:
    """Return the amount that a text begins with, as of a bottle; None where it does not.

    >>> str(leading_amount("100 mL dropper bottle")), leading_amount("dropper bottle")
    ('100 mL', None)
    """
    found = _LEADING.match(text)
    if found is None or unit_word(found["word"]) is None:
        return None
    return read_amount(found[0])


def _portion(term: str, whole: str) -> Portion:
    turned = _TERM_AND_TIMES.fullmatch(term)
    if turned is not None:
        # 15 mL x 3 is 3 x 15 mL.
        term = f"{turned['count']} x {turned['term']}"
    found = _TERM.fullmatch(term)
    if found is None:
        raise _not_an_amount(whole)
    if not found["word"]:
        raise UnreadableError("amount-unreadable", "has no unit.", AMOUNT_EXAMPLE)
    number = _number(found["number"]) * _number(found["count"] or "1")
    word = found["word"].strip()
    unit = unit_word(word)
    if unit is None:
        return Portion(number, None, word)
    in_one, kind = unit
    return Portion(_within_reason(number * in_one, LARGEST_AMOUNT), kind, word)


def _number(text: str) -> Decimal:
    return _within_reason(Decimal(text))


def _within_reason(number: Decimal, limit: Decimal = _LARGEST) -> Decimal:
    if number >= limit:
        raise UnreadableError(
            "number-too-large", "is more than any store holds.", "Check the number and its unit."
        )
    return number


def _not_an_amount(text: str) -> UnreadableError:
    if text.strip().startswith(("-", "−")):
        return UnreadableError("amount-negative", "is negative.", "Give an amount of 0 or more.")
    if _COMMA.search(text):
        return UnreadableError(
            "amount-unreadable",
            "is not a number and a unit: it has a comma.",
            "Write it with a decimal point, like 1.5 mL, and without a thousands mark, like "
            "1500 mL.",
        )
    if _SPACED.search(text):
        return UnreadableError(
            "amount-unreadable",
            "is not a number and a unit: its number has a space.",
            f"Write it like {re.sub(r'(?<=[0-9])[^0-9A-Za-z.]+(?=[0-9])', '', text)}.",
        )
    return UnreadableError("amount-unreadable", "is not a number and a unit.", AMOUNT_EXAMPLE)


@cache
def read_concentration(text: str) -> Concentration:
    """Return a concentration, its number in the unit that its basis names.

    Raises:
        UnreadableError: It is not one, or is nothing.
    """
    if " ".join(text.lower().split()) == "to volume":
        return Concentration(Decimal(0), Basis.TO_VOLUME, text)
    found = _CONCENTRATION.fullmatch(text.strip())
    if found is None:
        raise _not_a_concentration(text)
    number, basis = _on_basis(_number(found["number"]), found["word"].strip())
    _within_reason(number, LARGEST_AMOUNT)
    if number < _LEAST:
        raise UnreadableError(
            "concentration-zero", "is too small.", "Give a concentration above 0, or leave it out."
        )
    return Concentration(number, basis, text)


def _on_basis(number: Decimal, word: str) -> tuple[Decimal, Basis]:
    percent = re.sub(r"^%\s*", "% ", word).lower().replace(" / ", "/")
    if percent.strip() == "%":
        raise UnreadableError(
            "concentration-unreadable",
            "does not say per cent of what.",
            f"Did you mean {_percents(number)}?",
        )
    if percent in _PERCENT:
        return _on_percent(number, _PERCENT[percent])
    match word:
        case "ppm":
            return number / 1000, Basis.MASS_PER_VOLUME
        case "vol":
            return number / _VOLUME_STRENGTH, Basis.MOLAR
        case "part" | "parts":
            return number, Basis.PARTS
    return _on_ratio(number, _MOLAR.get(word, word))


def _percents(number: Decimal) -> str:
    """Return a number with each of the three ways to mean per cent."""
    by_mass, by_volume, mass_in_volume = (f"{plain(number)} {word}" for word in _PERCENT)
    return f"{by_mass}, {mass_in_volume} or {by_volume}"


def _on_percent(number: Decimal, basis: Basis) -> tuple[Decimal, Basis]:
    if basis is Basis.MASS_PER_VOLUME:
        return number * 10, basis
    if number > 100:  # noqa: PLR2004 - per cent
        raise UnreadableError(
            "percent-over-100", "is more than 100 %.", "Give a share of at most 100 %."
        )
    return number / 100, basis


_RATIOS: Final[Mapping[Kind, tuple[Decimal, Basis]]] = {
    Kind.SUBSTANCE: (Decimal(1000), Basis.MOLAR),
    Kind.MASS: (Decimal(1000), Basis.MASS_PER_VOLUME),
    Kind.VOLUME: (Decimal(1000), Basis.AS_SUPPLIED),
}


def _on_ratio(number: Decimal, word: str) -> tuple[Decimal, Basis]:
    """Read `mol/L`, `g/L`, `mg/mL`, `mL/L`: what is held over the held unit of volume, mL."""
    above, slash, below = word.partition("/")
    top, bottom = unit_word(above.strip()), unit_word(below.strip())
    if not slash or top is None or bottom is None or bottom[1] is not Kind.VOLUME:
        raise _not_a_concentration(word)
    if top[1] not in _RATIOS:
        raise _not_a_concentration(word)
    per_litre, basis = _RATIOS[top[1]]
    return number * top[0] / bottom[0] * per_litre, basis


def _not_a_concentration(text: str) -> UnreadableError:
    if _COMMA.search(text) or _SPACED.search(text) or text.strip().startswith(("-", "−")):
        wrong = _not_an_amount(text)
        return UnreadableError(
            "concentration-unreadable", wrong.what.replace("unit", "concentration"), wrong.remedy
        )
    return UnreadableError(
        "concentration-unreadable", "is not a concentration that is known.", CONCENTRATION_EXAMPLE
    )
