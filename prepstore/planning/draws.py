"""Demand to lots and deliveries, first to expire first."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, is_more_than_nothing, settle
from prepstore.cell_types import fold
from prepstore.facts import Lot
from prepstore.planning.demands import Demand
from prepstore.stores import Delivery, Holding


@dataclass(frozen=True, slots=True)
class Draw:
    """An amount taken for a demand from a lot, from a delivery, or made on site on the day."""

    amount: Decimal
    lot: Lot | None = None
    delivery: Delivery | None = None


@dataclass(frozen=True, slots=True)
class Served:
    """A demand and what it got: its draws and what is `unserved` add up to its amount."""

    demand: Demand
    draws: tuple[Draw, ...]
    unserved: Decimal

    @property
    def of_spare(self) -> Decimal:
        """Return what of the unserved amount is spare."""
        return min(self.unserved, self.demand.spare)

    @property
    def is_short(self) -> bool:
        """Return whether more than spare is not served."""
        return is_more_than_nothing(self.unserved - self.of_spare)


@dataclass(frozen=True, slots=True)
class Supplies:
    """All that an item's demands can be served from: usable lots, deliveries that count.

    `daily_capacity` is what can be made on site in a day; None where none is made on site. What
    stock does not give of a solution `is_made`.
    """

    lots: tuple[Holding, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    daily_capacity: Decimal | None = None
    is_made: bool = False


@dataclass(slots=True)
class _Left:
    """What is left of the supplies while demands are served one after the other."""

    lots: Sequence[Holding]
    deliveries: Sequence[Delivery]
    daily_capacity: Decimal | None
    is_made: bool
    of_lots: list[Decimal] = field(default_factory=list)
    of_deliveries: list[Decimal] = field(default_factory=list)
    of_days: dict[date, Decimal] = field(default_factory=dict)
    first: int = 0

    @property
    def is_nothing(self) -> bool:
        """Return whether nothing can be had any more: the common case of a year."""
        all_passed = self.first == len(self.lots)
        return all_passed and not self.deliveries and self.daily_capacity is None


def serve(demands: Iterable[Demand], supplies: Supplies) -> list[Served]:
    """Serve demands in turn, each from lots in date, then deliveries, then what is made on site.

    Args:
        demands: All demands on one item or solution, in any order.
        supplies: What there is; only deliveries that count.

    Returns:
        One result a demand, in the order served: what is promised first, then by day of use.
    """
    left = _Left(
        sorted(supplies.lots, key=lambda lot: lot.turn),
        sorted(supplies.deliveries, key=_turn),
        supplies.daily_capacity,
        supplies.is_made,
    )
    left.of_lots = [lot.amount for lot in left.lots]
    left.of_deliveries = [delivery.amount for delivery in left.deliveries]
    served = []
    promised = True
    for demand in sorted(demands, key=lambda demand: demand.asker.turn):
        if demand.is_promised is not promised:
            # Days start over with the period's turn, so lots passed over may be in date again.
            promised, left.first = demand.is_promised, 0
        served.append(_serve(demand, left))
    return served


def _turn(delivery: Delivery) -> tuple[date, str, str]:
    """Return what deliveries are taken in order of: day and pack, then their reference."""
    return delivery.due, delivery.pack, delivery.order.reference or ""


def _serve(demand: Demand, left: _Left) -> Served:
    draws: list[Draw] = []
    _pass_over(demand, left)
    wanted = demand.amount
    if left.is_nothing:
        return Served(demand, (), wanted if is_more_than_nothing(wanted) else ZERO)
    if demand.is_one_lot:
        wanted = _from_one_lot(wanted, left, draws)
    if not (demand.is_one_lot and left.is_made):
        wanted = _from_lots(wanted, left, draws)
    if is_more_than_nothing(wanted):
        wanted = _from_deliveries(demand, wanted, left, draws)
    if is_more_than_nothing(wanted) and left.daily_capacity is not None:
        wanted = _made_on_site(demand, wanted, left, draws)
    return Served(demand, tuple(draws), wanted if is_more_than_nothing(wanted) else ZERO)


def _pass_over(demand: Demand, left: _Left) -> None:
    """Pass over the first lots, as far as they are empty or out of date by now."""
    lots, amounts = left.lots, left.of_lots
    # Lots stand by last day and days of use only rise, so what is passed here stays passed.
    while left.first < len(lots) and not (
        amounts[left.first] > 0 and lots[left.first].is_in_date(demand.day_of_use)
    ):
        left.first += 1


def _from_one_lot(wanted: Decimal, left: _Left, draws: list[Draw]) -> Decimal:
    """Take all from the first lot that still holds all of it; nothing where none does."""
    for position in range(left.first, len(left.lots)):
        if settle(left.of_lots[position]) >= settle(wanted):
            return _take(wanted, position, left, draws)
    return wanted


def _from_lots(wanted: Decimal, left: _Left, draws: list[Draw]) -> Decimal:
    for position in range(left.first, len(left.lots)):
        if not is_more_than_nothing(wanted):
            break
        wanted = _take(wanted, position, left, draws)
    return wanted


def _take(wanted: Decimal, position: int, left: _Left, draws: list[Draw]) -> Decimal:
    """Take from one lot what it has of what is wanted; return what is wanted still."""
    taken = min(wanted, left.of_lots[position])
    if not is_more_than_nothing(taken):  # a hair is left of a lot that is empty
        return wanted
    left.of_lots[position] -= taken
    draws.append(Draw(taken, lot=left.lots[position].lot))
    return wanted - taken


def _from_deliveries(demand: Demand, wanted: Decimal, left: _Left, draws: list[Draw]) -> Decimal:
    for position, delivery in enumerate(left.deliveries):
        if delivery.due > demand.day_of_need or not is_more_than_nothing(wanted):
            break
        if not delivery.is_in_date(demand.day_of_use):
            continue
        taken = min(wanted, left.of_deliveries[position])
        if taken > 0:
            left.of_deliveries[position] -= taken
            wanted -= taken
            draws.append(Draw(taken, delivery=delivery))
    return wanted


def _made_on_site(demand: Demand, wanted: Decimal, left: _Left, draws: list[Draw]) -> Decimal:
    day = demand.day_of_use
    capacity = left.of_days.get(day, left.daily_capacity or ZERO)
    taken = min(wanted, capacity)
    left.of_days[day] = capacity - taken
    if taken > 0:
        draws.append(Draw(taken))
    return wanted - taken


def drawn_from_lots(served: Iterable[Served]) -> dict[str, Decimal]:
    """Return how much was drawn from each lot, by folded label."""
    totals: dict[str, Decimal] = {}
    for one in served:
        for draw in one.draws:
            if draw.lot is not None:
                label = fold(draw.lot.lot)
                totals[label] = totals.get(label, ZERO) + draw.amount
    return totals


def drawn_from_deliveries(served: Iterable[Served]) -> dict[Delivery, Decimal]:
    """Return how much was drawn from each delivery."""
    totals: dict[Delivery, Decimal] = {}
    for one in served:
        for draw in one.draws:
            if draw.delivery is not None:
                totals[draw.delivery] = totals.get(draw.delivery, ZERO) + draw.amount
    return totals
