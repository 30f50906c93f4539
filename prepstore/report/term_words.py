"""A term ahead in words: what to order now and why, what runs out, what is cheaper to buy."""

from collections.abc import Iterator
from pathlib import Path

from prepstore.amounts import ZERO
from prepstore.planning.ahead.ahead import Ahead
from prepstore.planning.ahead.balances import ItemAhead
from prepstore.planning.ahead.keeping import TermRow
from prepstore.planning.ahead.make_or_buy import MakeOrBuy
from prepstore.planning.ahead.term_orders import SupplierWeek
from prepstore.planning.calendar import Period
from prepstore.report.screen import wrapped
from prepstore.report.wording import (
    amount_in_words,
    day_in_words,
    far_day_in_words,
    money_in_words,
)


def week_name(week: Period) -> str:
    """Return a week as ISO 8601 writes it."""
    year, number, _ = week.first.isocalendar()
    return f"{year}-W{number:02}"


def term_in_words(ahead: Ahead) -> str:
    """Return which weeks a term has."""
    first, last = ahead.term.weeks[0], ahead.term.weeks[-1]
    return f"{week_name(first)} to {week_name(last)}"


def term_summary(ahead: Ahead, workbook: Path | None) -> Iterator[str]:
    """Yield what to order in which week, what runs out first, and what is dearer to make."""
    today = far_day_in_words(ahead.term.days.today)
    yield from wrapped(f"{term_in_words(ahead)}, planned on {today}")
    for heading, lines in (
        ("Orders", order_lines(ahead)),
        ("Runs short", short_lines(ahead)),
        ("Look at", remarks(ahead)),
    ):
        yield ""
        yield heading
        found = False
        for line in lines:
            found = True
            yield from wrapped(line, first="  ", further="      ")
        if not found:
            yield "  nothing"
    yield ""
    yield from wrapped(cost_in_words(ahead))
    yield from wrapped("A plan, not a risk assessment: safety data sheets and local codes first.")
    if workbook is not None:
        yield from wrapped(f"Workbook: {workbook}")


def order_lines(ahead: Ahead) -> Iterator[str]:
    """Yield a line an order: in which week, on which day, from whom, and what it comes to."""
    for order in ahead.orders.by_supplier_and_week():
        yield f"{order_in_words(ahead, order)}: {'; '.join(row_in_words(r) for r in order.rows)}"


def order_in_words(ahead: Ahead, order: SupplierWeek) -> str:
    """Return in which week and by which day an order is sent, and what it comes to."""
    currency = ahead.settings.currency
    week = week_name(ahead.term.weeks[order.week])
    total = money_in_words(order.goods + order.charge, currency)
    delivery = " with delivery" if order.charge else ""
    day = day_in_words(order.rows[0].chance.placed)
    return f"{week}, {day}, {order.supplier.supplier}, {total}{delivery}"


def row_in_words(row: TermRow) -> str:
    """Return a row of an order: how many packs of what."""
    pack = row.chance.offer.pack
    return f"{row.packs} x {pack.pack} {row.chance.item.material.name} {pack.size}"


def short_lines(ahead: Ahead) -> Iterator[str]:
    """Yield each item that runs short, the soonest first: when, and by when to order."""
    short = [item for item in ahead.items if item.first_short is not None]
    for item in sorted(short, key=lambda one: (one.first_short or 0, one.name)):
        yield short_in_words(ahead, item)


def short_in_words(ahead: Ahead, item: ItemAhead) -> str:
    """Return in which week an item runs short, how much it lacks in all, and by when to order."""
    week = week_name(ahead.term.weeks[item.first_short or 0])
    lacking = sum((one.unserved for one in item.unserved), ZERO)
    amount = amount_in_words(lacking, item.material.unit)
    if item.order_by is None:
        is_bought = ahead.term.plans[0].catalogue.is_bought(item.name)
        why = "nobody sells it" if is_bought else "more than can be made on site in a day"
        return f"{item.material.name}: in {week}, {amount} in all; {why}"
    late = ", which is past" if item.order_by < ahead.term.days.today else ""
    by = far_day_in_words(item.order_by)
    return f"{item.material.name}: in {week}, {amount} in all; last day to order {by}{late}"


