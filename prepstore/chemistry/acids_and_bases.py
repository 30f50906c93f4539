"""How much H+ acids give off and bases take up.

One word for it: an *equivalent* is 1 mol of H+ that an acid gives off or a base takes up.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.cell_types import AcidOrBase, ProtonRole


@dataclass(frozen=True, slots=True)
class InMoles:
    """An amount of an item that is an acid or a base: `mol` of its formula units."""

    what: AcidOrBase
    mol: Decimal

    @property
    def equivalents(self) -> Decimal:
        """Return the H+ that it gives off or takes up, mol."""
        return self.mol * self.what.protons


def equivalents_by_role(amounts: Iterable[InMoles]) -> Mapping[ProtonRole, Decimal]:
    """Return the H+ given off or taken up, mol, of each of the six kinds, 0 where there is none."""
    added = dict.fromkeys(ProtonRole, ZERO)
    for amount in amounts:
        added[amount.what.role] += amount.equivalents
    return added
