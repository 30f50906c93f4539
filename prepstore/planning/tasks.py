"""What is to be done on each day of a plan, in the order of the clock."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Final

from prepstore.amounts import ZERO, is_more_than_nothing
from prepstore.cell_types import Ordering, fold
from prepstore.facts import Item, Supplier
from prepstore.planning.batches import Batch
from prepstore.planning.collection_tasks import (
    CollectionToCall,
    CollectionToCome,
    to_call,
    to_come,
)
from prepstore.planning.demands import SessionWork
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.planning.states import SessionPlan
from prepstore.planning.waste import StreamPlan
from prepstore.safety.peroxides import due_for_test, forms_peroxides
from prepstore.stores import Delivery, Holding

_DAY: Final = timedelta(days=1)
_OVER_A_WEEKEND: Final = timedelta(days=3)
"""Friday to Monday: so long things stand on a bench or a trolley; common practice, no source."""
_MINUTES: Final = 60


class TaskKind(StrEnum):
    """What is done, in the order of what on one day is done first where no time says otherwise."""

    ORDER = "Order"
    CALL_COLLECTION = "Call collection"
    COLLECTION = "Collection expected"
    GET_CONTAINERS = "Get containers"
    TAKE_IN = "Take in"
    TEST = "Test"
    DISCARD = "Discard"
    CHANGE_CONTAINER = "Change container"
    MAKE_UP = "Make up"
    FETCH = "Fetch"
    SET_OUT = "Set out"
    RUN = "Session"
    CLEAR = "Clear, book out"


@dataclass(frozen=True, slots=True)
class SupplierOrder:
    """What is sent to one supplier on one day; `send_by` is None for a restock alone.

    `goods_of_all` is what the plan orders from that supplier on all days.
    """

    supplier: Supplier
    rows: tuple[OrderRow, ...]
    send_by: date | None
    goods_of_all: Decimal

    @property
    def is_late(self) -> bool:
        """Return whether some of it cannot be there in time."""
        return any(row.is_late for row in self.rows)

    @property
    def goods(self) -> Decimal:
        """Return what the packs cost."""
        return sum((row.cost for row in self.rows), ZERO)


@dataclass(frozen=True, slots=True)
class Fetched:
    """What is made on site and fetched for a session: folded names and amounts in their units."""

    work: SessionWork
    things: tuple[tuple[str, Decimal], ...]


@dataclass(frozen=True, slots=True)
class OutOfDate:
    """What is left of a lot or of a batch on the day after its last one, in the item's unit."""

    of: Holding | Batch
    left: Decimal


@dataclass(frozen=True, slots=True)
class TestDue:
    """A lot that is to be tested for peroxides by a day."""

    holding: Holding
    due: date


Subject = (
    SupplierOrder
    | CollectionToCall
    | CollectionToCome
    | Delivery
    | Batch
    | Fetched
    | SessionPlan
    | StreamPlan
    | OutOfDate
    | TestDue
)


@dataclass(frozen=True, slots=True)
class Task:
    """Something to do on a day (None: no fixed day), and by when (None: in the course of it)."""

    kind: TaskKind
    of: Subject
    day: date | None
    by: time | None = None

    @property
    def is_preparing(self) -> bool:
        """Return whether people must be there before it is due."""
        return self.kind in (TaskKind.MAKE_UP, TaskKind.FETCH, TaskKind.SET_OUT)


_FIRST_THING: Final = frozenset(
    {
        TaskKind.ORDER,
        TaskKind.CALL_COLLECTION,
        TaskKind.COLLECTION,
        TaskKind.GET_CONTAINERS,
        TaskKind.TAKE_IN,
        TaskKind.TEST,
        TaskKind.DISCARD,
        TaskKind.CHANGE_CONTAINER,
    }
)
"""Done when the day begins; what else has no time is done by its end."""


def tasks_of(plan: Plan) -> list[Task]:
    """Return what is to be done, by day and by the clock: what must be ready first stands first.

    On one day come orders, deliveries, tests and what is out of date; then what is due at a time;
    then what is due by the end of the day, solutions after what they are made from.
    """
    return in_order(each_task(plan))


def each_task(plan: Plan) -> Iterator[Task]:
    """Yield what is to be done, by its kind."""
    for kind in _KINDS:
        yield from kind(plan)


def in_order(tasks: Iterable[Task]) -> list[Task]:
    """Return some of the tasks of a plan in the order of `tasks_of`."""
    return sorted(tasks, key=_order)


def _order(task: Task) -> tuple[date, time, int]:
    untimed = time.min if task.kind in _FIRST_THING else time.max
    return task.day or date.max, task.by or untimed, _TURN[task.kind]


_TURN: Final = {kind: turn for turn, kind in enumerate(TaskKind)}


def _orders(plan: Plan) -> Iterator[Task]:
    """Yield an order a supplier and day: late ones are sent today, restocks have no day.

    Where packs were chosen as one order, a supplier gets one, on the first of these days; only what
    would not keep is sent on a day of its own.
    """
    together: dict[tuple[str, date | None], list[OrderRow]] = {}
    first = _first_days(plan) if plan.ordering.mode is Ordering.JOINTLY else {}
    for row in plan.orders:
        supplier = fold(row.offer.supplier.supplier)
        send_by = row.order_by and max(row.order_by, plan.today)
        day = first.get(supplier, send_by)
        if day is not None and row.not_before is not None and day < row.not_before:
            day = send_by
        together.setdefault((supplier, day), []).append(row)
    goods: dict[str, Decimal] = {}
    for row in plan.orders:
        supplier = fold(row.offer.supplier.supplier)
        goods[supplier] = goods.get(supplier, ZERO) + row.cost
    for (supplier, send_by), rows in together.items():
        order = SupplierOrder(rows[0].offer.supplier, tuple(rows), send_by, goods[supplier])
        yield Task(TaskKind.ORDER, order, send_by)


