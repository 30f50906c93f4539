"""How acid or alkaline what is poured together is: a balance, to neutralise by local rules.

It counts H+ only. It is no pH, and it does not say that anything may be neutralised or poured away.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from prepstore.amounts import ZERO, settle
from prepstore.cell_types import ProtonRole
from prepstore.chemistry.acids_and_bases import InMoles, equivalents_by_role


class Excess(StrEnum):
    """What is left over when acids and bases have met."""

    ACID = "acid"
    BASE = "base"
    NONE = "none"


@dataclass(frozen=True, slots=True)
class AcidBaseBalance:
    """H+ that acids can give off and bases take up, mol; carbonates are among the weak bases."""

    strong_acid_mol: Decimal
    weak_acid_mol: Decimal
    strong_base_mol: Decimal
    weak_base_mol: Decimal

    @property
    def acid_mol(self) -> Decimal:
        """Return the H+ of all acids, mol."""
        return self.strong_acid_mol + self.weak_acid_mol

    @property
    def base_mol(self) -> Decimal:
        """Return the H+ that all bases can take up, mol."""
        return self.strong_base_mol + self.weak_base_mol

    @property
    def excess_mol(self) -> Decimal:
        """Return the H+ that is left, or that is wanting, mol, 0 or more."""
        return abs(self.acid_mol - self.base_mol)

    @property
    def excess(self) -> Excess:
        """Return which of the two is left over, once settled."""
        left = settle(self.acid_mol - self.base_mol)
        if left == ZERO:
            return Excess.NONE
        return Excess.ACID if left > ZERO else Excess.BASE


def acid_base_balance(amounts: Iterable[InMoles]) -> AcidBaseBalance:
    """Return the balance of the acids and bases that come together.

    Source:
        Acid and base neutralise each other equivalent by equivalent: n(H+) given off against
        n(H+) taken up; carbonate takes up two (H+ twice to H2CO3, which leaves as CO2).
    """
    by_role = equivalents_by_role(amounts)
    return AcidBaseBalance(
        strong_acid_mol=by_role[ProtonRole.STRONG_ACID],
        weak_acid_mol=by_role[ProtonRole.WEAK_ACID],
        strong_base_mol=by_role[ProtonRole.STRONG_BASE],
        weak_base_mol=by_role[ProtonRole.WEAK_BASE]
        + by_role[ProtonRole.HYDROGENCARBONATE]
        + by_role[ProtonRole.CARBONATE],
    )
