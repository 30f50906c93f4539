"""What the stores hold and expect, worked out in each item's unit."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, settle
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.facts import Inventory, Item, Lot, OnOrder, Solution, Supply, fold, is_retired
from prepstore.planning.draws import Delivery, LotOnShelf, Served, Supplies, is_usable, last_day_of
from prepstore.planning.orders import PackSize


@dataclass(frozen=True, slots=True)
class Stockroom:
    """Supplies and packs by folded name; what is overdue, and what has no date it should have."""

    supplies: Mapping[str, Supplies]
    packs: Mapping[str, tuple[PackSize, ...]]
    overdue: tuple[OnOrder, ...]
    undated: tuple[Lot, ...]

    def of(self, name: str) -> Supplies:
        """Return the supplies of an item or solution."""
        return self.supplies.get(name, Supplies())


def stockroom_of(inventory: Inventory, materials: Mapping[str, Material], today: date) -> Stockroom:
    """Return what the stores hold and what is still to come as of a day."""
    lots: dict[str, list[LotOnShelf]] = {}
    undated = []
    for lot in inventory.lots:
        item = inventory.items.get(fold(lot.item))
        opened_life = item.opened_life if item else None
        if is_usable(lot):
            last_day = last_day_of(lot, opened_life)
            shelf = LotOnShelf(lot, in_unit(materials[fold(lot.item)], lot.amount), last_day)
            lots.setdefault(fold(lot.item), []).append(shelf)
            if opened_life is not None and last_day is None and shelf.amount:
                undated.append(lot)
    deliveries, overdue = _deliveries(inventory, materials, today)
    supplies = {
        name: Supplies(
            tuple(lots.get(name, ())),
            tuple(deliveries.get(name, ())),
            _daily_capacity(inventory.items.get(name), materials[name]),
        )
        for name in (*inventory.items, *inventory.solutions)
    }
    return Stockroom(supplies, packs_sold(inventory, materials, today), overdue, tuple(undated))


def _daily_capacity(item: Item | None, material: Material) -> Decimal | None:
    """Return what is made on site in a day: None where nothing is, all one wants if unlimited."""
    if item is None or item.supply is not Supply.MADE_ON_SITE:
        return None
    return in_unit(material, item.daily_capacity) if item.daily_capacity else Decimal("Infinity")


def _deliveries(
    inventory: Inventory, materials: Mapping[str, Material], today: date
) -> tuple[dict[str, list[Delivery]], tuple[OnOrder, ...]]:
    """Return what is due from today on by item, and the orders that should have come already."""
    due: dict[str, list[Delivery]] = {}
    overdue = []
    for order in inventory.on_order:
        pack = inventory.packs[fold(order.pack)]
        name = fold(pack.item)
        if order.due < today:
            overdue.append(order)
            continue
        amount = in_unit(materials[name], pack.size) * order.packs
        due.setdefault(name, []).append(
            Delivery(pack.pack, order.reference or "", amount, order.due)
        )
    return due, tuple(overdue)


def packs_sold(
    inventory: Inventory, materials: Mapping[str, Material], today: date
) -> dict[str, tuple[PackSize, ...]]:
    """Return what is sold of each item; nothing of a retired one, nor by a retired supplier.

    By folded name of the item; sizes are in its unit.
    """
    sold: dict[str, list[PackSize]] = {}
    for pack in inventory.packs.values():
        name = fold(pack.item)
        supplier = inventory.suppliers[fold(pack.supplier)]
        if is_retired(supplier, today) or is_retired(inventory.items[name], today):
            continue
        size = in_unit(materials[name], pack.size)
        sold.setdefault(name, []).append(PackSize(pack, supplier, size))
    return {name: tuple(packs) for name, packs in sold.items()}


def in_date_amount(supplies: Supplies, day: date, drawn: Mapping[str, Decimal]) -> Decimal:
    """Return what lots in date on a day still hold after what was drawn from each."""
    return sum(
        (lot.amount - drawn.get(lot.lot.lot, ZERO) for lot in supplies.lots if lot.is_in_date(day)),
        ZERO,
    )


def left_of_deliveries(supplies: Supplies, day: date, drawn: Mapping[Delivery, Decimal]) -> Decimal:
    """Return what deliveries due by a day still hold after what was drawn from each."""
    return sum(
        (
            delivery.amount - drawn.get(delivery, ZERO)
            for delivery in supplies.deliveries
            if delivery.due <= day
        ),
        ZERO,
    )


def restock(fact: Item | Solution, material: Material, left: Decimal) -> Decimal:
    """Return what brings a shelf from what is left up to `restock_to`, where below the minimum.

    Args:
        fact: The item or solution, with its minimum.
        material: The same, for its unit.
        left: What is there on the period's last day, in that unit.
    """
    if fact.minimum is None:
        return ZERO
    minimum = in_unit(material, fact.minimum)
    if settle(left) >= minimum:
        return ZERO
    return (in_unit(material, fact.restock_to) if fact.restock_to else minimum) - left


def still_unserved(served: Iterable[Served], *, promised: bool) -> tuple[Served, ...]:
    """Return the demands of one turn that are not served in full."""
    return tuple(one for one in served if one.unserved and one.demand.is_promised is promised)
