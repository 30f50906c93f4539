"""Prepare: by day and by the clock, a line a task, with a box to tick and room for initials."""

from collections.abc import Iterator
from functools import singledispatch
from itertools import groupby
from typing import Final

from prepstore.amounts import Kind, plain
from prepstore.cell_types import ItemKind, Ordering, fold
from prepstore.planning.batches import Batch
from prepstore.planning.collection_tasks import CollectionToCall, CollectionToCome
from prepstore.planning.demands import SessionWork
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.planning.states import SessionPlan, State
from prepstore.planning.tasks import (
    Fetched,
    OutOfDate,
    Subject,
    SupplierOrder,
    Task,
    TaskKind,
    TestDue,
    begin_at,
    tasks_of,
)
from prepstore.planning.waste import StreamPlan, streams_in_scripts
from prepstore.report.collection_words import (
    collected_in_words,
    day_of_collection_in_words,
    expected_on_in_words,
)
from prepstore.report.order_words import order_in_short
from prepstore.report.wording import (
    amount_in_words,
    day_in_words,
    far_day_in_words,
    money_in_words,
    practical_amount,
    shares_in_words,
)
from prepstore.report.workbook.page import (
    Block,
    CellForm,
    Look,
    Page,
    SheetColumn,
    SheetRow,
    band,
    note,
)
from prepstore.report.workbook.sources import (
    by_place,
    comes_after,
    is_missing,
    parts_got,
    sessions_in_words,
    times_in_words,
)
from prepstore.safety.peroxides import forms_peroxides
from prepstore.shelf.using import quoted
from prepstore.stores import Delivery, Holding

COLUMNS: Final = (
    SheetColumn("Done", 5.5, CellForm.MIDDLE),
    SheetColumn("By", 7, CellForm.WORD),
    SheetColumn("Task", 16),
    SheetColumn("What", 25.5),
    SheetColumn("How much", 12),
    SheetColumn("For, from, where", 77),
    SheetColumn("Initials", 7, CellForm.WRITE),
)
_HOW_MUCH, _REMARK, _INITIALS = 4, 5, 6
BOX: Final = "☐"

Words = tuple[str, str, str, str]
"""What, how much, the remark, and a word where something is wrong."""


def prepare_page(plan: Plan) -> Page:
    """Return the sheet of tasks."""
    title, found = "Prepare: what to do, day by day", tasks_of(plan)
    return Page(
        "Prepare", title, COLUMNS, _blocks(plan, found), repeats_bands=True, is_blank=not found
    )


def _blocks(plan: Plan, found: list[Task]) -> Iterator[Block]:
    if not found:
        yield (note("Nothing is to be prepared."),)
    commands = "; ".join(_commands(found))
    if commands:
        yield (note(f"What is done is recorded like this: {commands}"),)
    for day, of_day in groupby(found, key=lambda task: task.day):
        words = far_day_in_words(day) if day else "No fixed day: restock with the next order"
        first, *others = of_day
        yield (band(words), _row(plan, first))
        for task in others:
            yield (_row(plan, task),)


def _commands(found: list[Task]) -> Iterator[str]:
    """Yield the commands that record the first task of each kind; others go like them.

    Of making up it stands on `Make up`.
    """
    told: set[TaskKind] = set()
    for task in found:
        command = None if task.kind in told else _command(task)
        if command:
            told.add(task.kind)
            yield f"prepstore {command}"


def _command(task: Task) -> str | None:
    match task.kind, task.of:
        case TaskKind.CALL_COLLECTION, CollectionToCall(call=call):
            stream = quoted(call.stream) if call.stream else "STREAM …"
            return f"waste call {stream} --expected ______"
        case TaskKind.COLLECTION, _:
            return "waste collect"
        case _:
            of_lots = _command_of_lots(task)
            return of_lots and f"stock {of_lots}"


def _command_of_lots(task: Task) -> str | None:
    match task.kind, task.of:
        case TaskKind.TAKE_IN, Delivery(pack=pack):
            return f"receive {quoted(pack)}"
        case TaskKind.TEST, TestDue(holding=held):
            return f'test {quoted(held.label)} --result "______"'
        case TaskKind.DISCARD, OutOfDate(of=Holding(label=label)):
            return f'discard {quoted(label)} --reason "out of date"'
        case TaskKind.CLEAR, SessionPlan(work=work):
            return f"use --session {quoted(work.session.session)}"
        case _:
            return None


def _row(plan: Plan, task: Task) -> SheetRow:
    what, how_much, remark, alert = _words(task.of, plan, task)
    told = "; ".join(filter(None, (alert, remark)))
    look = Look.ALERT if alert else Look.PLAIN
    begun = (BOX, _by(task), str(task.kind), what)
    if not how_much:
        # The remark has that column too.
        return SheetRow((*begun, told), look, runs_from=_HOW_MUCH, then_from=_INITIALS)
    # Nobody puts initials to a session that runs.
    runs_from = _REMARK if task.kind is TaskKind.RUN else None
    return SheetRow((*begun, how_much, told), look, runs_from=runs_from)


