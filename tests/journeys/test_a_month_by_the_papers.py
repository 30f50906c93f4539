"""A month in which something happens each day, and a person who does what the papers say.

Each morning a session is moved, changed or called off, a bottle breaks, or a delivery is late; a
plan is made, and its tasks of the day are carried out: orders sent on their last day, deliveries
taken in, batches made from the lots that are named, sessions served from where `Set out` says.

- What a session takes is there, unless the paper of that morning said that it is short.
- Nothing becomes late on a day on which nothing happened: the last days of the papers are true.
- Who goes by the changes alone has on the benches what the plan of the day has.
"""

import os
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random
from typing import Final

import pytest
from hypothesis import HealthCheck, Phase, given, settings

from prepstore.amounts import ZERO, is_more_than_nothing, written_exactly
from prepstore.cell_types import Count, LotState, Name, fold
from prepstore.facts import Item, Lot, OnOrder, Session, Solution
from prepstore.planning.batches import Batch
from prepstore.planning.calendar import Period
from prepstore.planning.changes import changes_between
from prepstore.planning.differs import BenchDiffers
from prepstore.planning.draws import Served
from prepstore.planning.make_plan import plan_period
from prepstore.planning.papers import Papers
from prepstore.planning.plan import Plan
from prepstore.planning.states import SessionPlan, State
from prepstore.planning.tasks import SupplierOrder, Task, TaskKind, tasks_of
from prepstore.report.plan_papers import papers_of
from prepstore.shelf.deliveries import to_place
from prepstore.shelf.shelf import Department
from prepstore.stores import Delivery, Holding, Stores, in_date_until, keeping_of
from prepstore.timetable import Timetable
from tests.planning.small_inventories import FIRST, UNIT, Case, Row, cases

MONTH: Final = Period(FIRST, FIRST + timedelta(days=27))
DAY: Final = timedelta(days=1)
TIMES: Final = int(os.environ.get("LAWS_TIMES", "1"))
A_BILLIONTH: Final = Decimal("1e-9")
"""What a figure that does not end may be off by."""


