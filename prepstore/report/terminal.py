"""A Plan on the screen."""

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import chain
from pathlib import Path

from prepstore.amounts import ZERO, Kind
from prepstore.cell_types import Ordering
from prepstore.planning.batches import Batch
from prepstore.planning.not_counted import not_counted
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.planning.states import Lack, SessionPlan, State
from prepstore.planning.tasks import SupplierOrder, tasks_of
from prepstore.planning.waste import StreamPlan
from prepstore.report.collection_words import call_in_words
from prepstore.report.not_counted_words import beside_in_words
from prepstore.report.option_words import options_in_words
from prepstore.report.order_words import order_in_short
from prepstore.report.screen import wrapped
from prepstore.report.warning_sentences import warning_in_words
from prepstore.report.wording import (
    amount_in_words,
    day_in_words,
    far_day_in_words,
    lack_in_words,
    money_in_words,
    percent_in_words,
    period_in_words,
)

_STATE_WORDS = {
    State.LATE: "late",
    State.ORDER: "waiting for orders",
    State.MAKE_UP: "with solutions to make",
    State.COVERED: "covered",
    State.DONE: "done",
}


def plan_summary(plan: Plan, workbook: Path | None) -> Iterator[str]:
    """Yield what is late, to order, to make up, the waste, and where the workbook is."""
    yield from wrapped(f"{period_in_words(plan.period)}, planned on {day_in_words(plan.today)}")
    yield from wrapped(_sessions_in_words(plan))
    for heading, lines in (
        ("Late", _late(plan)),
        ("Order by", chain(_orders(plan), _budget_left(plan))),
        ("Make up", (_batch(batch) for batch in plan.batches)),
        ("Waste to allow for", chain(map(_stream, plan.waste.streams), _calls(plan))),
        ("Look at", (f"{one.about}: {warning_in_words(one)}" for one in plan.warnings)),
    ):
        yield ""
        yield heading
        yield from _section(lines)
    yield ""
    yield from wrapped("A plan, not a risk assessment: safety data sheets and local codes first.")
    if workbook is not None:
        yield from wrapped(f"Workbook: {workbook}")


def _section(lines: Iterable[str]) -> Iterator[str]:
    found = False
    for line in lines:
        found = True
        yield from wrapped(line, first="  ", further="      ")
    if not found:
        yield "  nothing"


def _sessions_in_words(plan: Plan) -> str:
    counts = {
        state: sum(session.state is state for session in plan.sessions) for state in _STATE_WORDS
    }
    words = [f"{count} {_STATE_WORDS[state]}" for state, count in counts.items() if count]
    total = len(plan.sessions)
    return f"{total} session{'s' if total != 1 else ''}" + (
        f": {', '.join(words)}" if words else ""
    )


def _late(plan: Plan) -> Iterator[str]:
    for session in plan.sessions:
        if session.state is State.LATE:
            yield _late_session(plan, session)


def _late_session(plan: Plan, planned: SessionPlan) -> str:
    session = planned.work.session
    lacks = "; ".join(
        f"{plan.label(lack.name)} {amount_in_words(lack.amount, plan.materials[lack.name].unit)} "
        f"short, {'; '.join(filter(None, (lack_in_words(lack), _beside(plan, lack))))}"
        for lack in planned.lacks
        if lack.is_late and not lack.is_only_spare
    )
    options = "; ".join(options_in_words(plan, planned))
    can_be_done = f". What can be done: {options}" if options else ""
    day = day_in_words(session.date)
    return f"{session.session} ({session.practical}, {day}): {lacks}{can_be_done}"


def _beside(plan: Plan, lack: Lack) -> str:
    return beside_in_words(not_counted(plan, lack.name))


def _orders(plan: Plan) -> Iterator[str]:
    """Yield a line an order day and supplier: late rows first, restocks last."""
    if plan.ordering.mode is Ordering.JOINTLY:
        yield from _orders_to_send(plan)
        return
    together: dict[tuple[bool, date | None, str], list[OrderRow]] = {}
    for order in plan.orders:
        group = (order.is_late, order.order_by, order.offer.supplier.supplier)
        together.setdefault(group, []).append(order)
    for (is_late, order_by, supplier), rows in together.items():
        day = day_in_words(order_by) if order_by else "restock"
        total = money_in_words(
            sum((row.cost for row in rows), ZERO), plan.catalogue.settings.currency
        )
        packs = "; ".join(_packs(plan, row) for row in rows)
        yield f"{'LATE, was ' if is_late else ''}{day:<10} {supplier}, {total}: {packs}"


