"""Exact numbers that know what they measure: amounts and concentrations.

Numbers are ``Decimal``. A binary float orders a wrong number of packs about twice in a
hundred scalings, so floats stop at the door.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal
from enum import StrEnum

RESOLUTION = Decimal("1e-9")
"""Before a ceiling or a test for short, a figure is settled to this much of its unit."""

LARGEST_AMOUNT = Decimal("1e9")
"""No amount, in the unit it is held in, may reach this; figures then stay exact all the way."""

ZERO = Decimal(0)

_SETTLES_TO_ZERO = RESOLUTION / 2

_WIDE = Context(prec=60)
"""Room for every digit down to the resolution, however large the figure."""


class Kind(StrEnum):
    """What an amount measures, named by the unit it is held in."""

    MASS = "g"
    VOLUME = "mL"
    COUNT = "each"
    SUBSTANCE = "mol"


THOUSAND = Decimal(1000)
LARGER = {Kind.MASS: "kg", Kind.VOLUME: "L"}
"""What people call a thousand of a unit."""

_THOUSANDTH = Decimal("0.001")


def settle(number: Decimal) -> Decimal:
    """Return a number rounded to `RESOLUTION`, so that twelve twelfths are one.

    >>> settle(Decimal(1) / Decimal(12) * 12)
    Decimal('1.000000000')
    """
    return number.quantize(RESOLUTION, context=_WIDE)


def in_billionths(number: Decimal) -> int:
    """Return a settled figure as whole billionths of its unit, which add up exactly anywhere.

    >>> sum(in_billionths(Decimal("0.1")) for _ in range(10)) == in_billionths(Decimal(1))
    True
    """
    return int(settle(number).scaleb(9, context=_WIDE))


def of_billionths(billionths: int) -> Decimal:
    """Return the figure of so many billionths of a unit.

    >>> of_billionths(1_500_000_000)
    Decimal('1.500000000')
    """
    return Decimal(billionths).scaleb(-9, context=_WIDE)


def is_more_than_nothing(number: Decimal) -> bool:
    """Return whether a figure is above zero once settled."""
    # The same as settle(number) > 0, four times as fast.
    return number > _SETTLES_TO_ZERO


def round_up(number: Decimal) -> int:
    """Return the next whole number at or above a settled figure.

    >>> round_up(Decimal("13.2")), round_up(Decimal("13.0000000000001"))
    (14, 13)
    """
    return int(settle(number).to_integral_value(ROUND_CEILING))


def times_into(number: Decimal, size: Decimal) -> int:
    """Return how many times a size (same unit, above zero) is needed to hold a settled figure.

    >>> times_into(Decimal("700"), Decimal("100")), times_into(Decimal("700.1"), Decimal("100"))
    (7, 8)
    """
    whole, rest = divmod(settle(number), size)
    return int(whole) + (rest > 0)


def times_reached(number: Decimal, size: Decimal) -> int:
    """Return how many whole sizes (same unit, above zero) a settled figure has reached."""
    return int(settle(number) // size)


@dataclass(frozen=True, slots=True)
class Amount:
    """A worked-out amount: `number` in the unit that `kind` names, unrounded."""

    number: Decimal
    kind: Kind

    def __str__(self) -> str:
        """Return the number, plainly, and its unit.

        >>> str(Amount(Decimal("1.5E+3"), Kind.VOLUME))
        '1500 mL'
        """
        return f"{plain(self.number)} {self.kind}"


def plain(number: Decimal) -> str:
    """Return a number's digits without exponent and without trailing zeros.

    >>> plain(Decimal("1.50")), plain(Decimal("2E+3")), plain(Decimal("-0.0"))
    ('1.5', '2000', '0')
    """
    text = f"{number:f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def fine_amount_in_words(number: Decimal, kind: Kind) -> str:
    """Return an amount to the milligram or microlitre, as a lot's history needs it.

    >>> fine_amount_in_words(Decimal("1150.5"), Kind.VOLUME)
    '1.1505 L'
    >>> fine_amount_in_words(Decimal("120.791758817"), Kind.VOLUME)
    '120.792 mL'
    """
    rounded = number.quantize(_THOUSANDTH, rounding=ROUND_HALF_UP)
    if abs(rounded) >= THOUSAND and kind in LARGER:
        return f"{plain(rounded / THOUSAND)} {LARGER[kind]}"
    return plain(rounded) if kind is Kind.COUNT else f"{plain(rounded)} {kind}"


@dataclass(frozen=True, slots=True)
class Portion:
    """One term of a written amount, its count multiplied in.

    `kind` is None where the unit word is not one of science but, perhaps, one of the item's
    own measures (a scoop, a drop); `word` then holds it.
    """

    number: Decimal
    kind: Kind | None
    word: str


@dataclass(frozen=True, slots=True)
class WrittenAmount:
    """An amount as a person wrote it: `3 x 15 mL + 2 scoop`.

    What it comes to in an item's unit depends on the item: see `chemistry.conversions`.
    """

    text: str
    portions: tuple[Portion, ...]

    def __str__(self) -> str:
        """Return the amount as it was written."""
        return self.text


def written_exactly(number: Decimal, kind: Kind) -> WrittenAmount:
    """Return a worked-out amount as it would be written, with all its digits.

    >>> str(written_exactly(Decimal("1150.0"), Kind.VOLUME))
    '1150 mL'
    """
    return WrittenAmount(str(Amount(number, kind)), (Portion(number, kind, str(kind)),))


class Basis(StrEnum):
    """What a concentration is a share of; numbers are held in the unit named here."""

    MOLAR = "mol/L"
    MASS_PER_VOLUME = "g/L"
    MASS_FRACTION = "w/w"
    VOLUME_FRACTION = "v/v"
    AS_SUPPLIED = "mL/L"
    PARTS = "parts"
    TO_VOLUME = "to volume"


STRENGTH_BASES = frozenset(
    {Basis.MOLAR, Basis.MASS_PER_VOLUME, Basis.MASS_FRACTION, Basis.VOLUME_FRACTION}
)
"""The bases that say how strong a material is, as against how it is mixed."""


@dataclass(frozen=True, slots=True)
class Concentration:
    """A concentration: `number` on its `basis`, fractions from 0 to 1, and the text written."""

    number: Decimal
    basis: Basis
    text: str

    def __str__(self) -> str:
        """Return the concentration as it was written."""
        return self.text


PURE = Concentration(Decimal(1), Basis.MASS_FRACTION, "100 % w/w")
"""What is kept in g and says nothing else is taken as pure."""
