"""What can be done about a late session: options that the data allow, none of them taken."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from itertools import takewhile
from typing import Final

from prepstore.amounts import ZERO, Basis, is_more_than_nothing, settle
from prepstore.cell_types import LotState, fold
from prepstore.chemistry.materials import ingredients_of
from prepstore.chemistry.solutions import amounts_for
from prepstore.facts import Session
from prepstore.planning.demands import SessionWork
from prepstore.planning.draws import Served
from prepstore.planning.plan import Plan
from prepstore.planning.states import Lack, SessionPlan, State, Why
from prepstore.stores import Holding

_LOOK_AHEAD: Final = timedelta(weeks=8)


class OptionKind(StrEnum):
    """What could be done."""

    FREE_LOTS = "free lots"
    DILUTE = "dilute"
    LESS_SPARE = "less spare"
    FEWER_SETS = "fewer sets"
    MOVE = "move"


@dataclass(frozen=True, slots=True)
class Option:
    """One thing that could be done about what a session lacks; amounts in the item's unit.

    `amount` is what it would give; `lots` are those in quarantine or reserved that would cover it,
    `sets` how many could work with what is there, `day` the first on which all of it could run.
    `made` is the solution (folded) that could be diluted from so much of the one that is named.
    """

    kind: OptionKind
    name: str
    amount: Decimal = ZERO
    lots: tuple[Holding, ...] = ()
    sets: int = 0
    day: date | None = None
    made: str = ""


def options_for(plan: Plan, session: SessionPlan) -> Iterator[Option]:
    """Yield what could be done about a late session, item by item, then for the whole of it.

    Nothing is offered that would not be enough for what the item lacks without spare.
    """
    if session.state is not State.LATE:
        return
    late = [lack for lack in session.lacks if lack.is_late and not lack.is_only_spare]
    for lack in late:
        yield from _free_lots(plan, session.work, lack)
        yield from _dilute(plan, session.work, lack)
        yield from _less_spare(plan, session.work, lack)
        yield from _fewer_sets(plan, session.work, lack)
    yield from _move(plan, session.work, late)


def _free_lots(plan: Plan, work: SessionWork, lack: Lack) -> Iterator[Option]:
    """Yield the lots that are held back and in date on the day, where together they are enough."""
    held_back = [
        held
        for held in plan.stores.of(lack.name)
        if held.lot.state in (LotState.QUARANTINE, LotState.RESERVED)
        and is_more_than_nothing(held.amount)
        and held.is_in_date(work.session.date)
    ]
    there = sum((held.amount for held in held_back), ZERO)
    if held_back and settle(there) >= settle(lack.amount - lack.of_spare):
        yield Option(OptionKind.FREE_LOTS, lack.name, there, tuple(held_back))


def _dilute(plan: Plan, work: SessionWork, lack: Lack) -> Iterator[Option]:
    """Yield each stronger solution of what a batch lacks, in its solvent, of which enough is left.

    Both are made from one substance and a solvent alone, so that dilution changes nothing else.
    """
    for batch in plan.batches_by_session.get(work.session.session, ()):
        weaker = _of_one_substance(plan, batch.name)
        if weaker is None or weaker.of != lack.name:
            continue
        for name in sorted(plan.catalogue.solutions):
            other = _of_one_substance(plan, name)
            if other is None or (other.of, other.in_) != (weaker.of, weaker.in_):
                continue
            wanted_ml = (lack.amount - lack.of_spare) / other.in_a_ml
            is_enough = settle(_left_over(plan, name, batch.make_on)) >= settle(wanted_ml)
            if other.in_a_ml > weaker.in_a_ml and is_enough:
                yield Option(OptionKind.DILUTE, name, wanted_ml, made=batch.name)


@dataclass(frozen=True, slots=True)
class _OfOne:
    """A solution of one substance in one solvent (folded): how much of it is in a millilitre."""

    of: str
    in_: str
    in_a_ml: Decimal


def _of_one_substance(plan: Plan, name: str) -> _OfOne | None:
    """Return the substance and the solvent of a solution (folded); None where it has others."""
    catalogue = plan.catalogue
    parts = ingredients_of(catalogue.parts.get(name, ()), catalogue.materials) or ()
    solvents = [part for part in parts if part.amount.basis is Basis.TO_VOLUME]
    if len(parts) != _SUBSTANCE_AND_SOLVENT or len(solvents) != 1:
        return None
    (substance,) = (part for part in parts if part is not solvents[0])
    amounts = amounts_for(parts, _A_LITRE_ML, catalogue.solutions[name].density)
    amount = amounts[parts.index(substance)]
    return _OfOne(
        fold(substance.material.name), fold(solvents[0].material.name), amount / _A_LITRE_ML
    )


_SUBSTANCE_AND_SOLVENT: Final = 2
_A_LITRE_ML: Final = Decimal(1000)


def _left_over(plan: Plan, name: str, day: date) -> Decimal:
    """Return what the plan leaves of the lots of a solution that may be used on a day."""
    held = [one for one in plan.stores.of(name) if one.is_to_be_used(day)]
    return sum((one.amount - plan.taken.get(fold(one.label), ZERO) for one in held), ZERO)


def _less_spare(plan: Plan, work: SessionWork, lack: Lack) -> Iterator[Option]:
    """Yield the spare of other sessions that are served, where without it there is enough."""
    needed, day = settle(lack.amount - lack.of_spare), work.session.date
    # What is made on site is made anew each day, so that only that day's spare can be had.
    since = day if lack.why is Why.OVER_CAPACITY else date.min
    spare = sum(
        (
            one.demand.spare - one.of_spare
            for one in _served_until(plan, lack.name, day)
            if not one.demand.is_for_batch and one.demand.wanted_by != work.session.session
            if since <= one.demand.day_of_use
        ),
        ZERO,
    )
    if is_more_than_nothing(spare) and settle(spare) >= needed:
        yield Option(OptionKind.LESS_SPARE, lack.name, needed)


def _fewer_sets(plan: Plan, work: SessionWork, lack: Lack) -> Iterator[Option]:
    """Yield how many sets could work with what the session gets, without spare."""
    own = [
        one
        for one in _served_until(plan, lack.name, work.session.date)
        if one.demand.wanted_by == work.session.session
    ]
    if len(own) != 1 or own[0].demand.is_for_batch or not work.scale.sets:
        return
    demand = own[0].demand
    a_set = (demand.amount - demand.spare) / work.scale.sets
    sets = int(settle((demand.amount - own[0].unserved) / a_set)) if a_set else 0
    if 0 < sets < work.scale.sets:
        yield Option(OptionKind.FEWER_SETS, lack.name, demand.amount - own[0].unserved, sets=sets)


def _served_until(plan: Plan, name: str, day: date) -> Iterator[Served]:
    """Return the demands on something that are of a day of the period or of an earlier one."""
    row = plan.stock.get(name)
    # Those of before the period come first, then those of the period, day by day.
    return takewhile(
        lambda one: one.demand.day_of_use <= day, row.served if row is not None else ()
    )


def _move(plan: Plan, work: SessionWork, late: list[Lack]) -> Iterator[Option]:
    """Yield the first day on which all that is late could be there, and the room is free."""
    arrivals = [lack.arrives for lack in late]
    if not late or any(day is None for day in arrivals):
        return
    there = max(day for day in arrivals if day is not None)
    calendar = plan.days.calendar
    day = max(work.session.date, calendar.on_or_after(there))
    while day <= work.session.date + _LOOK_AHEAD:
        is_ready = plan.days.day_of_need(day) >= there
        if calendar.is_working(day) and is_ready and _is_free(plan, work.session, day):
            yield Option(OptionKind.MOVE, "", day=day)
            return
        day += timedelta(days=1)


def _is_free(plan: Plan, moved: Session, day: date) -> bool:
    """Return whether no other session with students is in the room on a day at the same time."""
    if moved.room is None or moved.start is None or moved.end is None:
        return True
    return not any(
        other.students
        and fold(other.session) != fold(moved.session)
        and other.room is not None
        and fold(other.room) == fold(moved.room)
        and (other.start is None or other.end is None or _overlap(moved, other))
        for other in plan.timetable.on(day)
    )


def _overlap(one: Session, other: Session) -> bool:
    return bool(
        one.start
        and one.end
        and other.start
        and other.end
        and one.start < other.end
        and other.start < one.end
    )
