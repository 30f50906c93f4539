"""What is in the stores from day to day, and the most that may be: for the limits of orders."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, Kind
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, NoRouteError, in_unit, measured_as
from prepstore.planning.draws import Served
from prepstore.stores import Stores

Taken = tuple[date, Decimal]
"""A day, and how much is taken on it, in the item's unit."""


@dataclass(frozen=True, slots=True)
class Most:
    """The most that may be there of some items together, in grams, millilitres or pieces.

    `name` is that of the item, or of the place of storage where it is `of_storage`. `of_one` is
    what one unit of each item counts in this kind, by folded name; `unknown` are the items that
    cannot be counted, since they have no density.
    """

    name: str
    kind: Kind
    amount: Decimal
    of_one: Mapping[str, Decimal]
    of_storage: bool = False
    unknown: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Stand:
    """What the stores hold, what is on order, what is taken from both by day, and the limits.

    What is taken goes by folded label of a lot, and of what is on order by item (folded).
    """

    stores: Stores
    of_lots: Mapping[str, Sequence[Taken]]
    of_orders: Mapping[str, Sequence[Taken]]
    limits: tuple[Most, ...]

    def there(self, name: str, day: date) -> Decimal:
        """Return what of an item is there and on order on a day, before that day's use."""
        lots = sum(
            (
                held.amount - _before(day, self.of_lots.get(fold(held.label), ()))
                for held in self.stores.of(name)
                if held.is_in_date(day)
            ),
            ZERO,
        )
        on_order = sum((one.amount for one in self.stores.deliveries if one.name == name), ZERO)
        return lots + on_order - _before(day, self.of_orders.get(name, ()))


def _before(day: date, taken: Iterable[Taken]) -> Decimal:
    return sum((amount for on, amount in taken if on < day), ZERO)


def stand_of(stores: Stores, served: Iterable[Served]) -> Stand:
    """Return how the stores stand, given what every demand takes from them."""
    of_lots: dict[str, list[Taken]] = {}
    of_orders: dict[str, list[Taken]] = {}
    limits = limits_of(stores.goods)
    for one in served if limits else ():
        for draw in one.draws:
            taken = one.demand.day_of_use, draw.amount
            label = fold(draw.lot.lot) if draw.lot else ""
            if label in stores.holdings:
                of_lots.setdefault(label, []).append(taken)
            elif draw.lot or draw.delivery:  # a lot that is not there yet is still on order
                of_orders.setdefault(one.demand.name, []).append(taken)
    return Stand(stores, of_lots, of_orders, limits)


def limits_of(goods: Goods) -> tuple[Most, ...]:
    """Return the most that may be there of each item and in each place of storage."""
    of_items = [
        Most(
            item.item,
            goods.materials[name].unit,
            in_unit(goods.materials[name], item.most_held),
            {name: Decimal(1)},
        )
        for name, item in goods.items.items()
        if item.most_held is not None
    ]
    return (*of_items, *(_of_storage(goods, name) for name in goods.storage_limits))


def _of_storage(goods: Goods, name: str) -> Most:
    limit = goods.storage_limits[name]
    kind = limit.most.portions[0].kind or Kind.VOLUME
    amount = sum((portion.number for portion in limit.most.portions), ZERO)
    of_one: dict[str, Decimal] = {}
    unknown = []
    for of, item in goods.items.items():
        if item.storage is None or fold(item.storage) != name:
            continue
        counts = _in_kind(goods.materials[of], kind)
        if counts is None:
            unknown.append(item.item)
        else:
            of_one[of] = counts
    return Most(limit.storage, kind, amount, of_one, of_storage=True, unknown=tuple(unknown))


def _in_kind(material: Material, kind: Kind) -> Decimal | None:
    """Return what one unit of a material is in grams or millilitres; None without a density."""
    try:
        return measured_as(material, Decimal(1), kind)
    except NoRouteError:
        return None
