"""What is on order: placed from a plan, put off, arrived in part or whole, cancelled."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Context, Decimal
from itertools import count
from types import MappingProxyType
from typing import Final

from prepstore.amounts import ZERO, plain
from prepstore.catalogue import Goods
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import in_unit
from prepstore.facts import OnOrder
from prepstore.movements import OrderChange, OrderWhat, RecordedOrder
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError, nearest, not_known
from prepstore.shelf.asked import of_number
from prepstore.shelf.receiving import Bought, Coming
from prepstore.shelf.shelf import Renamed, Shelf, called_now

_WIDE: Final = Context(prec=60)
"""Room for every digit of a price, however many packs there are."""

OrderKey = tuple[str, str, date]
"""What names a row of what is on order: folded reference and pack, and the day it is due."""


def key_of(order: OnOrder | OrderChange) -> OrderKey:
    """Return what names the row of an order."""
    return fold(order.reference or ""), fold(order.pack), order.due


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which of what is on order is meant: by reference, by pack, or by both."""

    reference: str | None = None
    pack: str | None = None

    def among(self, on_order: Sequence[OnOrder]) -> list[OnOrder]:
        """Return the rows meant, soonest to come first.

        Raises:
            RefusedError: Nothing of that kind is on order; names the nearest.
        """
        found = [order for order in on_order if self._is(order)]
        if not found:
            raise RefusedError(f"{self._not_there(on_order)} See: prepstore order list")
        return sorted(found, key=lambda order: (order.due, fold(order.pack)))

    def _not_there(self, on_order: Sequence[OnOrder]) -> str:
        """Return what is not on order, and what of the reference is, or the nearest name."""
        if self.reference is None:
            return _not_on_order(self.pack or "", [order.pack for order in on_order])
        packs = [o.pack for o in on_order if fold(o.reference or "") == fold(self.reference)]
        if packs:
            what = f"Nothing of {self.pack} is on order as '{self.reference}'"
            return f"{what}, which has {', '.join(packs)}."
        return _not_on_order(self.reference, [o.reference for o in on_order if o.reference])

    def _is(self, order: OnOrder) -> bool:
        return (self.reference is None or fold(order.reference or "") == fold(self.reference)) and (
            self.pack is None or fold(order.pack) == fold(self.pack)
        )


def _not_on_order(name: str, known: Iterable[str]) -> str:
    return f"Nothing is on order as '{name}'. {nearest(name, set(known))}".rstrip()


@dataclass(frozen=True, slots=True)
class ToPlace:
    """What of a plan's orders is to be placed, and what comes already as soon as it could.

    A late pack helps no session of the period, so the plan asks for it however often it has been
    ordered; `on_its_way` are those of which as much is on order, due no later than a new one, and
    not counted on for something else.
    `too_early` are those that, ordered now, would be out of date when they are used.
    """

    rows: tuple[OrderRow, ...]
    on_its_way: tuple[OrderRow, ...]
    too_early: tuple[OrderRow, ...] = ()


def to_place(plan: Plan, supplier: str | None, renamed: Renamed = MappingProxyType({})) -> ToPlace:
    """Return what a plan orders: of one supplier, or of all.

    Args:
        plan: The plan.
        supplier: The name of one.
        renamed: What things are called now that bore other names before.

    Raises:
        RefusedError: There is no such supplier; names the nearest.
    """
    if supplier is not None:
        supplier = supplier_named(plan.catalogue, supplier, renamed)
    rows = [
        row
        for row in plan.orders
        if supplier is None or fold(row.offer.supplier.supplier) == fold(supplier)
    ]
    now = [row for row in rows if row.not_before is None]
    wanted = [(row, _still_wanted(row, plan)) for row in now]
    return ToPlace(
        _one_a_pack(replace(row, packs=packs) for row, packs in wanted if packs),
        tuple(row for row, packs in wanted if not packs),
        tuple(row for row in rows if row.not_before is not None),
    )


def _one_a_pack(rows: Iterable[OrderRow]) -> tuple[OrderRow, ...]:
    """Return rows with those of one pack, of several deliveries, as one: they are sent together."""
    together: dict[str, OrderRow] = {}
    for row in rows:
        first = together.get(row.offer.code)
        packs = row.packs + (first.packs if first else 0)
        together[row.offer.code] = replace(first or row, packs=packs)
    return tuple(together.values())


