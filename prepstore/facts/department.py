"""The department's own: limits of storage, waste streams and settings."""

from dataclasses import dataclass
from decimal import Decimal

from prepstore.amounts import WrittenAmount
from prepstore.cell_types import Count, Measure, Name, PositiveAmount, PositivePercent, WasteCode
from prepstore.facts.described import column


@dataclass(frozen=True, slots=True, kw_only=True)
class StorageLimit:
    """The most that may be in one place of storage, of all items together."""

    storage: Name = column("Where, as the column storage of items says.", "flammables cupboard")
    most: PositiveAmount = column("The most that may be there and on order.", "50 L")


@dataclass(frozen=True, slots=True, kw_only=True)
class WasteStream:
    """One kind of waste, collected in its own containers."""

    stream: Name = column("Its name.", "halogenated solvent")
    measure: Measure = column("What its containers are filled by.", "volume")
    container: PositiveAmount | None = column("Size of one container.", "5 L", default=None)
    fill_limit: PositivePercent = column(
        "How far a container may be filled.",
        "80 %",
        default=PositivePercent(Decimal("0.9")),
    )
    empty_containers: Count | None = column("How many empty containers.", "2", default=None)
    part_full: WrittenAmount | None = column(
        "Amount now in the open container.", "3.2 L", default=None
    )
    list_code: WasteCode | None = column(
        "Code of the European List of Waste.", "14 06 02*", default=None
    )
    notes: str | None = column("Anything else.", default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingRow:
    """One setting, as written."""

    setting: Name = column("Its name.", "prep_lead")
    value: str | None = column("Its value; blank: the default.", "1", default=None)
