"""What is in the stores, exactly: lots, deliveries to come and open waste containers."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from decimal import Decimal
from functools import cached_property
from typing import Protocol

from prepstore.amounts import ZERO, Kind, of_billionths, written_exactly
from prepstore.catalogue import Goods
from prepstore.cell_types import LotState, Name, PositiveCount, fold
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.containers import NO_CONTAINERS, ContainersHeld, Pour
from prepstore.facts import Item, Lot, OnOrder, Solution
from prepstore.filling import WasteContainer, as_its_row_says, as_recorded
from prepstore.lot_labels import NO_RESERVED_LABELS, ReservedLabels, free_label


@dataclass(frozen=True, slots=True)
class Holding:
    """A lot and what is in it: `amount` in the item's unit, `last_day` of use (None: keeps).

    The amount is what the lot's movements come to; what its row says was typed once.
    """

    lot: Lot
    material: Material
    amount: Decimal
    last_day: date | None

    @property
    def label(self) -> str:
        """Return its label."""
        return self.lot.lot

    @property
    def unit(self) -> Kind:
        """Return the unit that it is kept in."""
        return self.material.unit

    @property
    def is_usable(self) -> bool:
        """Return whether its state allows its use."""
        return self.lot.state is LotState.USABLE

    def is_in_date(self, day: date) -> bool:
        """Return whether the lot may be used on a day, the last day included."""
        return self.last_day is None or day <= self.last_day

    def is_to_be_used(self, day: date) -> bool:
        """Return whether it holds anything that may be used on a day."""
        return self.amount > 0 and self.is_usable and self.is_in_date(day)

    @property
    def turn(self) -> tuple[date, bool, str]:
        """Return what lots are taken in order of: last day, opened before sealed, label."""
        return self.last_day or date.max, self.lot.opened is None, self.lot.lot


def is_to_be_dated(held: Holding, goods: Goods) -> bool:
    """Return whether a lot stands as never opened, and ages or forms peroxides once it is."""
    item = goods.items.get(fold(held.material.name))
    ages = item is not None and (item.opened_life is not None or item.peroxide_test is not None)
    return ages and held.lot.opened is None


@dataclass(frozen=True, slots=True)
class Delivery:
    """Packs (by their code) still to come: how much of which item (folded name), in its unit.

    `last_day` is the last day of use of what does not keep (None: by what will be printed on it).
    """

    order: OnOrder
    pack: str
    name: str
    amount: Decimal
    last_day: date | None = None

    @property
    def due(self) -> date:
        """Return the day on which it is to come."""
        return self.order.due

    def is_in_date(self, day: date) -> bool:
        """Return whether it may be used on a day once it has come, the last day included."""
        return self.last_day is None or day <= self.last_day


class CarriedOut(Protocol):
    """What carrying out a plan takes from the stores and brings into them.

    Amounts are in the unit of what they are of, of waste in its stream's measure. Deliveries due
    from `today` to `last_day` come in.
    """

    @property
    def today(self) -> date:
        """Return the day from which it is carried out."""

    @property
    def last_day(self) -> date:
        """Return the day on which it is done."""

    @property
    def taken(self) -> Mapping[str, Decimal]:
        """Return what goes of each lot, by folded label."""

    @property
    def of_deliveries(self) -> Mapping[Delivery, Decimal]:
        """Return what goes of each delivery once it has come."""

    @property
    def made(self) -> Iterable[tuple[Lot, Decimal]]:
        """Yield each lot made, still without a label, and what is left of it."""

    @property
    def pours(self) -> Mapping[str, Sequence[Pour]]:
        """Return what goes into each stream, by folded name, in the order in which it does."""


@dataclass(frozen=True)
class Stores:
    """What is there: holdings by folded label, deliveries to come, containers by folded stream.

    `container_labels` are the folded labels that waste containers have or had; `reserved` are the
    labels that are printed for batches still to be made.
    """

    goods: Goods
    holdings: Mapping[str, Holding]
    deliveries: tuple[Delivery, ...]
    containers: Mapping[str, WasteContainer]
    container_labels: frozenset[str] = frozenset()
    reserved: ReservedLabels = NO_RESERVED_LABELS

    @cached_property
    def _by_name(self) -> Mapping[str, tuple[Holding, ...]]:
        by_name: dict[str, list[Holding]] = {}
        for holding in sorted(self.holdings.values(), key=lambda holding: holding.turn):
            by_name.setdefault(fold(holding.lot.item), []).append(holding)
        return {name: tuple(held) for name, held in by_name.items()}

    @property
    def on_order(self) -> tuple[OnOrder, ...]:
        """Return the orders that are still to come, in the order of their table."""
        return tuple(delivery.order for delivery in self.deliveries)

    def of(self, name: str) -> tuple[Holding, ...]:
        """Return the lots of an item or solution (folded), soonest to expire first, empty too."""
        return self._by_name.get(name, ())

    def after(self, plan: CarriedOut) -> "Stores":
        """Return the stores as they stand when a plan has been carried out.

        What it draws is taken, its batches are made and what is left of them is kept, deliveries
        on order have come in, and waste is in its containers. What it proposes to order has not
        come. A lot that is new has the next free label of its day.
        """
        left = {
            label: replace(held, amount=held.amount - plan.taken.get(label, ZERO))
            for label, held in self.holdings.items()
        }
        to_come = []
        for delivery in self.deliveries:
            if plan.today <= delivery.due <= plan.last_day:
                amount = delivery.amount - plan.of_deliveries.get(delivery, ZERO)
                label = free_label(delivery.due, left, self.reserved.of)
                left[fold(label)] = self._arrived(delivery, amount, label)
            else:
                to_come.append(delivery)
        for lot, amount in plan.made:
            made_on = lot.received or plan.last_day
            label = self.reserved.of_batch(fold(lot.item), made_on, made_on, left)
            left[fold(label)] = keeping_of(replace(lot, lot=Name(label)), amount, self.goods)
        containers = {
            name: container.after(plan.pours.get(name, ()))
            for name, container in self.containers.items()
        }
        return replace(self, holdings=left, deliveries=tuple(to_come), containers=containers)

    def _arrived(self, delivery: Delivery, amount: Decimal, label: str) -> Holding:
        """Return packs that have come as a lot, and what is left of them."""
        material = self.goods.materials[delivery.name]
        lot = Lot(
            lot=Name(label),
            item=Name(material.name),
            amount=written_exactly(amount, material.unit),
            expiry=delivery.last_day,
            received=delivery.due,
            containers=PositiveCount(delivery.order.packs),
        )
        return keeping_of(lot, amount, self.goods)


def in_date_until(item: Item | Solution, arrived: date) -> date | None:
    """Return the last day of what comes of an item on a day; None: what is printed counts."""
    return None if item.shelf_life is None else arrived + timedelta(days=item.shelf_life)


def earliest_end(
    expiry: date | None, opened: date | None, opened_life_days: int | None
) -> date | None:
    """Return the earlier of a printed expiry and opened + opened life; None where it keeps."""
    days = [expiry] if expiry else []
    if opened and opened_life_days is not None:
        days.append(opened + timedelta(days=opened_life_days))
    return min(days, default=None)


def keeping_of(lot: Lot, amount: Decimal, goods: Goods) -> Holding:
    """Return a lot that holds an amount, in its item's unit."""
    name = fold(lot.item)
    item = goods.items.get(name)
    last_day = earliest_end(lot.expiry, lot.opened, item.opened_life if item else None)
    return Holding(lot, goods.materials[name], amount, last_day)


