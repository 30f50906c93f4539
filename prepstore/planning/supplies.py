"""What the demands on one item or solution can be served from, and what of it is left."""

from collections.abc import Mapping
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, settle
from prepstore.catalogue import Goods
from prepstore.cell_types import Supply, fold
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.facts import Item, Solution, is_retired
from prepstore.planning.draws import Supplies
from prepstore.planning.orders import Offer
from prepstore.stores import Delivery, Holding, Stores


def supplies_of(stores: Stores, today: date) -> dict[str, Supplies]:
    """Return what each item and solution can be served from as of a day, by folded name."""
    goods = stores.goods
    due: dict[str, list[Delivery]] = {}
    for delivery in stores.deliveries:
        if delivery.due >= today:
            due.setdefault(delivery.name, []).append(delivery)
    return {
        name: Supplies(
            tuple(held for held in stores.of(name) if held.is_usable),
            tuple(due.get(name, ())),
            _daily_capacity(goods.items.get(name), goods.materials[name]),
            is_made=name in goods.solutions and not goods.is_bought(name),
        )
        for name in (*goods.items, *goods.solutions)
    }


def _daily_capacity(item: Item | None, material: Material) -> Decimal | None:
    """Return what is made on site in a day: None where nothing is, all one wants if unlimited."""
    if item is None or item.supply is not Supply.MADE_ON_SITE:
        return None
    return in_unit(material, item.daily_capacity) if item.daily_capacity else Decimal("Infinity")


def overdue(stores: Stores, today: date) -> tuple[Delivery, ...]:
    """Return the deliveries that should have come before a day; they count nothing."""
    return tuple(delivery for delivery in stores.deliveries if delivery.due < today)


def undated(stores: Stores) -> tuple[Holding, ...]:
    """Return the usable lots that have no date though their item keeps only so long once opened."""
    items = stores.goods.items
    return tuple(
        held
        for held in stores.holdings.values()
        if held.is_usable
        and held.amount
        and held.last_day is None
        and (item := items.get(fold(held.lot.item))) is not None
        and item.opened_life is not None
    )


def packs_sold(goods: Goods, today: date) -> dict[str, tuple[Offer, ...]]:
    """Return what is sold; nothing of what is retired, nor by a retired supplier.

    By folded name of the item or solution; sizes are in its unit.
    """
    sold: dict[str, list[Offer]] = {}
    for pack in goods.packs.values():
        name = fold(pack.item)
        supplier = goods.suppliers[fold(pack.supplier)]
        thing = goods.items.get(name) or goods.solutions[name]
        if is_retired(supplier, today) or is_retired(thing, today):
            continue
        size = in_unit(goods.materials[name], pack.size)
        breaks = goods.price_breaks.get(fold(pack.pack), ())
        sold.setdefault(name, []).append(Offer(pack, supplier, size, breaks))
    return {name: tuple(packs) for name, packs in sold.items()}


def in_date_amount(supplies: Supplies, day: date, drawn: Mapping[str, Decimal]) -> Decimal:
    """Return what lots in date on a day still hold after what was drawn (by folded label)."""
    return sum(
        (
            lot.amount - drawn.get(fold(lot.label), ZERO)
            for lot in supplies.lots
            if lot.is_in_date(day)
        ),
        ZERO,
    )


def left_of_deliveries(supplies: Supplies, day: date, drawn: Mapping[Delivery, Decimal]) -> Decimal:
    """Return what deliveries due by a day, in date on it, still hold after what was drawn."""
    return sum(
        (
            delivery.amount - drawn.get(delivery, ZERO)
            for delivery in supplies.deliveries
            if delivery.due <= day and delivery.is_in_date(day)
        ),
        ZERO,
    )


def restock(fact: Item | Solution, material: Material, left: Decimal) -> Decimal:
    """Return what brings the stores from what is left up to `restock_to`, where below the minimum.

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
