"""Lots that do not count, in words."""

from collections.abc import Iterable

from prepstore.planning.not_counted import NotCounted
from prepstore.report.wording import amount_in_words, far_day_in_words


def not_counted_in_words(one: NotCounted) -> str:
    """Return a lot with what is in it, why it does not count, and since when."""
    held = one.holding
    amount = amount_in_words(held.amount, held.unit)
    last = f", last day {far_day_in_words(one.last_day)}" if one.last_day else ""
    return f"{held.label}, {amount}: {one.why}{last}"


def beside_in_words(lots: Iterable[NotCounted]) -> str:
    """Return what a shortage rests on: lots that are there and do not count; blank without any."""
    words = "; ".join(not_counted_in_words(one) for one in lots)
    return f"not counted: {words}" if words else ""
