"""What is used from a lot, or of an item from the lots that expire first; and what comes back."""

from datetime import date

from prepstore.chemistry.conversions import Material
from prepstore.movements import Movement, What
from prepstore.problems import RefusedError
from prepstore.shelf.asked import Quantity, in_words, of_number
from prepstore.shelf.shelf import Shelf, Taken, first_to_expire
from prepstore.stores import Holding


def used_of_lot(held: Holding, wanted: Quantity) -> Movement:
    """Return what is used of a lot, whatever its date and state: it was taken.

    Raises:
        RefusedError: The lot holds less.
    """
    if wanted.number > held.amount:
        raise RefusedError(holds_less(held, wanted))
    return taken_from(held, wanted)


def taken_from(held: Holding, wanted: Quantity, what: What = What.USED) -> Movement:
    """Return an amount of a lot leaving it."""
    return Movement(
        lot=held.label,
        what=what,
        billionths=-wanted.billionths,
        unit=held.unit,
        written=wanted.written,
    )


def holds_less(held: Holding, wanted: Quantity) -> str:
    """Return the sentence for a lot that holds less than is taken from it."""
    asked = wanted.written or in_words(wanted.number, held.material)
    return (
        f"Lot {held.label} of {held.material.name} holds {in_words(held.amount, held.material)}, "
        f"less than {asked}. If there is more on the shelf, count it first: "
        f'prepstore stock count {quoted(held.label)} "AMOUNT"'
    )


def quoted(word: str) -> str:
    """Return a word as it is typed on a command line: in quotes where it has spaces."""
    return f'"{word}"' if set(word) & set(" ;,()&'") else word


def used_of_item(
    shelf: Shelf, material: Material, wanted: Quantity, day: date
) -> tuple[Movement, ...]:
    """Return what is used of an item from its lots, the first to expire on the day first.

    Raises:
        RefusedError: The lots that may be used on the day hold less; says what there is.
    """
    taken, missing = first_to_expire(shelf.lots_of(material.name), wanted.number, day)
    if missing > 0:
        there = in_words(wanted.number - missing, material)
        what = f"Only {there} of {material.name} may be used on {day}, less than {wanted.written}."
        raise RefusedError(" ".join([what, *_others(shelf, material, day)]))
    return movements_of(taken, wanted)


def movements_of(taken: Taken, wanted: Quantity) -> tuple[Movement, ...]:
    """Return a movement a lot; the amount as typed stands with it where one lot gives it all."""
    alone = len(taken) == 1
    return tuple(
        taken_from(held, Quantity(number, wanted.written) if alone else of_number(number))
        for held, number in taken
    )


def _others(shelf: Shelf, material: Material, day: date) -> list[str]:
    """Return sentences on what there is beside, and what to do."""
    kept_back = [
        f"{held.label} {in_words(held.amount, material)} ({why_not(held, day)})"
        for held in shelf.lots_of(material.name)
        if held.amount > 0 and not held.is_to_be_used(day)
    ]
    beside = [f"Other lots: {', '.join(kept_back)}."] if kept_back else []
    remedy = "Name the lot if it was taken anyway, count the shelf, or receive what came."
    return [*beside, remedy]


def why_not(held: Holding, day: date) -> str:
    """Return why a lot may not be used on a day."""
    return f"out of date on {day}" if held.is_usable else str(held.lot.state)