def _first_days(plan: Plan) -> dict[str, date | None]:
    """Return the day on which each supplier's order is sent, by folded name."""
    return {
        fold(one.supplier.supplier): one.order_by and max(one.order_by, plan.today)
        for one in plan.ordering.suppliers
    }


def _collections(plan: Plan) -> Iterator[Task]:
    for call, day in to_call(plan):
        yield Task(TaskKind.CALL_COLLECTION, call, day)
    for called, day in to_come(plan):
        yield Task(TaskKind.COLLECTION, called, day)


def _containers(plan: Plan) -> Iterator[Task]:
    for stream in plan.waste.streams:
        if stream.stream is not None and stream.lacks_containers:
            yield Task(TaskKind.GET_CONTAINERS, stream, plan.today)
        for day in stream.full_on:
            yield Task(TaskKind.CHANGE_CONTAINER, stream, day)


def _deliveries(plan: Plan) -> Iterator[Task]:
    for delivery in plan.of_deliveries:
        yield Task(TaskKind.TAKE_IN, delivery, delivery.due)


def _batches(plan: Plan) -> Iterator[Task]:
    for batch in plan.batches:
        day = batch.day_of_making
        sessions = (work.session for work in batch.sessions)
        starts = (one.start for one in sessions if one.date == day and one.start is not None)
        yield Task(TaskKind.MAKE_UP, batch, day, min(starts, default=None))


def begin_at(batch: Batch) -> datetime | None:
    """Return the first moment at which a batch may be made, so many hours before its session.

    None where that is not said, or the session has no start.
    """
    first, within = batch.sessions[0].session, batch.solution.make_within
    if within is None or first.start is None:
        return None
    return datetime.combine(first.date, first.start) - timedelta(minutes=float(within * _MINUTES))


def _fetching(plan: Plan) -> Iterator[Task]:
    """Yield what is made on site for a session, all of it in one go."""
    fetched: dict[str, list[tuple[str, Decimal]]] = {}
    for row in plan.stock.values():
        if plan.supplies[row.name].daily_capacity is None:
            continue
        for one in row.served:
            if one.demand.is_for_batch or one.demand.is_promised:
                continue
            amount = sum(
                (draw.amount for draw in one.draws if draw.lot is None and draw.delivery is None),
                ZERO,
            )
            if amount:
                fetched.setdefault(one.demand.wanted_by, []).append((row.name, amount))
    for work in plan.works:
        things = fetched.get(work.session.session)
        if things:
            of = Fetched(work, tuple(things))
            yield Task(TaskKind.FETCH, of, work.session.date, work.session.start)


def _sessions(plan: Plan) -> Iterator[Task]:
    for session in plan.sessions:
        work = session.work
        if work.is_done or not work.session.students:
            continue
        day, start, end = work.session.date, work.session.start, work.session.end
        laid = _set_out_on(plan, work)
        yield Task(TaskKind.SET_OUT, session, laid, start if laid == day else None)
        yield Task(TaskKind.RUN, session, day, start)
        yield Task(TaskKind.CLEAR, session, day, end)


def _set_out_on(plan: Plan, work: SessionWork) -> date:
    """Return the day on which a session is set out: that by which all of it is in hand.

    It is the session's own where things would stand about for longer than over a weekend.
    """
    day = work.session.date
    is_soon = day - work.day_of_need <= _OVER_A_WEEKEND
    return work.day_of_need if is_soon or not plan.days.calendar.is_working(day) else day


def _out_of_date(plan: Plan) -> Iterator[Task]:
    """Yield what is left of lots and batches on the day after their last, up to the period's end.

    A lot that is out of date already is discarded today; on a closed day nothing is.
    """
    open_from = plan.days.calendar.on_or_after
    for label, held in plan.stores.holdings.items():
        left = held.amount - plan.taken.get(label, ZERO)
        if held.last_day is not None and held.is_usable and is_more_than_nothing(left):
            day = open_from(max(held.last_day + _DAY, plan.today))
            if day <= plan.period.last:
                yield Task(TaskKind.DISCARD, OutOfDate(held, left), day)
    for batch in plan.batches:
        if batch.use_by is not None and is_more_than_nothing(batch.left_ml):
            day = open_from(batch.use_by + _DAY)
            if day <= plan.period.last:
                yield Task(TaskKind.DISCARD, OutOfDate(batch, batch.left_ml), day)


def _tests(plan: Plan) -> Iterator[Task]:
    """Yield the peroxide tests that are due, each on the last open day in time, today at least.

    What is out of date before it is due is discarded, and not tested.
    """
    for held in plan.stores.holdings.values():
        item = plan.catalogue.items.get(fold(held.lot.item))
        if not isinstance(item, Item) or not forms_peroxides(item) or held.amount <= 0:
            continue
        due = due_for_test(held.lot, item)
        is_gone = held.last_day is not None and due is not None and held.last_day < due
        if due is not None and due <= plan.period.last and not is_gone:
            yield Task(
                TaskKind.TEST,
                TestDue(held, due),
                max(plan.days.calendar.on_or_before(due), plan.today),
            )


_KINDS: Final[tuple[Callable[[Plan], Iterator[Task]], ...]] = (
    _orders,
    _collections,
    _containers,
    _deliveries,
    _tests,
    _out_of_date,
    _batches,
    _fetching,
    _sessions,
)