def supplier_named(goods: Goods, name: str, renamed: Renamed = MappingProxyType({})) -> str:
    """Return the spelling of a supplier.

    Raises:
        RefusedError: There is none of that name; names the nearest, or what it is called now.
    """
    found = goods.suppliers.get(fold(name))
    if found is None:
        names = [one.supplier for one in goods.suppliers.values()]
        raise not_known(name, "supplier", names, called_now(name, renamed, "suppliers"))
    return found.supplier


def _still_wanted(row: OrderRow, plan: Plan) -> int:
    """Return how many packs of a row are to be placed: of a late one less what is on its way.

    What the plan takes from a delivery for others is not on its way for this one.
    """
    if not row.is_late:
        return row.packs
    free = {
        delivery: delivery.amount - plan.of_deliveries.get(delivery, ZERO)
        for delivery in plan.stores.deliveries
        if delivery.name == row.name and delivery.due <= row.arrives
    }
    if sum(free.values(), ZERO) >= plan.stock[row.name].short:
        return 0
    packs = sum(
        int(amount // row.offer.size)
        for delivery, amount in free.items()
        if fold(delivery.pack) == fold(row.offer.code)
    )
    return max(row.packs - packs, 0)


def placed(
    rows: Iterable[OrderRow], on_order: Sequence[OnOrder], day: date, reference: str | None
) -> tuple[OrderChange, ...]:
    """Return orders placed on a day, each at the price and due on the day of the plan.

    Args:
        rows: What is ordered.
        on_order: What is on order already.
        day: The day on which the orders are placed.
        reference: Theirs; None gives each supplier's order its name and the day.

    Raises:
        RefusedError: The reference has the same pack due on the same day at another price.
    """
    changes = []
    taken = {fold(order.reference or "") for order in on_order}
    for row in rows:
        supplier = row.offer.supplier.supplier
        change = OrderChange(
            what=OrderWhat.PLACED,
            pack=row.offer.code,
            packs=row.packs,
            due=row.arrives,
            reference=reference or _free_reference(f"{supplier} {day}", taken),
            price=f"{row.price:f}",
        )
        _refuse_two_prices(change, on_order)
        changes.append(change)
    return tuple(changes)


def _free_reference(wanted: str, taken: set[str]) -> str:
    names = (wanted if number == 1 else f"{wanted}, {number}" for number in count(1))
    return next(name for name in names if fold(name) not in taken)


def _refuse_two_prices(change: OrderChange, on_order: Iterable[OnOrder]) -> None:
    for order in on_order:
        if key_of(order) == key_of(change) and _price(order) != change.price:
            what = f"{change.reference} has {change.pack} due on {change.due} at another price."
            raise RefusedError(f"{what} Give this order a reference of its own.")


def _price(order: OnOrder) -> str:
    return "" if order.price is None else f"{order.price:f}"


def due_changed(orders: Iterable[OnOrder], due: date) -> tuple[OrderChange, ...]:
    """Return orders put off, or brought forward, to another day.

    Raises:
        RefusedError: All are due on that day already.
    """
    moved = [order for order in orders if order.due != due]
    if not moved:
        raise RefusedError(f"That is due on {due} already.")
    return tuple(
        change
        for order in moved
        for change in (
            _change(order, OrderWhat.DUE_CHANGED, -order.packs),
            _change(order, OrderWhat.DUE_CHANGED, order.packs, due),
        )
    )


def cancelled(orders: Sequence[OnOrder], packs: int | None) -> tuple[OrderChange, ...]:
    """Return orders cancelled: all of them, or so many packs of the one that is meant.

    Raises:
        RefusedError: Several are meant where a number of packs is given, or fewer are on order.
    """
    if packs is None:
        return tuple(_change(order, OrderWhat.CANCELLED, -order.packs) for order in orders)
    if len({fold(order.pack) for order in orders}) > 1:
        raise RefusedError("Several packs are on order there. Name one with --pack.")
    return tuple(_taken_off(orders, packs, OrderWhat.CANCELLED))


def arrived(orders: Sequence[OnOrder], packs: int | None) -> tuple[OrderChange, ...]:
    """Return packs of one kind that arrived, off what was to come first.

    Args:
        orders: What is on order of the pack, the first to come first.
        packs: How many came; None is all of the first.

    Raises:
        RefusedError: Fewer are on order.
    """
    return tuple(_taken_off(orders, packs or orders[0].packs, OrderWhat.ARRIVED))


@dataclass(frozen=True, slots=True)
class Delivered:
    """Packs that arrived: what comes in, and what that changes of what is on order."""

    coming: Coming
    changes: tuple[OrderChange, ...]


def delivered(shelf: Shelf, code: str, packs: int | None, reference: str | None) -> Delivered:
    """Return packs on order that arrived, as what comes in; its lot is still to be labelled.

    They count at the prices at which they were ordered.

    Args:
        shelf: The lots, the packs and what is on order.
        code: The pack's code.
        packs: How many came; None is all that was to come first.
        reference: The order that they came with, where several are to come.

    Raises:
        RefusedError: There is no such pack, or fewer are on order.
    """
    pack = shelf.goods.packs.get(fold(code))
    if pack is None:
        known = [pack.pack for pack in shelf.goods.packs.values()]
        what = not_known(code, "pack", known)
        raise RefusedError(f"{what} For an item or a lot, say how much came.")
    if not any(fold(order.pack) == fold(pack.pack) for order in shelf.stores.on_order):
        raise RefusedError(
            f"Nothing of {pack.pack} is on order: it has come already, or was cancelled, or never "
            f"ordered. See: prepstore order history --pack {pack.pack}"
        )
    orders = Wanted(reference, pack.pack).among(shelf.stores.on_order)
    changes = arrived(orders, packs)
    material = shelf.materials[fold(pack.item)]
    count_of_packs = -sum(change.packs for change in changes)
    coming = Coming(
        material=material,
        amount=of_number(in_unit(material, pack.size) * count_of_packs),
        day=changes[0].due,
        containers=count_of_packs,
        order_line="; ".join(order_line(change) for change in changes),
        bought=Bought(price_of_all(changes), pack.supplier),
    )
    return Delivered(coming, changes)


def price_of_all(changes: Iterable[OrderChange], price: Decimal | None = None) -> str | None:
    """Return what packs that arrived cost in all, in digits.

    Args:
        changes: What that took off what is on order.
        price: Of one pack; None for the prices at which they were ordered.

    Returns:
        None where the price of any of them is not known.
    """
    total = Decimal(0)
    for change in changes:
        of_one = change.price if price is None else f"{price:f}"
        if not of_one:
            return None
        total = _WIDE.add(total, _WIDE.multiply(Decimal(of_one), abs(change.packs)))
    return plain(total)


def _taken_off(orders: Sequence[OnOrder], packs: int, what: OrderWhat) -> Iterator[OrderChange]:
    there = sum(order.packs for order in orders)
    if packs > there:
        raise RefusedError(
            f"{there} of {orders[0].pack} are on order, not {packs}. Receive the others by item "
            "and amount: prepstore stock receive ITEM AMOUNT"
        )
    left = packs
    for order in orders:
        some = min(left, order.packs)
        left -= some
        if some:
            yield _change(order, what, -some)


def _change(order: OnOrder, what: OrderWhat, packs: int, due: date | None = None) -> OrderChange:
    return OrderChange(
        what=what,
        pack=order.pack,
        packs=packs,
        due=due or order.due,
        reference=order.reference or "",
        price=_price(order),
    )


def order_line(change: OrderChange) -> str:
    """Return how the history of a lot names the delivery that it came with.

    >>> day = date(2027, 3, 8)
    >>> order_line(OrderChange(what=OrderWhat.ARRIVED, pack="P1", packs=-2, due=day))
    '2 x P1'
    """
    reference = f"{change.reference}, " if change.reference else ""
    return f"{reference}{abs(change.packs)} x {change.pack}"


def no_longer_on_order(
    taken_back: Sequence[RecordedOrder], history: Sequence[RecordedOrder]
) -> Iterator[str]:
    """Yield a sentence for each order of which fewer packs are to come than would be taken off.

    Args:
        taken_back: What an undo takes back.
        history: All changes of these packs, in the order of recording.
    """
    there: dict[OrderKey, int] = {}
    for one in history:
        there[key_of(one.change)] = there.get(key_of(one.change), 0) + one.change.packs
    for one in taken_back:
        there[key_of(one.change)] = there.get(key_of(one.change), 0) - one.change.packs
    for one in taken_back:
        if there[key_of(one.change)] < 0:
            reference = f" of {one.change.reference}" if one.change.reference else ""
            since = [
                other.entry
                for other in history
                if other.number > one.number
                and other.undone_by is None
                and other.change.reverses is None
                and key_of(other.change) == key_of(one.change)
            ]
            first = f"Undo entry {since[-1]} first: prepstore stock undo {since[-1]}"
            yield (
                f"Not all of {one.change.pack}{reference}, due on {one.change.due}, is still on "
                f"order. {first if since else 'See: prepstore order history'}"
            )
