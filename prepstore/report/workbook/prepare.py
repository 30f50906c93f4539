"""Prepare: by day, a line a task, with a box to tick and room for initials."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Final

from prepstore.amounts import Kind
from prepstore.planning.plan import Plan
from prepstore.planning.states import State
from prepstore.planning.waste import StreamPlan
from prepstore.report.wording import amount_in_words, day_in_words, far_day_in_words
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
    is_missing,
    parts_got,
    session_in_words,
    sessions_in_words,
    times_in_words,
    title_of,
)

COLUMNS: Final = (
    SheetColumn("Done", 6, CellForm.MIDDLE),
    SheetColumn("Alert", 8, CellForm.WORD),
    SheetColumn("Task", 15),
    SheetColumn("What", 42),
    SheetColumn("How much", 14),
    SheetColumn("For, from, by when", 52),
    SheetColumn("Initials, time", 14, CellForm.WRITE),
)
BOX: Final = "☐"


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do on a day (None: no fixed day); `alert` is a word where something is wrong."""

    day: date | None
    task: str
    what: str
    how_much: str = ""
    remark: str = ""
    alert: str = ""


def prepare_page(plan: Plan) -> Page:
    """Return the sheet of tasks."""
    return Page("Prepare", "Prepare: what to do, day by day", COLUMNS, _blocks(plan))


def tasks(plan: Plan) -> list[Task]:
    """Return what is to be done, by day; on one day in the order in which it is best begun."""
    found = [task for kind in _KINDS for task in kind(plan)]
    return sorted(found, key=lambda task: task.day or date.max)


def _blocks(plan: Plan) -> Iterator[Block]:
    found = tasks(plan)
    if not found:
        yield (note("Nothing is to be prepared."),)
    for day, of_day in groupby(found, key=lambda task: task.day):
        words = far_day_in_words(day) if day else "No fixed day: restock with the next order"
        yield (band(words), *(_row(task) for task in of_day))


def _row(task: Task) -> SheetRow:
    values = (BOX, task.alert, task.task, task.what, task.how_much, task.remark)
    return SheetRow(values, Look.ALERT if task.alert else Look.PLAIN)


def _orders(plan: Plan) -> Iterator[Task]:
    for order in plan.orders:
        pack = order.offer.pack
        day = order.order_by and max(order.order_by, plan.today)
        needed = f"; needed by {day_in_words(order.needed_by)}" if order.needed_by else ""
        late = f"; ordered today it comes on {day_in_words(order.arrives)}"
        yield Task(
            day=plan.today if order.is_late else day,
            task="Order",
            what=plan.label(order.name),
            how_much=f"{order.packs} × {pack.size}",
            remark=f"{pack.pack} from {pack.supplier}{needed}{late if order.is_late else ''}",
            alert="LATE" if order.is_late else "",
        )


def _deliveries(plan: Plan) -> Iterator[Task]:
    counted_on = {
        (draw.delivery, row.name): None
        for row in plan.stock.values()
        for one in row.served
        for draw in one.draws
        if draw.delivery is not None
    }
    for delivery, name in counted_on:
        reference = delivery.order.reference or ""
        yield Task(
            day=delivery.due,
            task="Take in",
            what=plan.label(name),
            how_much=amount_in_words(delivery.amount, plan.materials[name].unit),
            remark=f"delivery of {delivery.pack} {reference}: this plan counts on it",
        )


def _batches(plan: Plan) -> Iterator[Task]:
    for batch in plan.batches:
        missing = [one.demand.name for one in parts_got(plan, batch) if is_missing(plan, one)]
        serves = sessions_in_words(batch.sessions)
        short = "; ".join(plan.label(name) for name in missing)
        yield Task(
            day=batch.make_on,
            task="Make up",
            what=batch.solution.solution,
            how_much=amount_in_words(batch.volume_ml, Kind.VOLUME),
            remark=f"for {serves}" + (f"; short of {short}" if missing else ""),
            alert="SHORT" if missing else "",
        )


def _fetching(plan: Plan) -> Iterator[Task]:
    """Yield what is made on site and fetched on the day, ice above all, for each session."""
    for row in plan.stock.values():
        for one in row.served:
            fetched = [draw for draw in one.draws if draw.lot is None and draw.delivery is None]
            for draw in fetched:
                if not one.demand.is_for_batch and not one.demand.is_promised:
                    yield Task(
                        day=one.demand.day_of_use,
                        task="Fetch",
                        what=row.material.name,
                        how_much=amount_in_words(draw.amount, row.material.unit),
                        remark=f"made on site, for {session_in_words(one.demand.sessions[0])}",
                    )


def _setting_out(plan: Plan) -> Iterator[Task]:
    for session in plan.sessions:
        work = session.work
        if work.is_done or not work.session.students:
            continue
        place = f", {work.session.room}" if work.session.room else ""
        times = f" {times_in_words(work)}".rstrip()
        yield Task(
            day=max(work.day_of_need, plan.today),
            task="Dispense, set out",
            what=f"{work.session.session}: {title_of(plan, work)}",
            how_much=f"{work.scale.sets} sets",
            remark=f"for {day_in_words(work.session.date)}{times}{place}; see the sheet Set out",
            alert="LATE" if session.state is State.LATE else "",
        )


def _full_containers(plan: Plan) -> Iterator[Task]:
    for stream in plan.waste.streams:
        for day in stream.full_on:
            yield Task(
                day=day,
                task="Change container",
                what=stream.name,
                how_much="1 full",
                remark="close and label the full one, open the next, call for its collection"
                + _list_code(stream),
            )


def _list_code(stream: StreamPlan) -> str:
    code = stream.stream.list_code if stream.stream else None
    return f"; list code {code}" if code else ""


def _empty_containers(plan: Plan) -> Iterator[Task]:
    for stream in plan.waste.streams:
        if stream.stream is not None and stream.lacks_containers:
            yield Task(
                day=plan.today,
                task="Get containers",
                what=stream.name,
                how_much=f"{stream.containers} wanted",
                remark=f"{stream.stream.empty_containers} empty in hand beside the open one",
                alert="SHORT",
            )


_KINDS: Final = (
    _orders,
    _empty_containers,
    _deliveries,
    _batches,
    _fetching,
    _setting_out,
    _full_containers,
)