def _by(task: Task) -> str:
    """Return by when a task is due: a time, or that the day will do."""
    if task.by is not None:
        return f"{task.by:%H:%M}"
    if task.day is None:
        return ""
    return "in the day" if task.kind is TaskKind.TAKE_IN else "today"


@singledispatch
def _words(of: Subject, _plan: Plan, _task: Task) -> Words:
    raise TypeError(f"There are no words for {of}.")


@_words.register
def _of_order(of: SupplierOrder, plan: Plan, _task: Task) -> Words:
    currency = plan.catalogue.settings.currency
    parts = [f"send by {day_in_words(of.send_by)}" if of.send_by else "with the next order"]
    if plan.ordering.mode is Ordering.JOINTLY:
        parts.append(order_in_short(of, currency))
    elif of.supplier.delivery_charge:
        parts.append(f"delivery {money_in_words(of.supplier.delivery_charge, currency)}")
    least = of.supplier.minimum_order
    if least:
        below = ""
        if of.goods_of_all < least:
            below = ", BELOW IT"
        elif of.goods < least:
            below = f": send all {money_in_words(of.goods_of_all, currency)} together"
        parts.append(f"minimum {money_in_words(least, currency)}{below}")
    parts += [_pack(plan, row) for row in of.rows if row.is_late]
    alert = "LATE" if of.is_late else ""
    return of.supplier.supplier, money_in_words(of.goods, currency), "; ".join(parts), alert


def _pack(plan: Plan, row: OrderRow) -> str:
    """Return a late row; the others stand on `Order` alone."""
    late = ", ".join((f"LATE, comes {day_in_words(row.arrives)}", *comes_after(plan, row)))
    return f"{row.packs} × {row.offer.code} {plan.label(row.name)} {late}"


@_words.register
def _of_collection(of: CollectionToCall, plan: Plan, _task: Task) -> Words:
    stream = plan.catalogue.streams.get(fold(of.call.stream))
    code = f"; list code {stream.list_code}" if stream and stream.list_code else ""
    remark = f"{day_of_collection_in_words(of.call)}{code}"
    alert = f"LATE if not called yet: by {day_in_words(of.call_by)}" if of.is_late else ""
    return collected_in_words(of.call), f"{of.full} full", remark, alert


@_words.register
def _of_collection_to_come(of: CollectionToCome, _plan: Plan, _task: Task) -> Words:
    called = f"called {day_in_words(of.expected.called_on)}"
    on = f"on {expected_on_in_words(of.on, of.expected)}"
    remark = f"{called}, expected {on}: seal and label what is full, hand over its list"
    alert = ""
    if of.is_overdue:
        alert = "NOT RECORDED: did it come? If not, ask when"
    elif of.is_too_late and of.must_come_by is not None:
        alert = f"TOO LATE: it must come by {day_in_words(of.must_come_by)}"
    return " / ".join(of.streams), f"{of.full} full", remark, alert


@_words.register
def _of_delivery(of: Delivery, plan: Plan, _task: Task) -> Words:
    reference = f" {of.order.reference}" if of.order.reference else ""
    amount = amount_in_words(of.amount, plan.materials[of.name].unit)
    remark = f"delivery of {of.pack}{reference}: this plan counts on it"
    return plan.label(of.name), amount, remark, ""


@_words.register
def _of_batch(of: Batch, plan: Plan, _task: Task) -> Words:
    missing = [one.demand.name for one in parts_got(plan, of) if is_missing(plan, one)]
    short = f"SHORT of {', '.join(plan.label(name) for name in missing)}" if missing else ""
    remark = "; ".join((f"for {sessions_in_words(of.sessions)}", *_within(of)))
    return of.solution.solution, amount_in_words(of.volume_ml, Kind.VOLUME), remark, short


def _within(batch: Batch) -> Iterator[str]:
    """Yield within how many hours before its first session a batch is made, where that is said."""
    begins, hours = begin_at(batch), batch.solution.make_within
    if hours is not None:
        start = f", not before {begins:%H:%M}" if begins else ""
        yield f"make it within {plain(hours)} hours before it is used{start}"


@_words.register
def _of_fetched(of: Fetched, plan: Plan, _task: Task) -> Words:
    settings = plan.catalogue.settings
    words = (
        f"{plan.label(name)} "
        f"{practical_amount(amount, plan.materials[name].unit, settings, is_least=True)}"
        for name, amount in of.things
    )
    return of.work.session.session, "", f"made on site: {'; '.join(words)}", ""