def remarks(ahead: Ahead) -> Iterator[str]:
    """Yield what the orders leave out or go beyond, and what is cheaper to buy than to make."""
    yield from _behind(ahead)
    yield from _beyond(ahead)
    yield from _of_budget(ahead)
    if ahead.slow_movers:
        yield slow_in_words(ahead)
    for one in ahead.solutions:
        yield make_or_buy_in_words(ahead, one)


def _behind(ahead: Ahead) -> Iterator[str]:
    behind = ahead.term.plans[0].behind
    if behind:
        last = behind[-1].session.date
        yield (
            f"sessions that are over and not booked out: {len(behind)}. What they took counts as "
            f"still there; prepstore stock use --until {last} books them as planned"
        )


def _beyond(ahead: Ahead) -> Iterator[str]:
    """Yield what the orders leave out, and the limits that needs go beyond."""
    for name in ahead.orders.dropped:
        yield f"{ahead.label(name)}: the restock cannot come by the last day, and is not ordered"
    for name in ahead.orders.out_of_date:
        yield (
            f"{ahead.label(name)}: some of it would be out of date when it is used, whenever it is "
            "ordered; that is not ordered"
        )
    for limit in ahead.orders.exceeded:
        held = amount_in_words(limit.held, limit.most.kind)
        most = amount_in_words(limit.most.amount, limit.most.kind)
        yield (
            f"{limit.most.name}: {held} would be there on {day_in_words(limit.day)}, more than the "
            f"{most} that may be; sessions need it"
        )


def _of_budget(ahead: Ahead) -> Iterator[str]:
    budget, currency = ahead.settings.budget, ahead.settings.currency
    if budget is not None:
        left = round(budget - ahead.orders.total, 2)
        of = f"the budget of {money_in_words(budget, currency)}"
        if left < 0:
            yield f"the orders are {money_in_words(-left, currency)} above {of}"
        else:
            yield f"{money_in_words(left, currency)} are left of {of}"


def slow_in_words(ahead: Ahead) -> str:
    """Return how many lots nobody has used for long, and what they are worth."""
    value = sum((one.value or ZERO for one in ahead.slow_movers), ZERO)
    worth = money_in_words(round(value, 2), ahead.settings.currency)
    return (
        f"{len(ahead.slow_movers)} lots worth {worth} are used by no session of the term, nor in "
        f"the last {ahead.settings.slow_mover} days: see the sheet Slow movers"
    )


def make_or_buy_in_words(ahead: Ahead, one: MakeOrBuy) -> str:
    """Return what a solution costs made and bought."""
    currency = ahead.settings.currency
    make = "something of it is not sold" if one.make is None else money_in_words(one.make, currency)
    buy = "not sold" if one.buy is None else money_in_words(one.buy, currency)
    work = f" and work {money_in_words(round(one.time, 2), currency)}" if one.time else ""
    cheaper, made = "", one.made_in_all
    if made is not None and one.buy is not None and made != one.buy:
        cheaper = f"; {'making' if made < one.buy else 'buying'} it is cheaper"
    return f"{ahead.label(one.name)}: parts {make}{work}, bought {buy}, with delivery{cheaper}"


def cost_in_words(ahead: Ahead) -> str:
    """Return what all orders cost, and whether any could cost less."""
    orders, currency = ahead.orders, ahead.settings.currency
    parts = [f"goods {money_in_words(orders.goods, currency)}"]
    parts.append(f"delivery {money_in_words(orders.charges, currency)}")
    if orders.keeping:
        parts.append(f"keeping {money_in_words(round(orders.keeping, 2), currency)}")
    proof = (
        "no other orders cost less"
        if orders.is_proven
        else f"no orders cost less than {money_in_words(round(orders.bound, 2), currency)}"
    )
    total = money_in_words(round(orders.total, 2), currency)
    return f"All orders come to {total} ({', '.join(parts)}); {proof}."
