"""What goes out of date before it can be used, what has been open too long, what is too little."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction

from prepstore.amounts import ZERO, settle
from prepstore.cell_types import fold
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.facts import Item, Solution, is_retired
from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.safety.peroxides import due_for_test
from prepstore.shelf.prices import in_digits, prices_of_units
from prepstore.shelf.shelf import Department, Shelf
from prepstore.stores import Holding, earliest_end


@dataclass(frozen=True, slots=True)
class Loss:
    """A lot that goes out of date, and what of it will be left then; amounts in its unit.

    `taken` is what the timetable takes until then. `value` is what is left at the price of the
    cheapest pack a unit; None where no pack of it is sold.
    """

    held: Holding
    last_day: date
    taken: Decimal
    left: Decimal
    value: Decimal | None


def losses(department: Department, day: date, within_days: int) -> list[Loss]:
    """Return the usable lots that go out of date within some days, or have, soonest first.

    What is used up before is left out. What the timetable takes is what a plan of all those days
    takes, made on the day.

    Args:
        department: The lots, beside all facts.
        day: Today.
        within_days: How far to look ahead.
    """
    horizon = day + timedelta(days=within_days)
    plan = department.plan(Period(day, horizon), day)
    taken, prices = _taken_by_lot(plan), prices_of_units(plan.packs)
    found = []
    for held in filter(lambda held: held.is_usable, department.lots.values()):
        if held.last_day is None or held.last_day > horizon or not held.amount:
            continue
        some = taken.get(fold(held.label), ZERO)
        left = settle(held.amount - some)
        if left > 0:
            price = prices.get(fold(held.material.name))
            value = None if price is None else in_digits(Fraction(left) * price)
            found.append(Loss(held, held.last_day, some, left, value))
    return sorted(found, key=lambda loss: (loss.last_day, loss.held.label))


def _taken_by_lot(plan: Plan) -> Mapping[str, Decimal]:
    return {fold(lot.lot): amount for row in plan.stock.values() for lot, amount in row.lots}


def expiring(lots: Iterable[Holding], last: date) -> list[Holding]:
    """Return the lots with anything in them whose last day of use is on or before a day."""
    return [
        held for held in lots if held.amount and held.last_day is not None and held.last_day <= last
    ]


def opened_too_long(shelf: Shelf, day: date) -> list[Holding]:
    """Return the opened lots with anything in them past opened life, or past a peroxide test."""
    found = []
    for held in shelf.lots.values():
        item = shelf.goods.items.get(fold(held.lot.item))
        if item is None or held.lot.opened is None or not held.amount:
            continue
        ends = (earliest_end(None, held.lot.opened, item.opened_life), due_for_test(held.lot, item))
        if any(end is not None and end < day for end in ends):
            found.append(held)
    return found


@dataclass(frozen=True, slots=True)
class TooLittle:
    """An item or solution of which less is in date and usable than its minimum."""

    material: Material
    held: Decimal
    minimum: Decimal


def below_minimum(shelf: Shelf, day: date) -> list[TooLittle]:
    """Return what is below its minimum on a day, in the order of the tables.

    What is retired by then is not kept up any more.
    """
    facts: dict[str, Item | Solution] = {**shelf.goods.items, **shelf.goods.solutions}
    found = []
    for name, fact in facts.items():
        if fact.minimum is None or is_retired(fact, day):
            continue
        material = shelf.materials[name]
        usable = (held for held in shelf.lots_of(material.name) if held.is_to_be_used(day))
        held = sum((one.amount for one in usable), ZERO)
        minimum = in_unit(material, fact.minimum)
        if settle(held) < minimum:
            found.append(TooLittle(material, held, minimum))
    return found
