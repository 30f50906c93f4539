"""What a unit of each lot cost, by what was paid for it and by where it came from."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import groupby

from prepstore.cell_types import fold
from prepstore.movements import Movement, Recorded, What
from prepstore.shelf.prices import Cost, Estimates, Known, not_known, paid, sum_of
from prepstore.shelf.undoing import LABEL

ItemOf = Callable[[Recorded], str]
"""From a movement to what is in its lot, as that is called now."""


@dataclass(frozen=True, slots=True)
class UnitPrices:
    """What a g, mL or piece of a lot cost.

    `by_movement` has the price of the lot that each movement is of, by the movement's number;
    `by_lot` that of the last lot under each label, by folded label.
    """

    by_movement: Mapping[int, Cost]
    by_lot: Mapping[str, Cost]


@dataclass(slots=True, eq=False)
class _Lot:
    """A lot from its beginning on; the same label may be that of another lot later.

    `parts` are the lots that it came from, and how much of each there is in one of its own unit.
    `came` is what came in, in billionths, beside what was paid for it: None where that is not
    known, and for what came from `parts`.
    """

    item: str
    parts: Sequence[tuple["_Lot", Fraction]]
    came_from_parts: int = 0
    came: list[tuple[int, str | None]] = field(default_factory=list)
    price: Cost = field(default_factory=Cost)


def unit_prices(history: Iterable[Recorded], item_of: ItemOf, estimates: Estimates) -> UnitPrices:
    """Return what a unit of each lot cost.

    Args:
        history: The movements that count (see `movements.standing`), in the order of recording.
        item_of: What is in the lot of a movement.
        estimates: What things cost where nobody has recorded a price.
    """
    of_movement: dict[int, _Lot] = {}
    under: dict[str, _Lot] = {}
    in_order: list[_Lot] = []
    for _, group in groupby(history, key=lambda one: one.entry):
        entry = list(group)
        for one in entry:
            label = fold(one.movement.lot)
            if one.movement.item is not None or label not in under:
                under[label] = _begun(one, item_of(one), _parts(one.movement, entry, under))
                in_order.append(under[label])
            of_movement[one.number] = under[label]
            _note_what_came(under[label], one.movement)
    # A lot comes only from lots that began before it.
    for lot in in_order:
        lot.price = _price(lot, estimates)
    return UnitPrices(
        {number: lot.price for number, lot in of_movement.items()},
        {label: lot.price for label, lot in under.items()},
    )


def _begun(one: Recorded, item: str, parts: Sequence[tuple[_Lot, Fraction]]) -> _Lot:
    return _Lot(item, parts, one.movement.billionths if parts else 0)


def _parts(
    movement: Movement, entry: Sequence[Recorded], under: Mapping[str, _Lot]
) -> Sequence[tuple[_Lot, Fraction]]:
    """Return the lots that a new one comes from, and how much of each is in one of its unit."""
    change = movement.change
    if movement.item is None:
        return ()
    if change is not None and change.column == LABEL:
        return _whole(under.get(fold(change.was)))
    if movement.what is What.OPENED:
        return _whole(*(under.get(lot) for lot in _lots(entry, What.OPENED)))
    if movement.what is What.MADE and movement.billionths:
        return [
            (under[fold(one.movement.lot)], Fraction(-one.movement.billionths, movement.billionths))
            for one in entry
            if one.movement.what is What.USED and fold(one.movement.lot) in under
        ]
    return ()


def _lots(entry: Sequence[Recorded], what: What) -> list[str]:
    """Return the labels of lots that an entry did something to, those that began with it apart."""
    return [
        fold(one.movement.lot)
        for one in entry
        if one.movement.what is what and one.movement.item is None
    ]


def _whole(*lots: _Lot | None) -> Sequence[tuple[_Lot, Fraction]]:
    return [(lot, Fraction(1)) for lot in lots if lot is not None]


def _note_what_came(lot: _Lot, movement: Movement) -> None:
    if movement.what in (What.RECEIVED, What.OPENING_AMOUNT) and movement.billionths:
        lot.came.append((movement.billionths, movement.paid))


def _price(lot: _Lot, estimates: Estimates) -> Cost:
    """Return what a unit of a lot cost, on average of all that came into it.

    What came without a price is taken to have cost what the rest did, and is estimated so.
    """
    from_parts = sum_of(part.price.times(share) for part, share in lot.parts)
    came = [(amount, _of_receipt(amount, money)) for amount, money in lot.came]
    if lot.parts:
        came.insert(0, (lot.came_from_parts, None if from_parts.lacking else from_parts))
    priced = [(amount, price) for amount, price in came if price is not None]
    if not priced:
        lacking = from_parts.lacking
        return not_known(*lacking) if lacking else estimates.of(lot.item)
    known = sum(amount for amount, _ in priced)
    if not known:  # an empty lot under a new label
        return priced[0][1]
    mean = sum_of(price.times(Fraction(amount, known)) for amount, price in priced)
    return _partly_estimated(mean, Fraction(known, sum(amount for amount, _ in came)))


def _of_receipt(billionths: int, money: str | None) -> Cost | None:
    return None if money is None else paid(Fraction(money) / Fraction(billionths, 10**9))


def _partly_estimated(price: Cost, share: Fraction) -> Cost:
    """Return a price of which only a share of what it is of is known to have cost it."""
    if share == 1:
        return price
    known = price.paid * share
    return Cost(known, price.total - known, price.ways | {Known.ESTIMATED}, price.lacking)
