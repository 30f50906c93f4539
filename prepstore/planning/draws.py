"""Demand to lots and deliveries, first to expire first."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, is_more_than_nothing
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


@dataclass(frozen=True, slots=True)
class Supplies:
    """All that an item's demands can be served from: usable lots, deliveries that count.

    `daily_capacity` is what can be made on site in a day; None where none is made on site.
    """

    lots: tuple[Holding, ...] = ()
    deliveries: tuple[Delivery, ...] = ()
    daily_capacity: Decimal | None = None


@dataclass(slots=True)
class _Left:
    """What is left of the supplies while demands are served one after the other."""

    lots: Sequence[Holding]
    deliveries: Sequence[Delivery]
    daily_capacity: Decimal | None
    of_lots: list[Decimal] = field(default_factory=list)
    of_deliveries: list[Decimal] = field(default_factory=list)
    of_days: dict[date, Decimal] = field(default_factory=dict)
    first: int = 0


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
        sorted(supplies.deliveries, key=lambda delivery: (delivery.due, delivery.pack)),
        supplies.daily_capacity,
    )
    left.of_lots = [lot.amount for lot in left.lots]
    left.of_deliveries = [delivery.amount for delivery in left.deliveries]
    served = []
    promised = True
    for demand in sorted(demands, key=lambda demand: demand.turn):
        if demand.is_promised is not promised:
            # Days start over with the period's turn, so lots passed over may be in date again.
            promised, left.first = demand.is_promised, 0
        served.append(_serve(demand, left))
    return served


def _serve(demand: Demand, left: _Left) -> Served:
    draws: list[Draw] = []
    wanted = _from_lots(demand, demand.amount, left, draws)
    if is_more_than_nothing(wanted):
        wanted = _from_deliveries(demand, wanted, left, draws)
    if is_more_than_nothing(wanted) and left.daily_capacity is not None:
        wanted = _made_on_site(demand, wanted, left, draws)
    return Served(demand, tuple(draws), wanted if is_more_than_nothing(wanted) else ZERO)


def _from_lots(demand: Demand, wanted: Decimal, left: _Left, draws: list[Draw]) -> Decimal:
    lots, amounts = left.lots, left.of_lots
    # Lots stand by last day and days of use only rise, so what is passed here stays passed.
    while left.first < len(lots) and not (
        amounts[left.first] > 0 and lots[left.first].is_in_date(demand.day_of_use)
    ):
        left.first += 1
    for position in range(left.first, len(lots)):
        if not is_more_than_nothing(wanted):
            break
        taken = min(wanted, amounts[position])
        if taken > 0:
            amounts[position] -= taken
            wanted -= taken
            draws.append(Draw(taken, lot=lots[position].lot))
    return wanted


def _from_deliveries(demand: Demand, wanted: Decimal, left: _Left, draws: list[Draw]) -> Decimal:
    for position, delivery in enumerate(left.deliveries):
        if delivery.due > demand.day_of_need or not is_more_than_nothing(wanted):
            break
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
