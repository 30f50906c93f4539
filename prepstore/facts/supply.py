"""What is there and what can be had: lots, suppliers, packs and orders on their way."""

import datetime
from dataclasses import dataclass

from prepstore.amounts import WrittenAmount
from prepstore.cell_types import (
    Count,
    Days,
    LotState,
    Money,
    Name,
    PositiveAmount,
    PositiveCount,
    SeveralPacks,
)
from prepstore.facts.described import column


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One container, or a set of identical ones."""

    lot: Name = column("Its label, unique.", "L0231")
    item: Name = column("The item or solution in it.", "sodium chloride")
    amount: WrittenAmount = column("How much is there.", "1.5 kg")
    expiry: datetime.date | None = column(
        "Last day of use printed on it.", "2028-06-30", default=None
    )
    opened: datetime.date | None = column("Day it was opened.", "2027-01-11", default=None)
    state: LotState = column("Whether it may be used.", "usable", default=LotState.USABLE)
    containers: PositiveCount = column(
        "How many identical containers.", "4", default=PositiveCount(1)
    )
    place: str | None = column("Where it is kept.", "shelf B3", default=None)
    received: datetime.date | None = column(
        "Day it came or was made.", "2027-01-04", default=None, where_used=True
    )
    tested: datetime.date | None = column(
        "Day of its last test for peroxides.", "2027-02-15", default=None, where_used=True
    )
    batch_number: str | None = column(
        "The supplier's batch number on the label.", "B26-0417", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplier:
    """Someone who sells packs."""

    supplier: Name = column("Its name.", "Harbour Chemicals")
    lead_days: Days | None = column(
        "Working days from order to delivery.", "3", default=None, required=True
    )
    delivery_charge: Money | None = column("Charge for a delivery.", "8.50", default=None)
    minimum_order: Money | None = column("Least value of an order.", "50", default=None)
    retired: datetime.date | None = column(
        "The day from which it is no longer used.", "2027-07-31", default=None, where_used=True
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pack:
    """What a supplier sells of an item or of a solution."""

    pack: Name = column("Its code, unique.", "HC-1021-1KG")
    item: Name = column("The item or solution in it.", "sodium chloride")
    supplier: Name = column("Who sells it.", "Harbour Chemicals")
    size: PositiveAmount = column("How much is in it.", "1 kg")
    price: Money = column("Price of one pack.", "12.40")


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """The price of each pack of one order row from so many packs on."""

    pack: Name = column("The pack's code.", "HC-1021-1KG")
    from_: SeveralPacks = column("From how many packs on.", "10")
    price: Money = column("Price of each pack, where so many are ordered.", "10.90")


@dataclass(frozen=True, slots=True, kw_only=True)
class OnOrder:
    """Packs that have been ordered and are still to come."""

    pack: Name = column("The pack's code.", "HC-1021-1KG")
    packs: Count = column("How many; 0 clears the row.", "2")
    due: datetime.date = column("The day they are due.", "2027-02-01")
    reference: str | None = column("The order's reference.", "PO 1187", default=None)
    price: Money | None = column(
        "Price of one pack as it was ordered (blank: not known).",
        "12.40",
        default=None,
        where_used=True,
    )
