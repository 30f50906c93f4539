"""The term ahead: how everything stands from week to week, and what to order in which."""

from collections.abc import Sequence
from dataclasses import dataclass

from prepstore.planning.ahead.balances import ItemAhead, items_ahead
from prepstore.planning.ahead.make_or_buy import MakeOrBuy, make_or_buy
from prepstore.planning.ahead.term import Term
from prepstore.planning.ahead.term_orders import TermOrders, order_ahead
from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.settings import Settings
from prepstore.stores import Stores

LONGEST_SECONDS = 30.0


@dataclass(frozen=True)
class Ahead:
    """Weeks one after another, items over them, the orders that cost least, and what to make.

    `asked_from` is the first week that was asked for; today's may come before it.
    """

    term: Term
    asked_from: Period
    settings: Settings
    items: tuple[ItemAhead, ...]
    orders: TermOrders
    solutions: tuple[MakeOrBuy, ...]

    def label(self, name: str) -> str:
        """Return the spelling of a folded item or solution name."""
        return self.term.plans[0].label(name)


def ahead_of(
    opening: Stores,
    plans: Sequence[Plan],
    settings: Settings,
    asked_from: Period,
    seconds: float = LONGEST_SECONDS,
) -> Ahead:
    """Return the term of weekly plans that follow one another.

    Args:
        opening: The stores as of today.
        plans: Of `term.term_of`.
        settings: The department's.
        asked_from: The first week that was asked for.
        seconds: The longest to look for a cheaper choice of orders.
    """
    term = Term(opening, tuple(plans))
    items = items_ahead(term)
    orders = order_ahead(term, items, seconds)
    return Ahead(term, asked_from, settings, items, orders, tuple(make_or_buy(term)))
