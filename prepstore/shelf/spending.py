"""What was spent, what sessions and practicals cost, and what was used of each item."""

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import TypeVar

from prepstore.amounts import Kind, of_billionths
from prepstore.cell_types import fold
from prepstore.movements import Recorded, SessionUse, What
from prepstore.shelf.lot_prices import ItemOf, UnitPrices
from prepstore.shelf.prices import Cost, Estimates, cents, paid, sum_of

Key = TypeVar("Key", bound=Hashable)
Thing = TypeVar("Thing")


@dataclass(frozen=True, slots=True)
class Spent:
    """What was spent with a supplier in a month, or with all; blank where none is recorded."""

    month: str
    supplier: str
    cost: Cost


@dataclass(frozen=True, slots=True)
class SessionCost:
    """What one run of a practical took from the lots."""

    day: date
    session: str
    practical: str
    cost: Cost


@dataclass(frozen=True, slots=True)
class PracticalCost:
    """What all sessions of a practical took from the lots."""

    practical: str
    sessions: int
    cost: Cost


@dataclass(frozen=True, slots=True)
class ItemUse:
    """What was used of an item or solution in a month, in its unit.

    `into_solutions` is the part of `used` that went into solutions, and `cost_into_solutions` what
    that part cost: it counts a second time with the solutions.
    """

    month: str
    item: str
    unit: Kind
    used: Decimal
    cost: Cost
    into_solutions: Decimal
    cost_into_solutions: Cost


@dataclass(frozen=True, slots=True)
class Spending:
    """What was spent and what was used, each row rounded to whole cents where it is worked out."""

    suppliers: Sequence[Spent]
    months: Sequence[Spent]
    sessions: Sequence[SessionCost]
    practicals: Sequence[PracticalCost]
    items: Sequence[ItemUse]


@dataclass(frozen=True, slots=True)
class Words:
    """What things that movements name are called now.

    `item_of` says what is in the lot of a movement, `supplier_of` who sold what came with one
    (blank where nobody is recorded); `ran` has a use of the session that an entry is of.
    """

    item_of: ItemOf
    supplier_of: Callable[[Recorded], str]
    ran: Mapping[int, SessionUse]


def spending(
    history: Sequence[Recorded], prices: UnitPrices, estimates: Estimates, words: Words
) -> Spending:
    """Return what was spent and used.

    Args:
        history: The movements that count, of the days that are asked for.
        prices: What a unit of each lot cost.
        estimates: What things cost where nobody has recorded a price.
        words: What things are called now.
    """
    bought = _bought(history, estimates, words)
    spent = _spent(bought)
    sessions = _sessions(_uses(history), prices, words.ran)
    return Spending(
        suppliers=spent,
        months=_months(spent),
        sessions=sessions,
        practicals=_practicals(sessions),
        items=_items(history, prices, words.item_of),
    )


def month_of(day: date) -> str:
    """Return a month as ISO 8601 writes it.

    >>> month_of(date(2027, 3, 8))
    '2027-03'
    """
    return f"{day:%Y-%m}"


def _bought(history: Iterable[Recorded], estimates: Estimates, words: Words) -> list[Spent]:
    """Return what each receipt cost; what nobody buys, and has no price, is none."""
    found = []
    for one in history:
        if one.movement.what is not What.RECEIVED:
            continue
        item, money = words.item_of(one), one.movement.paid
        if money is not None:
            cost = paid(Fraction(money))
        elif estimates.is_bought(item):
            cost = estimates.of(item).times(Fraction(one.movement.number))
        else:
            continue
        found.append(Spent(month_of(one.on_day), words.supplier_of(one), cost))
    return found


def _spent(bought: Iterable[Spent]) -> list[Spent]:
    """Return what was spent by month and supplier; what was paid keeps every digit typed."""
    found = [
        Spent(of_one[0].month, of_one[0].supplier, _estimated_in_cents(of_one))
        for of_one in in_groups(bought, lambda one: (one.month, fold(one.supplier))).values()
    ]
    return sorted(found, key=lambda one: (one.month, not one.supplier, fold(one.supplier)))


def _estimated_in_cents(spent: Iterable[Spent]) -> Cost:
    cost = sum_of(one.cost for one in spent)
    return replace(cost, estimated=Fraction(cents(cost.estimated)))


def _months(spent: Iterable[Spent]) -> list[Spent]:
    groups = in_groups(spent, lambda one: one.month)
    return [
        Spent(month, "", sum_of(one.cost for one in of_one)) for month, of_one in groups.items()
    ]


def in_groups(things: Iterable[Thing], key: Callable[[Thing], Key]) -> dict[Key, list[Thing]]:
    """Return things by a key of theirs, in the order in which the keys come first."""
    groups: dict[Key, list[Thing]] = {}
    for thing in things:
        groups.setdefault(key(thing), []).append(thing)
    return groups


def _sessions(
    used: Iterable[Recorded], prices: UnitPrices, ran: Mapping[int, SessionUse]
) -> list[SessionCost]:
    of_sessions = [one for one in used if one.entry in ran]
    groups = in_groups(of_sessions, lambda one: _run_of(ran[one.entry]))
    found = []
    for _, of_one in sorted(groups.items()):
        last = ran[of_one[-1].entry]
        cost = _cost_of(of_one, prices).in_cents()
        found.append(SessionCost(last.session_date, last.session, last.practical, cost))
    return found


def _run_of(use: SessionUse) -> tuple[date, str]:
    """Return what tells one run of a practical from all others, names being used year by year."""
    return use.session_date, fold(use.session)


def _practicals(sessions: Iterable[SessionCost]) -> list[PracticalCost]:
    groups = in_groups(sessions, lambda one: fold(one.practical))
    return [
        PracticalCost(of_one[0].practical, len(of_one), sum_of(one.cost for one in of_one))
        for _, of_one in sorted(groups.items())
    ]


def _items(history: Sequence[Recorded], prices: UnitPrices, item_of: ItemOf) -> list[ItemUse]:
    """Return what was used by month and item, also for making solutions."""
    making = {one.entry for one in history if one.movement.what is What.MADE}
    groups = in_groups(_uses(history), lambda one: (month_of(one.on_day), fold(item_of(one))))
    found = []
    for (month, _), of_one in sorted(groups.items()):
        into = [one for one in of_one if one.entry in making]
        found.append(
            ItemUse(
                month=month,
                item=item_of(of_one[-1]),
                unit=of_one[0].movement.unit,
                used=_amount(of_one),
                cost=_cost_of(of_one, prices).in_cents(),
                into_solutions=_amount(into),
                cost_into_solutions=_cost_of(into, prices).in_cents(),
            )
        )
    return found


def _uses(history: Iterable[Recorded]) -> list[Recorded]:
    """Return what was used, and what was brought back of it."""
    return [one for one in history if one.movement.what in (What.USED, What.RETURNED)]


def _amount(used: Iterable[Recorded]) -> Decimal:
    return of_billionths(-sum(one.movement.billionths for one in used))


def _cost_of(used: Iterable[Recorded], prices: UnitPrices) -> Cost:
    """Return what was used at the price of the lots that it came from."""
    # Amounts are added up a price first, since whole numbers add up faster than fractions.
    gone: dict[Cost, int] = {}
    for one in used:
        price = prices.by_movement[one.number]
        gone[price] = gone.get(price, 0) - one.movement.billionths
    return sum_of(price.times(Fraction(amount, 10**9)) for price, amount in gone.items())
