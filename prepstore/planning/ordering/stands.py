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
    """What the stores hold, what is on order, what is taken from both by day, and the limits."""

    stores: Stores
    taken: Mapping[str, Sequence[tuple[date, Decimal]]]
    limits: tuple[Most, ...]

    def there(self, name: str, day: date) -> Decimal:
        """Return what of an item is there and on order on a day, before that day's use."""
        lots = sum(
            (
                held.amount
                for held in self.stores.of(name)
                if held.last_day is None or held.last_day >= day
            ),
            ZERO,
        )
        on_order = sum((one.amount for one in self.stores.deliveries if one.name == name), ZERO)
        used = sum((amount for on, amount in self.taken.get(name, ()) if on < day), ZERO)
        return max(ZERO, lots + on_order - used)


def stand_of(stores: Stores, served: Iterable[Served]) -> Stand:
    """Return how the stores stand, given what every demand takes from them."""
    taken: dict[str, list[tuple[date, Decimal]]] = {}
    limits = limits_of(stores.goods)
    if limits:
        for one in served:
            drawn = sum((draw.amount for draw in one.draws), ZERO)
            taken.setdefault(one.demand.name, []).append((one.demand.day_of_use, drawn))
    return Stand(stores, taken, limits)


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
