"""What the lots are worth, one by one, by item, by storage class and by place."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from prepstore.amounts import ZERO, Kind
from prepstore.cell_types import fold
from prepstore.shelf.prices import Cost, sum_of
from prepstore.shelf.spending import in_groups


class Grouping(StrEnum):
    """What lots are put together by."""

    ITEM = "item"
    STORAGE = "storage"
    PLACE = "place"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worth:
    """What a lot is worth: `amount` in its unit, and the price of one of that unit.

    `storage` and `place` are blank where none is given.
    """

    label: str
    item: str
    storage: str
    place: str
    amount: Decimal
    unit: Kind
    price: Cost

    @property
    def value(self) -> Cost:
        """Return what all of it is worth, in whole cents, so that lists of it add up."""
        return self.price.times(Fraction(self.amount)).in_cents()

    def group(self, by: Grouping) -> str:
        """Return the name of the group that it is in."""
        return {
            Grouping.ITEM: self.item,
            Grouping.STORAGE: self.storage,
            Grouping.PLACE: self.place,
        }[by]


@dataclass(frozen=True, slots=True)
class Group:
    """Lots that are put together; what is empty is not among them.

    `value` is that of the lots whose price is known.
    """

    name: str
    lots: tuple[Worth, ...]
    value: Cost

    @property
    def amount(self) -> tuple[Decimal, Kind] | None:
        """Return what lots of one item hold, and its unit; None of several items."""
        if len({fold(lot.item) for lot in self.lots}) != 1:
            return None
        return sum((lot.amount for lot in self.lots), ZERO), self.lots[0].unit

    @property
    def unpriced(self) -> int:
        """Return of how many lots no price is known; they are not in the value."""
        return sum(bool(lot.price.lacking) for lot in self.lots)


def grouped(lots: Iterable[Worth], by: Grouping) -> list[Group]:
    """Return lots that hold something in groups, by name; those without a name come last."""
    held = [lot for lot in lots if lot.amount]
    groups = in_groups(held, lambda lot: fold(lot.group(by)))
    in_order = sorted(groups.items(), key=lambda pair: (not pair[0], pair[0]))
    return [together(of_one, of_one[0].group(by)) for _, of_one in in_order]


def together(lots: Iterable[Worth], name: str = "") -> Group:
    """Return all lots that hold something as one group."""
    held: Sequence[Worth] = [lot for lot in lots if lot.amount]
    return Group(name, tuple(held), sum_of(lot.value for lot in held))