def _budget_left(plan: Plan) -> Iterator[str]:
    budget, currency = plan.catalogue.settings.budget, plan.catalogue.settings.currency
    left = None if budget is None else budget - plan.ordering.total
    if budget is not None and left is not None and left >= 0:
        of = money_in_words(budget, currency)
        yield f"{money_in_words(left, currency)} are left of the budget of {of}"


def _orders_to_send(plan: Plan) -> Iterator[str]:
    """Yield a line an order, as it is sent: by when, how many lines, and what it comes to."""
    currency = plan.catalogue.settings.currency
    orders = [task.of for task in tasks_of(plan) if isinstance(task.of, SupplierOrder)]
    for order in orders:
        by = f"by {day_in_words(order.send_by)}" if order.send_by else "with the next order"
        packs = "; ".join(_packs(plan, row) for row in order.rows)
        late = "LATE, " if order.is_late else ""
        short = order_in_short(order, currency)
        yield f"{late}send to {order.supplier.supplier} {by}: {short}: {packs}"


def _packs(plan: Plan, order: OrderRow) -> str:
    pack = order.offer.pack
    words = f"{order.packs} x {pack.pack} {plan.label(order.name)} {pack.size}"
    if order.is_late:
        stops = ", ".join(work.session.session for work in order.stops)
        words += f", arrives {day_in_words(order.arrives)}"
        words += f", stops {stops}" if stops else ""
    if order.not_before is not None:
        words += f", not before {day_in_words(order.not_before)}"
    return words + (" (only spare is short)" if order.is_for_spare else "")


def _batch(batch: Batch) -> str:
    makings = f" in {batch.makings} makings" if batch.makings > 1 else ""
    keeps = f", use by {far_day_in_words(batch.use_by)}" if batch.use_by else ""
    return (
        f"{day_in_words(batch.day_of_making):<10} {amount_in_words(batch.volume_ml, Kind.VOLUME)}"
        f" {batch.solution.solution}{makings}{keeps}"
    )


def _stream(stream: StreamPlan) -> str:
    total = stream.total
    words = f"{stream.name}: {amount_in_words(total.allow_for, stream.kind)}"
    if total.expected != total.allow_for:
        words += f" (expected {amount_in_words(total.expected, stream.kind)})"
    if stream.stream is None:
        return f"{words}; no script says where it ends"
    if stream.containers:
        plural = "s" if stream.containers > 1 else ""
        words += f"; {stream.containers} container{plural}"
    if stream.full_on:
        words += f", full on {', '.join(day_in_words(day) for day in stream.full_on)}"
    return words


def _calls(plan: Plan) -> Iterator[str]:
    for call in plan.collections:
        yield call_in_words(call, plan.today)


def waste_table(plan: Plan) -> Iterator[str]:
    """Yield each stream with its days, then what is kept, goes into the air or down the drain."""
    yield from wrapped(f"Waste of {period_in_words(plan.period)}")
    for stream in plan.waste.streams:
        yield ""
        yield from wrapped(_stream(stream), further="  ")
        yield from _container(stream)
        for day, ended in stream.by_day.items():
            expected = amount_in_words(ended.expected, stream.kind)
            allow_for = amount_in_words(ended.allow_for, stream.kind)
            yield f"  {day_in_words(day):<10}  expected {expected:>10}  allow for {allow_for:>10}"
    yield ""
    yield from _other_ends(plan)
    yield from wrapped(
        "Never fill a container beyond its limit, vent it where gas may form, and ask before "
        "mixing: local codes and a competent person come first."
    )


def _container(stream: StreamPlan) -> Iterator[str]:
    if stream.stream is None or stream.filling is None:
        return
    filling = amount_in_words(stream.filling, stream.kind)
    part_full = amount_in_words(stream.part_full, stream.kind)
    limit = percent_in_words(stream.stream.fill_limit)
    yield from wrapped(
        f"  {stream.stream.container} container filled to {limit}, {filling}; "
        f"{part_full} in the open one"
    )


def _other_ends(plan: Plan) -> Iterator[str]:
    for (end, kind), ended in sorted(plan.waste.other_ends.items()):
        yield f"{end}: {amount_in_words(ended.allow_for, kind)}"
