"""What a cell may hold: a type a kind of cell, which says how it is read."""

import datetime
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from functools import cache
from typing import NewType

from prepstore.amounts import Concentration, Kind, WrittenAmount

FIRST_YEAR, LAST_YEAR = 1900, 2999
"""Dates outside these years are mistakes."""

Name = NewType("Name", str)
Names = NewType("Names", tuple[str, ...])
PositiveAmount = NewType("PositiveAmount", WrittenAmount)
PositiveVolume = NewType("PositiveVolume", Decimal)
PositiveMass = NewType("PositiveMass", Decimal)
Flasks = NewType("Flasks", tuple[Decimal, ...])
PositiveNumber = NewType("PositiveNumber", Decimal)
Money = NewType("Money", Decimal)
Percent = NewType("Percent", Decimal)
PositivePercent = NewType("PositivePercent", Decimal)
Count = NewType("Count", int)
PositiveCount = NewType("PositiveCount", int)
SeveralPacks = NewType("SeveralPacks", int)
Days = NewType("Days", int)
PositiveDays = NewType("PositiveDays", int)
Hours = NewType("Hours", Decimal)
Minutes = NewType("Minutes", Decimal)
PositiveMinutes = NewType("PositiveMinutes", Decimal)
CasNumber = NewType("CasNumber", str)
Formula = NewType("Formula", str)
WasteCode = NewType("WasteCode", str)
HazardCodes = NewType("HazardCodes", tuple[str, ...])
Measures = NewType("Measures", Mapping[str, WrittenAmount])
Flag = NewType("Flag", bool)
MassInVolume = NewType("MassInVolume", Concentration)
ReactiveGroups = NewType("ReactiveGroups", tuple[int, ...])
MassPercent = NewType("MassPercent", Decimal)
HazardClass = NewType("HazardClass", str)
HazardCode = NewType("HazardCode", str)
Acidity = NewType("Acidity", Decimal)
Celsius = NewType("Celsius", Decimal)


@cache
def fold(name: str) -> str:
    r"""Return the form in which names are compared: trimmed, Unicode NFC, without case.

    >>> fold("  Cafe\u0301 ") == fold("CAF\u00c9")
    True
    """
    return unicodedata.normalize("NFC", unicodedata.normalize("NFC", name.strip()).casefold())


def has_control_character(text: str) -> bool:
    r"""Return whether a text has a sign that no workbook can keep; ends of lines are none.

    >>> has_control_character("25 m\x1b[2J"), has_control_character("two\nlines")
    (True, False)
    """
    return not text.isprintable() and any(_cannot_be_kept(sign) for sign in text)


def _cannot_be_kept(sign: str) -> bool:
    is_control = unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\t"
    return is_control or sign in "\ufffe\uffff"


class ItemKind(StrEnum):
    """What an item is; its spare goes by this."""

    REAGENT = "reagent"
    SOLVENT = "solvent"
    CONSUMABLE = "consumable"
    APPARATUS = "apparatus"


class StockUnit(StrEnum):
    """What stock of an item is kept in."""

    GRAM = "g"
    MILLILITRE = "mL"
    EACH = "each"

    @property
    def kind(self) -> Kind:
        """Return the kind of amount that this unit measures."""
        return _KINDS[self]


_KINDS = {unit: Kind(unit.value) for unit in StockUnit}


class Supply(StrEnum):
    """How an item comes to the stores."""

    BOUGHT = "bought"
    MADE_ON_SITE = "made on site"


class Per(StrEnum):
    """What a script's amount is for."""

    STUDENT = "student"
    GROUP = "group"
    SESSION = "session"


class LotState(StrEnum):
    """Whether a lot may be used."""

    USABLE = "usable"
    QUARANTINE = "quarantine"
    RESERVED = "reserved"


class Measure(StrEnum):
    """What a waste stream's containers are filled by."""

    VOLUME = "volume"
    MASS = "mass"

    @property
    def kind(self) -> Kind:
        """Return the kind of amount that this stream adds up."""
        return Kind.VOLUME if self is Measure.VOLUME else Kind.MASS


class InhalationForm(StrEnum):
    """As what something is breathed in."""

    GAS = "gas"
    VAPOUR = "vapour"
    MIST = "mist"


class ProtonRole(StrEnum):
    """How a substance gives or takes up hydrogen ions."""

    STRONG_ACID = "strong acid"
    WEAK_ACID = "weak acid"
    STRONG_BASE = "strong base"
    WEAK_BASE = "weak base"
    HYDROGENCARBONATE = "hydrogencarbonate"
    CARBONATE = "carbonate"


class Ordering(StrEnum):
    """How packs are chosen."""

    BY_ITEM = "by item"
    JOINTLY = "jointly"


KEPT, AIR, DRAIN = "kept", "air", "drain"
KNOWN_ENDS = (KEPT, AIR, DRAIN)
"""Where an amount may end beside the waste streams."""

NOT_ASSIGNED = "not assigned"
"""What an amount is collected as whose end no script states."""


@dataclass(frozen=True, slots=True)
class Share:
    """The fraction (0 to 1) of an amount that ends in one place."""

    end: str
    fraction: Decimal


Shares = NewType("Shares", tuple[Share, ...])


@dataclass(frozen=True, slots=True)
class Container:
    """What something is set out in: its name, and how much goes in where the name begins with it.

    `size` is that of `100 mL dropper bottle`; None for `dropper bottle`.
    """

    name: str
    size: WrittenAmount | None

    def __str__(self) -> str:
        """Return its name."""
        return self.name


@dataclass(frozen=True, slots=True)
class Species:
    """What a concentration is of: `count` of a formula in each formula unit of the item."""

    count: Decimal
    formula: str


@dataclass(frozen=True, slots=True)
class AcidOrBase:
    """How a substance gives or takes up hydrogen ions, and how many each formula unit does.

    A hydrogencarbonate takes up 1, a carbonate 2.
    """

    role: ProtonRole
    protons: int


Weekdays = NewType("Weekdays", frozenset[int])
Dates = NewType("Dates", frozenset[datetime.date])