@_words.register
def _of_session(of: SessionPlan, plan: Plan, task: Task) -> Words:
    work = of.work
    what = f"{work.session.session}: {work.session.practical}"
    sets = f"{work.scale.sets} sets"
    when = f"{day_in_words(work.session.date)} {times_in_words(work)}".strip()
    room = work.session.room or "no room given"
    match task.kind:
        case TaskKind.SET_OUT:
            alert = "; ".join(("LATE",) * (of.state is State.LATE) + tuple(_short_of(plan, of)))
            return what, sets, f"for {when}, {room}", alert
        case TaskKind.RUN:
            told = ", ".join(filter(None, (times_in_words(work), room, _title(plan, work))))
            return what, f"{work.session.students} students", told, ""
        case TaskKind.CLEAR:
            return what, "", _coming_back(plan, of), ""
        case _:
            return what, "", "", ""


def _title(plan: Plan, work: SessionWork) -> str:
    return plan.catalogue.practicals[fold(work.session.practical)].title


def _short_of(plan: Plan, session: SessionPlan) -> Iterator[str]:
    """Yield the apparatus of which too few are there while a session has some."""
    for one in plan.apparatus:
        holders = one.holders_at_peak if one.short > 0 and one.at is not None else ()
        if any(use.work is session.work for use in holders):
            moment = f"{day_in_words(one.at)} {one.at:%H:%M}" if one.at else ""
            yield f"SHORT of {plain(one.short)} {one.item.item} at {moment}: see Stock"


def _coming_back(plan: Plan, session: SessionPlan) -> str:
    """Return the apparatus that a session had, how many, and where it goes."""
    things = []
    for name, amount in session.work.scale.needs.items():
        item = plan.catalogue.items.get(name)
        if item is not None and item.kind is ItemKind.APPARATUS and item.minutes_per_use is None:
            things.append((item.storage, f"{plain(amount)} {item.item}"))
    return by_place(things) or "no apparatus"


@_words.register
def _of_stream(of: StreamPlan, plan: Plan, task: Task) -> Words:
    code = f"; list code {of.stream.list_code}" if of.stream and of.stream.list_code else ""
    if task.kind is TaskKind.CHANGE_CONTAINER:
        # With a lead set, a collection is a task of its own, on its own day.
        has_task = plan.catalogue.settings.collection_lead is not None
        is_called = of.container is not None and of.container.called is not None
        call_too = "" if has_task or is_called else ", call for its collection"
        remark = f"close and label the full one, open the next{call_too}{code}"
        return of.name, "1 full", remark, ""
    empty = of.container.empty if of.container else None
    remark = f"{empty} empty beside the open one{code}"
    return of.name, f"{of.containers} needed", remark, "SHORT"


@_words.register
def _of_what_is_out_of_date(of: OutOfDate, plan: Plan, _task: Task) -> Words:
    if isinstance(of.of, Batch):
        batch = of.of
        what = batch.solution.solution
        made = day_in_words(batch.day_of_making)
        remark = f"what is left of the batch of {made}; {_by_its_stream(plan, batch.name)}"
        return what, amount_in_words(of.left, Kind.VOLUME), remark, ""
    held = of.of
    last = far_day_in_words(held.last_day) if held.last_day else ""
    place = f" ({held.lot.place})" if held.lot.place else ""
    told = (
        f"lot {held.label}{place}, last day {last}",
        _by_its_stream(plan, fold(held.lot.item)),
        _caution(plan, held),
    )
    remark = "; ".join(filter(None, told))
    return held.material.name, amount_in_words(of.left, held.unit), remark, ""


def _by_its_stream(plan: Plan, name: str) -> str:
    """Return how something is discarded: as its solution says, else as scripts do, if any do."""
    solution = plan.catalogue.solutions.get(name)
    if solution is not None and solution.to:
        return f"to {shares_in_words(solution.to)}"
    streams = " or ".join(streams_in_scripts(name, plan.catalogue))
    return f"by its stream (scripts send it to {streams})" if streams else "by its stream"


@_words.register
def _of_test(of: TestDue, plan: Plan, _task: Task) -> Words:
    held = of.holding
    told = f"for peroxides by {far_day_in_words(of.due)}, or discard it"
    remark = "; ".join(filter(None, (told, _caution(plan, held))))
    place = f" ({held.lot.place})" if held.lot.place else ""
    return f"{held.material.name}, lot {held.label}{place}", "", remark, ""


def _caution(plan: Plan, held: Holding) -> str:
    """Return what to heed before an old container of a peroxide former is touched."""
    item = plan.catalogue.items.get(fold(held.material.name))
    if item is None or not forms_peroxides(item):
        return ""
    return "crystals in it or around its cap: do not open or move it, ask the competent person"
