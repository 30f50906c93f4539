"""What a classification is made from: what is in a mixture, what is known of it, what holds."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from prepstore.cell_types import InhalationForm


class PhysicalForm(StrEnum):
    """What a mixture is at room temperature."""

    LIQUID = "liquid"
    SOLID = "solid"
    GAS = "gas"


@dataclass(frozen=True, slots=True)
class Band:
    """The concentrations, in % by mass, at which a specific limit gives a class.

    `start` is in it and `end` is not, unless `is_start_out` or `is_end_in` say otherwise. Both
    None: no specific limit is set, and the generic ones of Annex I hold.
    """

    start: Decimal | None = None
    end: Decimal | None = None
    is_start_out: bool = False
    is_end_in: bool = False

    @property
    def is_set(self) -> bool:
        """Return whether a specific limit is set."""
        return self.start is not None or self.end is not None

    def holds(self, percent: Fraction) -> bool:
        """Return whether a concentration, % by mass, is in the band."""
        return self._is_after_start(percent) and self._is_before_end(percent)

    def _is_after_start(self, percent: Fraction) -> bool:
        if self.start is None:
            return True
        return percent > self.start if self.is_start_out else percent >= self.start

    def _is_before_end(self, percent: Fraction) -> bool:
        if self.end is None:
            return True
        return percent <= self.end if self.is_end_in else percent < self.end


GENERIC = Band()


@dataclass(frozen=True, slots=True)
class HazardRow:
    """One class of one substance.

    Attributes:
        hazard_class: As `Skin Corr. 1B`; for a supplemental statement its code, as `EUH031`.
        h_code: As `H314`; blank where the class has none (gases under pressure).
        band: Its specific limits, % by mass.
        m_factor: The multiplying factor of Aquatic Acute 1 or Aquatic Chronic 1; None: not given.
        ate: The acute toxicity estimate: mg/kg by mouth and skin, mg/L as vapour and mist, ppmV
            as gas; None: the point estimate of the category.
        form: In which form it is breathed in; None: not given.
        in_force: The first day on which it holds; None: from the beginning.
        source: Where it was read.
    """

    hazard_class: str
    h_code: str
    band: Band = GENERIC
    m_factor: Decimal | None = None
    ate: Decimal | None = None
    form: InhalationForm | None = None
    in_force: date | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One thing that a mixture is made of.

    Attributes:
        item: Its name as spelled.
        percent: % by mass, in the mixture, of what its formula says: water of crystallisation is
            included, an impurity or the water of a strong acid is not.
        cas: Its CAS number, or blank.
        formula: Its formula, or blank.
        is_acid_or_base: Whether it is an acid or a base of whatever strength, a hydrogencarbonate
            or a carbonate.
        limits: The department's own rows for it, of whatever day; where there are any, they
            stand in place of the harmonised classes.
    """

    item: str
    percent: Fraction | Decimal
    cas: str = ""
    formula: str = ""
    is_acid_or_base: bool = False
    limits: tuple[HazardRow, ...] = ()


@dataclass(frozen=True, slots=True)
class Mixture:
    """What is known of a mixture as a whole; None is not known.

    Attributes:
        ph: Its pH.
        flash_point: Its flash point, °C.
        viscosity: Its kinematic viscosity at 40 °C, mm²/s.
        physical_form: What it is at room temperature.
    """

    ph: Decimal | None = None
    flash_point: Decimal | None = None
    viscosity: Decimal | None = None
    physical_form: PhysicalForm = PhysicalForm.LIQUID
