"""What the rules of classification say of an item beyond the generic limits."""

import datetime
from dataclasses import dataclass

from prepstore.cell_types import (
    HazardClass,
    HazardCode,
    InhalationForm,
    MassPercent,
    Name,
    PositiveNumber,
)
from prepstore.facts.described import column


@dataclass(frozen=True, slots=True, kw_only=True)
class HazardLimit:
    """A hazard class of an item with its own limits; it stands in place of what is shipped."""

    item: Name = column("The item.", "formaldehyde solution")
    class_: HazardClass = column("The hazard class and category, or an EUH code.", "Skin Corr. 1B")
    h_code: HazardCode = column("Its H code, or the EUH code again.", "H314")
    from_: MassPercent | None = column(
        "From what share by mass on it holds, this share included. Blank: the generic limits.",
        "25 %",
        default=None,
    )
    below: MassPercent | None = column(
        "Below what share by mass it holds, this share not included.", "70 %", default=None
    )
    m_factor: PositiveNumber | None = column(
        "The M-factor, for what is toxic to life in water.", "10", default=None
    )
    ate: PositiveNumber | None = column(
        "The acute toxicity estimate: mg/kg; by inhalation mg/L, as a gas ppmV.",
        "500",
        default=None,
    )
    form: InhalationForm | None = column(
        "As what it is breathed in, for acute toxicity by inhalation.", "vapour", default=None
    )
    in_force: datetime.date | None = column(
        "The day from which the row holds. Of an item only the rows with the latest day hold.",
        "2026-05-01",
        default=None,
    )
    source: str | None = column(
        "Where it stands.", "Regulation (EC) No 1272/2008, Annex VI", default=None
    )