class Month:
    """The stores and the timetable as days go by, and what a person has on the benches."""

    def __init__(self, department: Department, chance: Random) -> None:
        self.catalogue = department.catalogue
        self.timetable: Timetable = department.timetable
        self.stores: Stores = department.stores
        self._chance = chance
        self._came: dict[int, str] = {}
        self._number = 0
        self.happened = ""

    def plan(self, today: date) -> Plan:
        """Return the plan of the month as of a morning."""
        return plan_period(self.catalogue, self.timetable, self.stores, MONTH, today)

    # What happens.

    def let_something_happen(self, today: date) -> None:
        """Let chance change one thing, or nothing."""
        ways = (self._numbers, self._moved, self._called_off, self._broken, self._late)
        self.happened = ""
        if self._chance.random() < 0.6:
            self._chance.choice(ways)(today)

    def _to_come(self, today: date) -> list[Session]:
        return [
            one
            for one in self.timetable.sessions
            if one.date >= today and not self.timetable.is_booked_out(one)
        ]

    def _put(self, was: Session, now: Session) -> None:
        sessions = tuple(now if one is was else one for one in self.timetable.sessions)
        self.timetable = replace(self.timetable, sessions=sessions)
        self.happened = f"{was} is {now}"

    def _numbers(self, today: date) -> None:
        if found := self._to_come(today):
            one = self._chance.choice(found)
            self._put(one, replace(one, students=Count(self._chance.choice((2, 7, 12)))))

    def _moved(self, today: date) -> None:
        if found := self._to_come(today):
            one = self._chance.choice(found)
            day = max(today, one.date + self._chance.choice((-1, 1, 2)) * DAY)
            self._put(one, replace(one, date=day))

    def _called_off(self, today: date) -> None:
        if found := self._to_come(today):
            one = self._chance.choice(found)
            self._put(one, replace(one, students=Count(0)))

    def _broken(self, _: date) -> None:
        if found := [held for held in self.stores.holdings.values() if held.amount]:
            held = self._chance.choice(found)
            self._set(replace(held, amount=ZERO))
            self.happened = f"{held.label} broke"

    def _late(self, today: date) -> None:
        if found := [one for one in self.stores.deliveries if one.due >= today]:
            late = self._chance.choice(found)
            due = late.due + self._chance.choice((1, 4)) * DAY
            others = (one for one in self.stores.deliveries if one is not late)
            now = self._delivery(replace(late.order, due=due), late.amount)
            self.stores = replace(self.stores, deliveries=(*others, now))
            self.happened = f"{late.order} comes {due}"

    # What a person does.

    def carry_out(self, plan: Plan) -> None:
        """Do what the paper has for its day, in its order."""
        made: dict[int, str] = {}
        for task in tasks_of(plan):
            if task.day == plan.today:
                self._do(task, plan, made)
        # Deliveries that nothing counts on come as well.
        for delivery in self.stores.deliveries:
            if delivery.due == plan.today:
                self._take_in(delivery)

    def _do(self, task: Task, plan: Plan, made: dict[int, str]) -> None:
        match task.kind, task.of:
            case TaskKind.ORDER, SupplierOrder() as order:
                self._send(order, plan)
            case TaskKind.TAKE_IN, Delivery() as delivery:
                self._take_in(delivery)
            case TaskKind.MAKE_UP, Batch() as batch:
                for demand in batch.demands:
                    self._take(plan, plan.served[demand], made)
                made[id(batch)] = self._make(batch, plan.today)
            case TaskKind.RUN, SessionPlan() as session:
                self._serve(plan, session, made)

    def _label(self, day: date) -> str:
        self._number += 1
        return f"{day}-{self._number}"

    def _set(self, held: Holding) -> None:
        holdings = {**self.stores.holdings, fold(held.label): held}
        self.stores = replace(self.stores, holdings=holdings)

    def _delivery(self, order: OnOrder, amount: Decimal) -> Delivery:
        name = fold(self.catalogue.packs[fold(order.pack)].item)
        last_day = in_date_until(self._bought(name), order.due)
        return Delivery(order, order.pack, name, amount, last_day)

    def _send(self, order: SupplierOrder, plan: Plan) -> None:
        """Send an order, as the command that records it would."""
        to_send = {row.offer.code: row.packs for row in to_place(plan, None).rows}
        for row in order.rows:
            packs = min(row.packs, to_send.get(row.offer.code, 0))
            if not packs:
                continue
            placed = OnOrder(
                pack=Name(row.offer.code),
                packs=Count(packs),
                due=row.arrives,
                reference=self._label(plan.today),
            )
            delivery = self._delivery(placed, row.offer.size * packs)
            self.stores = replace(self.stores, deliveries=(*self.stores.deliveries, delivery))

    def _take_in(self, delivery: Delivery) -> None:
        if delivery not in self.stores.deliveries:
            return
        others = tuple(one for one in self.stores.deliveries if one is not delivery)
        self.stores = replace(self.stores, deliveries=others)
        label = self._label(delivery.due)
        self._came[id(delivery)] = label
        name = self.catalogue.materials[delivery.name].name
        self._add(label, name, delivery.amount, delivery.due, delivery.last_day)

    def _bought(self, name: str) -> Item | Solution:
        return self.catalogue.items.get(name) or self.catalogue.solutions[name]

    def _make(self, batch: Batch, day: date) -> str:
        label = self._label(day)
        self._add(label, batch.solution.solution, batch.volume_ml, day, batch.use_by)
        return label

    def _add(self, label: str, item: str, amount: Decimal, day: date, expiry: date | None) -> None:
        unit = self.catalogue.materials[fold(item)].unit
        lot = Lot(
            lot=Name(label),
            item=Name(item),
            amount=written_exactly(amount, unit),
            received=day,
            expiry=expiry,
        )
        self._set(keeping_of(lot, amount, self.catalogue))

    def _serve(self, plan: Plan, session: SessionPlan, made: dict[int, str]) -> None:
        work = session.work
        for served in _wanted_by(plan, session):
            self._take(plan, served, made)
            if served.is_short and not plan.materials[served.demand.name].is_solution:
                assert session.state is State.LATE, f"{served} is short of {session.state}"
        booked = {**self.timetable.booked_out, fold(work.session.session): plan.today}
        self.timetable = replace(self.timetable, booked_out=booked)

    def _take(self, plan: Plan, served: Served, made: dict[int, str]) -> None:
        """Take what a demand gets from where the paper says."""
        for draw in served.draws:
            if draw.lot is not None:
                self._draw(draw.lot.lot, draw.amount, plan.today)
            elif draw.delivery is not None:
                label = self._came.get(id(draw.delivery))
                assert label is not None, f"{draw.delivery} has not come by {plan.today}"
                self._draw(label, draw.amount, plan.today)
        batch = plan.made_for.get(served.demand)
        if batch is not None and is_more_than_nothing(served.unserved):
            assert id(batch) in made, f"{batch} is not made by {plan.today}"
            self._draw(made[id(batch)], served.unserved, plan.today)

    def _draw(self, label: str, amount: Decimal, day: date) -> None:
        held = self.stores.holdings[fold(label)]
        assert held.amount - amount > -A_BILLIONTH, f"{label} has {held.amount}, not {amount}"
        assert held.is_usable
        assert held.lot.state is LotState.USABLE
        assert held.is_in_date(day), f"{label} was out of date on {held.last_day}, before {day}"
        self._set(replace(held, amount=max(ZERO, held.amount - amount)))


