"""A week carried forward on paper is the week that was carried out in the store.

Held for weeks in which a technician has no choice that a plan leaves open: nothing is short, no
solution is both taken from stock and made, what is made in a week is used in the order in which it
was made, nothing is left over to be poured away, and nothing that goes out of date sooner comes
when all was to be ready already. New lots bear the labels that carrying forward gives them; those
that were there stand before them where nothing expires.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Final

import pytest
from hypothesis import HealthCheck, Phase, assume, given, settings

from prepstore.cell_types import fold
from prepstore.cli.loading import take_in
from prepstore.cli.recording import record_checked
from prepstore.cli.rooms import department_in, signed
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking
from prepstore.planning.batches import Batch
from prepstore.planning.calendar import Period
from prepstore.planning.demands import SessionWork
from prepstore.planning.make_plan import plan_period
from prepstore.planning.plan import Plan
from prepstore.report.plan_json import plan_rows
from prepstore.shelf.deliveries import delivered
from prepstore.shelf.making import NewBottle, batch_of, made
from prepstore.shelf.receiving import received
from prepstore.shelf.session_use import session_named, session_used
from prepstore.shelf.session_waste import poured_by_session
from prepstore.shelf.shelf import Department
from prepstore.stores import Delivery, Stores
from prepstore.tables.read import read_set
from tests.conftest import KeptIn
from tests.planning.small_inventories import SOLUTIONS, UNIT, Case, Tables, cases, csv_of

FIRST, SECOND = Period.of_week("2027-W05"), Period.of_week("2027-W06")
MONDAY: Final = FIRST.first
PLENTY: Final = [
    {"lot": f"0-{name}", "item": name, "amount": f"90000 {unit}"}
    for name, unit in UNIT.items()
    if name not in SOLUTIONS
]


def _without_shortage(tables: Tables) -> Tables:
    """Return a set with plenty of everything, its sessions in the two weeks, its lots first."""
    lots = [{**row, "lot": f"0{row['lot']}"} for row in tables["stock"]]
    return {**tables, "stock": [*PLENTY, *lots]}


def _leaves_no_choice(plan: Plan) -> bool:
    made_of: dict[str, list[date]] = {}
    for batch in plan.batches:
        if any(one.draws for one in plan.stock[batch.name].served):
            return False
        last = made_of.setdefault(batch.name, [])
        first_use = min(one.demand.day_of_use for one in batch.served)
        if last and (batch.solution.shelf_life is None or last[-1] >= first_use):
            return False
        last.append(batch.use_by or date.max)
    if any(_is_late_for(delivery, plan) for delivery in _coming(plan)):
        return False
    if plan.waste.leftovers or plan.waste.leftovers_before:
        return False  # somebody pours them away on a day of their own
    return not any(row.short for row in plan.stock.values())


def _is_late_for(delivery: Delivery, plan: Plan) -> bool:
    """Return whether it goes out of date, and could be used on a day on which the plan uses a lot.

    Whoever uses something on the day takes what goes out of date first; a plan that had all ready
    before cannot.
    """
    return delivery.last_day is not None and any(
        delivery.due <= one.demand.day_of_use and any(draw.lot is not None for draw in one.draws)
        for one in plan.stock[delivery.name].served
    )


class _Store:
    """A store in which a week is carried out as its plan says."""

    def __init__(self, folder: Path, place: Place, tables: Tables) -> None:
        self.path = place
        (folder / "set").mkdir()
        for name, rows in tables.items():
            if rows:
                (folder / "set" / f"{name}.csv").write_text(csv_of(rows), encoding="utf-8")
        take_in(self.path, *read_set(folder / "set"), count=False)

    def department(self) -> Department:
        with reading(self.path) as connection:
            return department_in(connection, date.min)

    def do(self, decide: Callable[[Department], Booking], on: date) -> None:
        with writing(self.path) as connection:
            booking = decide(department_in(connection, date.min))
            if not booking.is_empty:
                record_checked(connection, booking, signed("Kim", on))

    def carry_out(self, plan: Plan, after: Stores) -> None:
        new = iter([held for label, held in after.holdings.items() if label not in self._labels()])
        # In the order in which carrying forward gives labels.
        coming = [(delivery, next(new).label) for delivery in _coming(plan)]
        batches = [(batch, next(new).label) for batch in plan.batches]
        for day in (MONDAY + timedelta(days) for days in range(7)):
            for delivery, label in coming:
                if delivery.due == day:
                    self.receive(delivery.order.reference or "", delivery.pack, day, label)
            for batch, label in batches:
                if batch.make_on == day:
                    self.make(plan, batch, label)
            for work in plan.works:
                if work.session.date == day and _takes_anything(plan, work):
                    self.book_out(work.session.session, day)

    def _labels(self) -> set[str]:
        return set(self.department().lots)

    def receive(self, reference: str, pack: str, day: date, label: str) -> None:
        def decide(department: Department) -> Booking:
            came = delivered(department, pack, None, reference)
            booking = received(department, replace(came.coming, day=day, label=label))
            return replace(booking, orders=came.changes)

        self.do(decide, day)

    def make(self, plan: Plan, batch: Batch, label: str) -> None:
        first = replace(plan, batches=(batch,))
        self.do(
            lambda department: made(
                department,
                batch_of(first, batch.solution, batch.make_on),
                {},
                NewBottle(batch.make_on, label),
            ),
            batch.make_on,
        )

    def book_out(self, session: str, day: date) -> None:
        def decide(department: Department) -> Booking:
            named = session_named(department.timetable, session)
            booking = session_used(department, named, {}, as_far_as_there_is=True)
            poured = poured_by_session(department, named, booking.uses, (), day)
            return replace(booking, containers=poured)

        self.do(decide, day)


def _takes_anything(plan: Plan, work: SessionWork) -> bool:
    """Return whether a session uses anything up; apparatus comes back."""
    return any(amount and name in plan.stock for name, amount in work.scale.needs.items())


def _coming(plan: Plan) -> list[Delivery]:
    return [one for one in plan.stores.deliveries if MONDAY <= one.due <= FIRST.last]


@contextmanager
def _store(kept_in: KeptIn, tables: Tables) -> Iterator[_Store]:
    with TemporaryDirectory() as folder:
        yield _Store(Path(folder), kept_in(Path(folder)), tables)


def _figures(plan: Plan) -> dict[str, Any]:
    """Return batches, amounts drawn and orders, to a millionth of a unit."""
    rows = plan_rows(plan)
    drawn = {
        (row["item"], lot["lot"]): Decimal(str(lot["amount"])).quantize(Decimal("1e-6"))
        for row in rows["stock"]
        for lot in row["lots"]
    }
    batches = [
        {**row, "parts": [(part["item"], round(part["amount"], 6)) for part in row["parts"]]}
        for row in rows["making_up"]
    ]
    return {"drawn": drawn, "batches": batches, "orders": rows["orders"]}


@pytest.mark.slow
@settings(
    max_examples=12,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=list(HealthCheck),
)
@given(case=cases())
def test_planning_on_from_the_stores_after_a_week_is_planning_on_from_the_store(
    kept_in: KeptIn, case: Case
) -> None:
    tables = _without_shortage(case.tables)
    with _store(kept_in, tables) as store:
        begin = store.department()
        first = begin.plan(FIRST, MONDAY)
        assume(first.batches or _coming(first))
        assume(_leaves_no_choice(first))
        after = first.stores.after(first)
        store.carry_out(first, after)
        booked = {
            fold(work.session.session): work.session.date
            for work in first.works
            if _takes_anything(first, work)
        }
        timetable = replace(begin.timetable, booked_out=booked)
        forward = plan_period(begin.catalogue, timetable, after, SECOND, SECOND.first)
        carried_out = store.department().plan(SECOND, SECOND.first)
        assert _figures(forward) == _figures(carried_out)
        assert _in_containers(after) == _in_containers(carried_out.stores)
        assert _known_in_open_ones(after) == _known_in_open_ones(carried_out.stores)


def _in_containers(stores: Stores) -> dict[str, Decimal]:
    """Return what the containers of each stream hold, full ones too, to a millionth of a unit."""
    return {
        name: (sum((one.filled for one in held.sealed), held.filled)).quantize(Decimal("1e-6"))
        for name, held in stores.containers.items()
    }


def _known_in_open_ones(stores: Stores) -> dict[str, dict[str, tuple[Decimal, ...]]]:
    """Return what is known of each open container, by item; what is less than a hair left out."""
    hair = Decimal("1e-6")
    return {
        name: {
            one.item: (one.amount.quantize(hair), one.level.quantize(hair))
            for one in held.known
            if one.amount > hair or one.level > hair
        }
        | {"": (held.unknown.quantize(hair),)}
        for name, held in stores.containers.items()
    }
