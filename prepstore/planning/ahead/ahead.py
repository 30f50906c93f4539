"""The term ahead: how everything stands from week to week, and what to order in which."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from prepstore.planning.ahead.balances import ItemAhead, items_ahead
from prepstore.planning.ahead.make_or_buy import MakeOrBuy, make_or_buy
from prepstore.planning.ahead.slow_movers import SlowMover, slow_movers
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
    slow_movers: tuple[SlowMover, ...] = ()

    def label(self, name: str) -> str:
        """Return the spelling of a folded item or solution name."""
        return self.term.plans[0].label(name)


def ahead_of(
    opening: Stores,
    plans: Sequence[Plan],
    settings: Settings,
    asked_from: Period,
    last_moved: Mapping[str, date] = MappingProxyType({}),
) -> Ahead:
    """Return the term of weekly plans that follow one another.

    Args:
        opening: The stores as of today.
        plans: Of `term.term_of`.
        settings: The department's.
        asked_from: The first week that was asked for.
        last_moved: The day on which each lot was last used, or else came, by folded label.
    """
    term = Term(opening, tuple(plans))
    items = items_ahead(term)
    return Ahead(
        term,
        asked_from,
        settings,
        items,
        order_ahead(term, items, LONGEST_SECONDS),
        tuple(make_or_buy(term)),
        tuple(slow_movers(term, last_moved)),
    )