def stores_of(
    goods: Goods,
    lots: Iterable[Lot],
    on_order: Iterable[OnOrder],
    balances: Mapping[str, int],
    containers: ContainersHeld | None = None,
) -> Stores:
    """Return what is in the stores.

    Args:
        goods: What is known of it.
        lots: The rows of lots.
        on_order: The rows of what is still to come.
        balances: What each lot holds, in billionths of its item's unit, by folded label.
        containers: The waste containers; None where each stream's row says what there is.
    """
    return Stores(
        goods,
        {
            fold(lot.lot): keeping_of(lot, of_billionths(balances.get(fold(lot.lot), 0)), goods)
            for lot in lots
        },
        tuple(_deliveries(goods, on_order)),
        {
            name: as_its_row_says(stream)
            if containers is None
            else as_recorded(name, stream, containers)
            for name, stream in goods.streams.items()
        },
        (containers or NO_CONTAINERS).taken,
    )


def _deliveries(goods: Goods, on_order: Iterable[OnOrder]) -> Iterator[Delivery]:
    for order in on_order:
        pack = goods.packs[fold(order.pack)]
        name = fold(pack.item)
        amount = in_unit(goods.materials[name], pack.size) * order.packs
        kept = goods.items.get(name) or goods.solutions[name]
        yield Delivery(order, pack.pack, name, amount, in_date_until(kept, order.due))
