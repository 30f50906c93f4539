"""The largest volume of carbon dioxide that forms where carbonates meet acid.

Largest: every H+ reaches a carbonate, no other base takes any, weak acids react fully, and no gas
stays dissolved.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Final

from prepstore.cell_types import ProtonRole
from prepstore.chemistry.acids_and_bases import InMoles, equivalents_by_role

GAS_CONSTANT_J_PER_MOL_K: Final = Decimal("6.02214076e23") * Decimal("1.380649e-23")
"""R = N_A k = 8.31446261815324 J/(mol K), exact since the SI of 2019 fixed both (CODATA 2018)."""

ROOM_K: Final = Decimal("293.15")
"""20 °C."""

STANDARD_ATMOSPHERE_KPA: Final = Decimal("101.325")

MOLAR_VOLUME_L_PER_MOL: Final = GAS_CONSTANT_J_PER_MOL_K * ROOM_K / STANDARD_ATMOSPHERE_KPA
"""V/n = R T / p of an ideal gas at 20 °C and 101.325 kPa: 24.0551 L/mol (J/kPa is L)."""


class LimitedBy(StrEnum):
    """What runs out first; the carbonates where both run out together."""

    ACID = "acid"
    CARBONATE = "carbonate"


@dataclass(frozen=True, slots=True)
class CarbonDioxide:
    """The most carbon dioxide that can form, mol, and what limits it."""

    mol: Decimal
    limited_by: LimitedBy

    @property
    def litres(self) -> Decimal:
        """Return its volume at 20 °C and 101.325 kPa, L.

        >>> round(CarbonDioxide(Decimal(1), LimitedBy.ACID).litres, 4)
        Decimal('24.0551')
        """
        return self.mol * MOLAR_VOLUME_L_PER_MOL


def carbon_dioxide_from(amounts: Iterable[InMoles]) -> CarbonDioxide | None:
    """Return the most carbon dioxide that can form; None where acid or carbonates are wanting.

    Args:
        amounts: The acids and bases that come together; strong and weak acids count alike.

    Source:
        HCO3- + H+ = CO2 + H2O first, which gives the most gas for the acid there is, then
        CO3(2-) + 2 H+ = CO2 + H2O.
    """
    by_role = equivalents_by_role(amounts)
    acid = by_role[ProtonRole.STRONG_ACID] + by_role[ProtonRole.WEAK_ACID]
    hydrogencarbonate = by_role[ProtonRole.HYDROGENCARBONATE]
    carbonate = by_role[ProtonRole.CARBONATE]
    taken_up = hydrogencarbonate + carbonate
    if not acid or not taken_up:
        return None
    from_hydrogencarbonate = min(acid, hydrogencarbonate)
    from_carbonate = min(acid - from_hydrogencarbonate, carbonate) / 2
    return CarbonDioxide(
        mol=from_hydrogencarbonate + from_carbonate,
        limited_by=LimitedBy.ACID if acid < taken_up else LimitedBy.CARBONATE,
    )
