"""How packs were chosen: the rows of a plan's orders, and what they come to."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.cell_types import Ordering, fold
from prepstore.facts import Supplier
from prepstore.planning.ordering.jointly import OrderedJointly
from prepstore.planning.orders import OrderRow


@dataclass(frozen=True, slots=True)
class SupplierTotal:
    """What is ordered from one supplier: goods, charge, and the earliest last day of its rows."""

    supplier: Supplier
    goods: Decimal
    charge: Decimal
    order_by: date | None


@dataclass(frozen=True, slots=True)
class OrderChoice:
    """The rows of all orders, late ones first, and by which mode they were chosen.

    `jointly` is what was asked and answered where they were chosen as one order.
    """

    mode: Ordering
    rows: tuple[OrderRow, ...]
    jointly: OrderedJointly | None = None

    @property
    def suppliers(self) -> tuple[SupplierTotal, ...]:
        """Return what each supplier gets, by name."""
        of_each: dict[str, list[OrderRow]] = {}
        for row in self.rows:
            of_each.setdefault(fold(row.offer.supplier.supplier), []).append(row)
        return tuple(_total_of(rows) for _, rows in sorted(of_each.items()))

    @property
    def goods(self) -> Decimal:
        """Return what all packs cost."""
        return sum((row.cost for row in self.rows), ZERO)

    @property
    def charges(self) -> Decimal:
        """Return the delivery charges, one a supplier."""
        return sum((one.charge for one in self.suppliers), ZERO)

    @property
    def total(self) -> Decimal:
        """Return goods and charges."""
        return self.goods + self.charges

    def row_above(self, budget: Decimal) -> OrderRow | None:
        """Return the row at which a budget is passed, charges with the first row of each."""
        spent = ZERO
        charged: set[str] = set()
        for row in sorted(self.rows, key=lambda row: fold(row.offer.supplier.supplier)):
            supplier = fold(row.offer.supplier.supplier)
            charge = ZERO if supplier in charged else row.offer.supplier.delivery_charge or ZERO
            charged.add(supplier)
            spent += row.cost + charge
            if spent > budget:
                return row
        return None

    @property
    def bound(self) -> Decimal | None:
        """Return what no order can cost less than; None where items were looked at one by one."""
        if not self.rows:
            return ZERO
        return self.jointly.answer.bound if self.jointly else None

    @property
    def is_proven(self) -> bool:
        """Return whether no other order of all of it can cost less."""
        return not self.rows or (self.jointly is not None and self.jointly.answer.is_proven)


def _total_of(rows: list[OrderRow]) -> SupplierTotal:
    supplier = rows[0].offer.supplier
    days = [row.order_by for row in rows if row.order_by is not None]
    return SupplierTotal(
        supplier,
        sum((row.cost for row in rows), ZERO),
        supplier.delivery_charge or ZERO,
        min(days, default=None),
    )


def chosen_by_item(rows: Iterable[OrderRow]) -> OrderChoice:
    """Return rows that were chosen item by item."""
    return OrderChoice(Ordering.BY_ITEM, _in_order(rows))


def chosen_jointly(ordered: OrderedJointly) -> OrderChoice:
    """Return rows that were chosen as one order."""
    return OrderChoice(Ordering.JOINTLY, _in_order(ordered.rows), ordered)


def _in_order(rows: Iterable[OrderRow]) -> tuple[OrderRow, ...]:
    return tuple(
        sorted(rows, key=lambda row: (not row.is_late, row.order_by or date.max, row.offer.code))
    )