def _wanted_by(plan: Plan, session: SessionPlan) -> Iterator[Served]:
    name = session.work.session.session
    for row in plan.stock.values():
        for one in row.served:
            demand = one.demand
            if demand.wanted_by == name and not demand.is_for_batch and not demand.is_promised:
                yield one


def _change(
    benches: dict[tuple[str, str], Decimal], before: Papers, now: Papers, plan: Plan
) -> None:
    """Change what is to be on the benches by the changes alone."""
    for one in changes_between(before, now, plan):
        if isinstance(one, BenchDiffers):
            key = (one.session, one.item)
            benches[key] = benches.get(key, ZERO) + one.difference


def _with_all_sold(tables: dict[str, list[Row]]) -> dict[str, list[Row]]:
    """Return a set of which everything bought is sold, so that most weeks can be prepared."""
    sold = {row["item"] for row in tables["packs"]}
    missing = [name for name in ("salt", "acid", "ethanol", "hexane", "glove") if name not in sold]
    packs = [
        {
            "pack": f"{name}-x",
            "item": name,
            "supplier": "near",
            "size": f"50 {UNIT[name]}",
            "price": "2",
        }
        for name in missing
    ]
    return {**tables, "packs": [*tables["packs"], *packs]}


@pytest.mark.slow
@settings(
    max_examples=40 * TIMES,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(cases())
def test_who_follows_the_papers_has_everything_at_each_session(case: Case) -> None:
    tables = _with_all_sold(case.tables)
    month = Month(Case(tables, case.today).department, Random(str(tables)))
    told: list[str] = []
    try:
        _live_through(month, told)
    except AssertionError as error:
        error.add_note("\n".join(told))
        raise


def _live_through(month: Month, told: list[str]) -> None:
    before: Papers | None = None
    benches: dict[tuple[str, str], Decimal] = {}
    late: set[str] = set()
    for day in (MONTH.first + number * DAY for number in range(28)):
        if before is not None:
            month.let_something_happen(day)
        told.append(f"{day}: {month.happened or 'nothing'}")
        plan = month.plan(day)
        now = papers_of(plan)
        if before is None:
            benches = {key: bench.amount for key, bench in now.benches.items()}
        else:
            _change(benches, before, now, plan)
        _are_as_planned(benches, now, day)
        now_late = {str(one.work.session.session) for one in plan.sessions if _is_late(one)}
        if before is not None and not month.happened:
            for one in plan.sessions:
                is_new = _is_late(one) and one.work.session.session not in late
                assert not is_new or _could_be_foreseen(plan, one), one.lacks
        month.carry_out(plan)
        before, late = now, now_late


def _could_be_foreseen(plan: Plan, session: SessionPlan) -> bool:
    """Return whether what a session lacks is one of two things that no last day averts.

    What no open day can bring in date is a warning from the first. And where several deliveries
    come, the first goes to who uses it first, though a later one would have done: so another may
    be short though there is enough in all.
    """
    never = {fold(one.about) for one in plan.warnings if one.code == "never-fresh"}
    lacks = [lack for lack in session.lacks if lack.is_late]
    return any(lack.name in never or _is_enough_in_all(plan, lack.name) for lack in lacks)


def _is_enough_in_all(plan: Plan, name: str) -> bool:
    held = sum((one.amount for one in plan.stores.of(name) if one.is_usable), ZERO)
    coming = sum((one.amount for one in plan.stores.deliveries if one.name == name), ZERO)
    return held + coming >= sum((one.demand.amount for one in plan.stock[name].served), ZERO)


def _is_late(session: SessionPlan) -> bool:
    return session.state is State.LATE


def _are_as_planned(benches: dict[tuple[str, str], Decimal], now: Papers, day: date) -> None:
    for key, bench in now.benches.items():
        then = now.sessions[key[0]]
        if then.day == day and not then.is_done:
            assert abs(benches[key] - bench.amount) < A_BILLIONTH, key
