"""A batch made: its parts out of their lots, what was made into a lot of its own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO, in_billionths, of_billionths
from prepstore.cell_types import Supply, fold
from prepstore.chemistry.conversions import Material, NoRouteError
from prepstore.chemistry.materials import ingredients_of
from prepstore.chemistry.solutions import amounts_for
from prepstore.facts import Solution
from prepstore.movements import Booking, Movement, What
from prepstore.planning.batches import Batch
from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError, not_known
from prepstore.shelf.asked import Quantity, in_words, of_number
from prepstore.shelf.receiving import Coming, keeps_until, new_lot
from prepstore.shelf.shelf import Shelf, first_to_expire
from prepstore.shelf.using import quoted, taken_from
from prepstore.stores import Holding


@dataclass(frozen=True, slots=True)
class Made:
    """A volume of a solution that was made, and what of each part went into it, in its unit.

    `make_on` is the day for which a plan had it; None where no plan was asked.
    """

    solution: Solution
    volume: Quantity
    parts: Mapping[str, Decimal]
    make_on: date | None = None


@dataclass(frozen=True, slots=True)
class NewBottle:
    """The real day on which a batch is made, and the label and place of what it is filled into.

    Without a label it gets the one that is printed for the batch, else a free one; without a place
    it is where the solution is stored.
    """

    day: date
    label: str | None = None
    place: str | None = None


def solution_named(shelf: Shelf, name: str) -> Solution:
    """Return a solution.

    Raises:
        RefusedError: There is none of that name; names the nearest.
    """
    found = shelf.goods.solutions.get(fold(name))
    if found is None:
        names = [solution.solution for solution in shelf.goods.solutions.values()]
        raise not_known(name, "solution", names, shelf.called_now(name))
    return found


def batch_of(plan: Plan, solution: Solution, make_on: date | None) -> Made:
    """Return the first batch of a solution that a plan still wants made, as it is planned.

    Args:
        plan: The plan.
        solution: What is made.
        make_on: The day of the batch, where the plan has several.

    Raises:
        RefusedError: The plan has none, or none on that day.
    """
    batches = [batch for batch in plan.batches if batch.name == fold(solution.solution)]
    chosen = [batch for batch in batches if make_on is None or batch.make_on == make_on]
    if not batches:
        what = f"The plan has no batch of {solution.solution} to make."
        raise RefusedError(f"{what} To make some anyway, give --volume and no --week.")
    if not chosen:
        days = ", ".join(str(batch.make_on) for batch in batches)
        raise RefusedError(f"No batch of {solution.solution} is to be made on {make_on}: {days}.")
    return _as_planned(chosen[0])


def _as_planned(batch: Batch) -> Made:
    parts = {part.name: part.amount for part in batch.parts}
    return Made(batch.solution, of_number(batch.volume_ml), parts, batch.make_on)


def volume_of(shelf: Shelf, solution: Solution, volume: Quantity) -> Made:
    """Return any volume of a solution as its parts say it is made.

    Raises:
        RefusedError: It has no parts, or they cannot be worked out for that volume.
    """
    name = fold(solution.solution)
    ingredients = ingredients_of(shelf.goods.parts.get(name, ()), shelf.materials)
    if not ingredients:
        what = f"{solution.solution} has no parts in solution_parts, so what it takes is not known."
        raise RefusedError(f"{what} Receive it as a lot instead.")
    try:
        amounts = amounts_for(ingredients, volume.number, solution.density)
    except NoRouteError as error:
        raise RefusedError(f"{solution.solution} cannot be worked out: {error}.") from error
    names = [fold(ingredient.material.name) for ingredient in ingredients]
    return Made(solution, volume, dict(zip(names, amounts, strict=True)))


def made(shelf: Shelf, batch: Made, really: Mapping[str, Decimal], bottle: NewBottle) -> Booking:
    """Return the making of a batch: its parts used, the solution as a new lot.

    Args:
        shelf: The lots.
        batch: What is made.
        really: What really went in of a part, by folded name, where that is not as planned.
        bottle: The real day, from which on the lot keeps, its label and its place.

    Raises:
        RefusedError: A part is not on the shelf, the label is taken, or `really` names no part; a
            sentence for each.
    """
    reasons = [
        f"{shelf.materials[name].name} is not a part of {batch.solution.solution}."
        for name in really
        if name not in batch.parts
    ]
    if bottle.label is not None and fold(bottle.label) in shelf.lots:
        reasons.append(f"There is a lot {bottle.label} already. Give this one another label.")
    movements: list[Movement] = []
    for name, planned in batch.parts.items():
        part = of_billionths(in_billionths(really.get(name, planned)))
        taken, missing = _part_taken(shelf, name, part, bottle.day)
        movements += [taken_from(held, of_number(number)) for held, number in taken]
        if missing > 0:
            reasons.append(_is_missing(shelf.materials[name], missing))
    if reasons:
        raise RefusedError(*reasons)
    lot = new_lot(shelf, _lot_of(shelf, batch, bottle))
    (filled,) = lot.movements
    return Booking(
        movements=(*movements, filled),
        new_lots=lot.new_lots,
        reason=f"{batch.solution.solution}, lot {filled.lot}",
    )


def _lot_of(shelf: Shelf, batch: Made, bottle: NewBottle) -> Coming:
    name = fold(batch.solution.solution)
    material = shelf.materials[name]
    printed, planned_for = shelf.stores.reserved, batch.make_on or bottle.day
    return Coming(
        material=material,
        amount=batch.volume,
        day=bottle.day,
        what=What.MADE,
        label=bottle.label or printed.of_batch(name, planned_for, bottle.day, shelf.lots),
        expiry=keeps_until(shelf, material, bottle.day),
        place=bottle.place or batch.solution.storage,
    )


def _part_taken(
    shelf: Shelf, name: str, wanted: Decimal, day: date
) -> tuple[Iterable[tuple[Holding, Decimal]], Decimal]:
    """Return what is taken of a part from which lot, and what is missing.

    What is made on site, such as water, is there without a lot.
    """
    taken, missing = first_to_expire(shelf.lots_of(name), wanted, day)
    item = shelf.goods.items.get(name)
    is_made_on_site = item is not None and item.supply is Supply.MADE_ON_SITE
    return taken, ZERO if is_made_on_site else missing


def _is_missing(material: Material, missing: Decimal) -> str:
    what = f"{material.name}: {in_words(missing, material)} are not on the shelf."
    if material.is_solution:
        return f"{what} Make it first: prepstore stock make {quoted(material.name)}"
    return f"{what} Receive or count it first, or say what really went in with --used."
