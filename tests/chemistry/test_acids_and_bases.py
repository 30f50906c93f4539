from decimal import Decimal

from prepstore.cell_types import AcidOrBase, ProtonRole
from prepstore.chemistry.acids_and_bases import InMoles, equivalents_by_role

CELLS = {
    "strong acid 2": AcidOrBase(ProtonRole.STRONG_ACID, 2),
    "weak acid 1": AcidOrBase(ProtonRole.WEAK_ACID, 1),
    "strong base 1": AcidOrBase(ProtonRole.STRONG_BASE, 1),
    "weak base 1": AcidOrBase(ProtonRole.WEAK_BASE, 1),
    "weak base 12": AcidOrBase(ProtonRole.WEAK_BASE, 12),
    "hydrogencarbonate": AcidOrBase(ProtonRole.HYDROGENCARBONATE, 1),
    "carbonate": AcidOrBase(ProtonRole.CARBONATE, 2),
}


def test_equivalents_are_added_up_by_kind() -> None:
    amounts = [
        InMoles(CELLS["strong acid 2"], Decimal("0.1")),
        InMoles(CELLS["strong acid 2"], Decimal("0.05")),
        InMoles(CELLS["carbonate"], Decimal("0.3")),
    ]
    added = equivalents_by_role(amounts)
    assert set(added) == set(ProtonRole)
    assert added[ProtonRole.STRONG_ACID] == Decimal("0.30")
    assert added[ProtonRole.CARBONATE] == Decimal("0.6")
    assert added[ProtonRole.WEAK_ACID] == 0
