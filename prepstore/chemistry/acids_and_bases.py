"""What an item is as an acid or a base, and how much H+ of it there is.

One word for it: an *equivalent* is 1 mol of H+ that an acid gives off or a base takes up.
"""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from prepstore.amounts import ZERO


class Acidity(StrEnum):
    """What an item is as an acid or a base."""

    STRONG_ACID = "strong acid"
    WEAK_ACID = "weak acid"
    STRONG_BASE = "strong base"
    WEAK_BASE = "weak base"
    HYDROGENCARBONATE = "hydrogencarbonate"
    CARBONATE = "carbonate"


_OF_CARBONATES: Final = {Acidity.HYDROGENCARBONATE: 1, Acidity.CARBONATE: 2}
"""H+ that they take up, in each formula unit."""


@dataclass(frozen=True, slots=True)
class AcidOrBase:
    """What an item is, and how many H+ each formula unit of it gives off or takes up."""

    acidity: Acidity
    equivalents: int

    def __str__(self) -> str:
        """Return it as a cell has it.

        >>> str(AcidOrBase(Acidity.STRONG_ACID, 2)), str(AcidOrBase(Acidity.CARBONATE, 2))
        ('strong acid 2', 'carbonate')
        """
        if self.acidity in _OF_CARBONATES:
            return self.acidity.value
        return f"{self.acidity} {self.equivalents}"


EXPECTED: Final = (
    "Write strong acid, weak acid, strong base or weak base and how many H+ each formula unit "
    "gives off or takes up, like strong acid 2; or hydrogencarbonate or carbonate."
)


class AcidOrBaseError(ValueError):
    """A cell of acid_or_base cannot be read: `what` says why, `expected` how it is written."""

    def __init__(self, what: str) -> None:
        self.what = what
        self.expected = EXPECTED
        super().__init__(f"{what} {EXPECTED}")


_CELL = re.compile(r"(?P<word>[a-z][a-z ]*?)(?:\s+(?P<count>\S*[0-9]\S*))?")
_COUNT = re.compile(r"[1-9][0-9]?")


def read_acid_or_base(text: str) -> AcidOrBase:
    """Return what a cell says that an item is.

    Args:
        text: As `strong acid 2`, `weak base 1` or `carbonate`, whatever its case and spaces.

    Raises:
        AcidOrBaseError: It says something else.

    >>> read_acid_or_base("Strong acid 2")
    AcidOrBase(acidity=<Acidity.STRONG_ACID: 'strong acid'>, equivalents=2)
    """
    found = _CELL.fullmatch(" ".join(text.casefold().split()))
    if found is None or found["word"] not in set(Acidity):
        raise AcidOrBaseError("does not say what acid or base it is.")
    acidity = Acidity(found["word"])
    if acidity in _OF_CARBONATES:
        return AcidOrBase(acidity, _of_carbonate(acidity, found["count"]))
    return AcidOrBase(acidity, _equivalents(acidity, found["count"]))


def _of_carbonate(acidity: Acidity, count: str | None) -> int:
    if count is not None:
        raise AcidOrBaseError(f"has a number after {acidity}, which needs none.")
    return _OF_CARBONATES[acidity]


def _equivalents(acidity: Acidity, count: str | None) -> int:
    if count is None:
        raise AcidOrBaseError(f"does not say how many H+ the {acidity} has.")
    if not _COUNT.fullmatch(count):
        raise AcidOrBaseError(f"has '{count}', which is not a whole number of 1 to 99.")
    return int(count)


@dataclass(frozen=True, slots=True)
class InMoles:
    """An amount of an item that is an acid or a base: `mol` of its formula units."""

    what: AcidOrBase
    mol: Decimal

    @property
    def equivalents(self) -> Decimal:
        """Return the H+ that it gives off or takes up, mol."""
        return self.mol * self.what.equivalents


def equivalents_by_acidity(amounts: Iterable[InMoles]) -> Mapping[Acidity, Decimal]:
    """Return the H+ given off or taken up, mol, of each of the six kinds, 0 where there is none."""
    added = dict.fromkeys(Acidity, ZERO)
    for amount in amounts:
        added[amount.what.acidity] += amount.equivalents
    return added
