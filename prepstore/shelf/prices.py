"""Money and how it is known, and what a unit of something costs by the packs that are sold."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Context, Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Final

from prepstore.cell_types import Supply, fold
from prepstore.chemistry.conversions import NoRouteError
from prepstore.chemistry.materials import ingredients_of
from prepstore.chemistry.solutions import amounts_for
from prepstore.facts import Solution
from prepstore.planning.orders import Offer
from prepstore.planning.supplies import packs_sold
from prepstore.shelf.shelf import Shelf

_CENTS: Final = 100
_WIDE: Final = Context(prec=60)
"""Room for every digit of a sum of prices."""


class Known(StrEnum):
    """How it is known what something costs."""

    PAID = "paid"
    ESTIMATED = "estimated"
    MADE_ON_SITE = "made on site"
    NOT_KNOWN = "not known"


_GRAVEST_FIRST: Final = (Known.NOT_KNOWN, Known.ESTIMATED, Known.PAID, Known.MADE_ON_SITE)


@dataclass(frozen=True, slots=True)
class Cost:
    """Money in the currency of the prices, exact: what of it was paid, and what is estimated.

    `ways` are all ways in which its parts are known; `lacking` names what has no price, of which
    nothing is counted.
    """

    paid: Fraction = Fraction(0)
    estimated: Fraction = Fraction(0)
    ways: frozenset[Known] = frozenset()
    lacking: frozenset[str] = frozenset()

    @property
    def total(self) -> Fraction:
        """Return all that is counted."""
        return self.paid + self.estimated

    @property
    def known(self) -> Known:
        """Return the gravest way in which a part of it is known; paid where there is no part."""
        return next((way for way in _GRAVEST_FIRST if way in self.ways), Known.PAID)

    def __add__(self, other: "Cost") -> "Cost":
        """Return both together."""
        return Cost(
            self.paid + other.paid,
            self.estimated + other.estimated,
            self.ways | other.ways,
            self.lacking | other.lacking,
        )

    def times(self, number: Fraction) -> "Cost":
        """Return so many times the cost."""
        return Cost(self.paid * number, self.estimated * number, self.ways, self.lacking)

    def in_cents(self) -> "Cost":
        """Return it in whole cents; the total is the nearest one, half a cent away from nothing."""
        paid = Fraction(cents(self.paid))
        return Cost(paid, Fraction(cents(self.total)) - paid, self.ways, self.lacking)


def paid(money: Fraction) -> Cost:
    """Return what was paid."""
    return Cost(paid=money, ways=frozenset({Known.PAID}))


def estimated(money: Fraction) -> Cost:
    """Return what is estimated."""
    return Cost(estimated=money, ways=frozenset({Known.ESTIMATED}))


def not_known(*names: str) -> Cost:
    """Return the cost of what has no price."""
    return Cost(ways=frozenset({Known.NOT_KNOWN}), lacking=frozenset(names))


MADE_ON_SITE: Final = Cost(ways=frozenset({Known.MADE_ON_SITE}))
"""What is made on site is not bought, and so costs the stores nothing."""


def sum_of(costs: Iterable[Cost]) -> Cost:
    """Return all of some costs together."""
    return sum(costs, Cost())


def cents(money: Fraction) -> Decimal:
    """Return money rounded to a hundredth, half of one away from nothing.

    >>> cents(Fraction(1, 3)), cents(Fraction(-1, 8))
    (Decimal('0.33'), Decimal('-0.13'))
    """
    whole = int(abs(money) * _CENTS + Fraction(1, 2))
    return Decimal(whole if money >= 0 else -whole).scaleb(-2, context=_WIDE)


def in_digits(money: Fraction) -> Decimal:
    """Return money as a number: exact where it was typed, as prices are, or is in cents.

    >>> in_digits(Fraction("7.125"))
    Decimal('7.125')
    """
    return _WIDE.divide(Decimal(money.numerator), Decimal(money.denominator))


def prices_of_units(packs: Mapping[str, Iterable[Offer]]) -> dict[str, Fraction]:
    """Return the least price of a g, mL or piece in any pack that is sold, by folded item."""
    return {
        name: min(Fraction(pack.price) / Fraction(pack.size) for pack in of_item)
        for name, of_item in packs.items()
    }


class Estimates:
    """What a unit of an item or solution costs where nobody has recorded what was paid.

    That is the price of its cheapest pack a unit; of a solution, what its parts cost so. What is
    made on site costs nothing.

    Args:
        shelf: What is known of items, solutions and packs.
        day: On which packs are sold; what is retired by then is not.
    """

    def __init__(self, shelf: Shelf, day: date) -> None:
        self._shelf = shelf
        self._prices = prices_of_units(packs_sold(shelf.goods, day))
        self._found: dict[str, Cost] = {}

    def of(self, name: str) -> Cost:
        """Return what one g, mL or piece costs."""
        key = fold(name)
        if key not in self._found:
            self._found[key] = self._worked_out(key, name)
        return self._found[key]

    def is_bought(self, name: str) -> bool:
        """Return whether it comes from a supplier, so that to receive it is to spend money."""
        item = self._shelf.goods.items.get(fold(name))
        return item is not None and item.supply is Supply.BOUGHT

    def _worked_out(self, key: str, name: str) -> Cost:
        item = self._shelf.goods.items.get(key)
        solution = self._shelf.goods.solutions.get(key)
        if item is not None and item.supply is Supply.MADE_ON_SITE:
            return MADE_ON_SITE
        if key in self._prices:
            return estimated(self._prices[key])
        return not_known(name) if solution is None else self._of_parts(key, solution)

    def _of_parts(self, key: str, solution: Solution) -> Cost:
        """Return what the parts of a millilitre cost."""
        litre = Decimal(1000)
        parts = ingredients_of(self._shelf.goods.parts.get(key, ()), self._shelf.materials)
        if not parts:
            return not_known(solution.solution)
        try:
            amounts = amounts_for(parts, litre, solution.density)
        except NoRouteError:
            return not_known(solution.solution)
        costs = sum_of(
            self.of(part.material.name).times(Fraction(amount) / Fraction(litre))
            for part, amount in zip(parts, amounts, strict=True)
        )
        return not_known(*costs.lacking) if costs.lacking else costs
