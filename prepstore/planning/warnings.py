"""What a person should look at, beside what a plan asks them to do."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, Amount, Kind, is_more_than_nothing, settle
from prepstore.cell_types import NOT_ASSIGNED, fold
from prepstore.facts import Item, Lot, is_retired
from prepstore.planning.apparatus import clashes
from prepstore.planning.batches import Batch
from prepstore.planning.collection_warnings import COLLECTION_WARNINGS
from prepstore.planning.draws import Served
from prepstore.planning.meeting_warnings import MEETING_WARNINGS
from prepstore.planning.order_warnings import ORDER_WARNINGS, warn_of_overdue
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.setting_out import overfilled
from prepstore.planning.states import SessionPlan
from prepstore.planning.supplies import undated
from prepstore.planning.tasks import Fetched, Subject, each_task, in_order
from prepstore.planning.warned import Parts, Warned
from prepstore.safety.peroxides import due_for_test, forms_peroxides, has_no_known_day


def warnings_of(plan: Plan) -> Iterator[Warned]:
    """Yield what to look at, gravest first."""
    for warn in _WARNINGS:
        yield from warn(plan)


def _booked_out_and_moved(plan: Plan) -> Iterator[Warned]:
    """Warn of a session that is booked out and stands on another day of the timetable now."""
    for work in plan.works:
        session = work.session
        day = plan.timetable.booked_out.get(fold(session.session))
        if day is not None and day != session.date:
            parts: Parts = {"booked_for": day, "now": session.date}
            yield Warned("booked-out-and-moved", session.session, parts)


def _behind(plan: Plan) -> Iterator[Warned]:
    """Warn of sessions that are over and not booked out, so that the stores are not as they say."""
    if plan.behind:
        last = plan.behind[-1].session
        sessions = tuple(work.session.session for work in plan.behind)
        parts: Parts = {
            "count": len(sessions),
            "sessions": sessions[-_NAMED_AT_MOST:],
            "until": last.date.isoformat(),
        }
        yield Warned("not-booked-out", last.session, parts)


_NAMED_AT_MOST = 8


def _nobody_sells(plan: Plan) -> Iterator[Warned]:
    for row in plan.stock.values():
        wanted = row.short + row.restock
        is_bought = plan.catalogue.is_bought(row.name)
        if is_bought and row.name not in plan.packs and is_more_than_nothing(wanted):
            amount = Amount(wanted, row.material.unit)
            parts: Parts = {"amount": amount, "retired": row.fact.retired}
            yield Warned(_why_not_sold(plan, row), row.material.name, parts)


def _why_not_sold(plan: Plan, row: StockRow) -> str:
    if is_retired(row.fact, plan.today):
        return "not-ordered-retired"
    if any(fold(pack.item) == row.name for pack in plan.catalogue.packs.values()):
        return "not-sold-suppliers-retired"
    return "not-sold"


def _short_before(plan: Plan) -> Iterator[Warned]:
    for row in plan.stock.values():
        unserved = row.unserved_before
        if unserved:
            amount = Amount(sum((one.unserved for one in unserved), ZERO), row.material.unit)
            parts: Parts = {"amount": amount, "sessions": _session_names(unserved)}
            yield Warned("short-before-the-period", row.material.name, parts)


def _session_names(unserved: Iterable[Served]) -> tuple[str, ...]:
    return tuple(sorted({work.session.session for one in unserved for work in one.demand.sessions}))


def _never_fresh(plan: Plan) -> Iterator[Warned]:
    """Warn of what does not keep and cannot come on any working day so as to be used in date."""
    for row in plan.stock.values():
        shelf_life = row.fact.shelf_life if isinstance(row.fact, Item) else None
        for one in row.unserved if shelf_life is not None else ():
            day = one.demand.day_of_use
            if not plan.days.can_be_fresh(day, shelf_life or 0):
                parts: Parts = {
                    "amount": Amount(one.unserved, row.material.unit),
                    "day": day,
                    "keeps": shelf_life,
                    "sessions": _session_names([one]),
                }
                yield Warned("never-fresh", row.material.name, parts)


def _not_of_one_lot(plan: Plan) -> Iterator[Warned]:
    """Warn of sessions that were to take an item from one lot, where no lot holds enough."""
    for row in plan.stock.values():
        for one in row.served if isinstance(row.fact, Item) else ():
            demand = one.demand
            if demand.is_one_lot and not demand.is_promised and not _is_of_one_lot(one):
                parts: Parts = {
                    "amount": Amount(one.demand.amount, row.material.unit),
                    "session": one.demand.wanted_by,
                }
                yield Warned("not-of-one-lot", row.material.name, parts)


def _is_of_one_lot(one: Served) -> bool:
    return len(one.draws) == 1 and one.draws[0].lot is not None and not one.unserved


def _retired(plan: Plan) -> Iterator[Warned]:
    """Warn of each item and solution that is used though it is retired."""
    for row in plan.stock.values():
        if row.fact.retired is None:
            continue
        days = [one.demand.day_of_use for one in row.served if not one.demand.is_promised]
        if days and is_retired(row.fact, max(days)):
            parts: Parts = {"day": max(days), "retired": row.fact.retired}
            yield Warned("used-though-retired", row.material.name, parts)


def _to_be_tested(plan: Plan) -> Iterator[Warned]:
    """Warn of each lot that is used after the last day for its peroxide test."""
    for row in plan.stock.values():
        if isinstance(row.fact, Item) and forms_peroxides(row.fact):
            for lot, _ in row.lots:
                used = [one.demand.day_of_use for one in row.served if _draws_on(one, lot)]
                yield from _test_before_use(lot, row.fact, used)


def _test_before_use(lot: Lot, item: Item, used: Iterable[date]) -> Iterator[Warned]:
    if has_no_known_day(lot, item):
        yield Warned("peroxide-age-unknown", item.item, {"lot": lot.lot})
        return
    due = due_for_test(lot, item)
    late = min((day for day in used if due is not None and day > due), default=None)
    if late is not None:
        parts: Parts = {
            "lot": lot.lot,
            "opened": lot.opened,
            "received": lot.received,
            "tested": lot.tested,
            "due": due,
            "used": late,
        }
        yield Warned("peroxide-test-due", item.item, parts)


def _draws_on(served: Served, lot: Lot) -> bool:
    return not served.demand.is_promised and any(draw.lot is lot for draw in served.draws)


def _too_small(plan: Plan) -> Iterator[Warned]:
    """Warn of containers whose name begins with less than what would be filled into one."""
    sessions: dict[tuple[str, str], list[str]] = {}
    most: dict[tuple[str, str], Amount] = {}
    for work, line, fill in overfilled(plan):
        key = (line.name, str(line.line.container))
        sessions.setdefault(key, []).append(work.session.session)
        if key not in most or fill.number > most[key].number:
            most[key] = fill
    for (name, container), of_sessions in sessions.items():
        parts: Parts = {
            "container": container,
            "amount": most[name, container],
            "sessions": tuple(dict.fromkeys(of_sessions)),
        }
        yield Warned("container-too-small", plan.label(name), parts)


def _undated(plan: Plan) -> Iterator[Warned]:
    for held in undated(plan.stores):
        row = plan.stock.get(fold(held.lot.item))
        if row is not None and (row.needed or row.promised or row.fact.minimum):
            yield Warned("lot-without-dates", held.material.name, {"lot": held.label})


def _uncounted_waste(plan: Plan) -> Iterator[Warned]:
    for stream in plan.waste.streams:
        if stream.uncounted and stream.stream is not None:
            parts: Parts = {"measure": str(stream.stream.measure), "things": stream.uncounted}
            yield Warned("waste-not-included", stream.name, parts)


def _not_assigned(plan: Plan) -> Iterator[Warned]:
    """Warn of what no script says the end of: how much of what, and of which practicals."""
    amounts: dict[str, Decimal] = {}
    practicals: dict[str, dict[str, None]] = {}
    for work in plan.works:
        for line in work.scale.lines:
            if any(share.end == NOT_ASSIGNED for share in line.ends):
                amounts[line.name] = amounts.get(line.name, ZERO) + line.amount
                practicals.setdefault(line.name, {})[work.session.practical] = None
    for name, number in sorted(amounts.items()):
        if number:
            parts: Parts = {
                "amount": Amount(number, plan.materials[name].unit),
                "item": plan.label(name),
                "practicals": tuple(practicals[name]),
            }
            yield Warned("waste-not-assigned", NOT_ASSIGNED, parts)


def _waste_containers(plan: Plan) -> Iterator[Warned]:
    for stream in plan.waste.streams:
        if stream.lacks_containers:
            parts: Parts = {"wanted": stream.containers, "in_hand": stream.in_hand}
            yield Warned("waste-containers-short", stream.name, parts)


def _apparatus_short(plan: Plan) -> Iterator[Warned]:
    for apparatus in plan.apparatus:
        if apparatus.short > 0 and apparatus.at is not None:
            held = int(apparatus.held)
            parts: Parts = {"peak": apparatus.peak, "at": apparatus.at, "held": held}
            yield Warned("apparatus-short", apparatus.item.item, parts)
        for work in apparatus.not_computed:
            session = work.session.session
            yield Warned("apparatus-not-computed", apparatus.item.item, {"session": session})


def _clashing_rooms(plan: Plan) -> Iterator[Warned]:
    for first, second in clashes(work for work in plan.works if not work.is_done):
        parts: Parts = {
            "other": first.session.session,
            "room": second.session.room,
            "day": second.session.date,
        }
        yield Warned("room-taken-twice", second.session.session, parts)


def _too_small_parts(plan: Plan) -> Iterator[Warned]:
    """Warn of parts that are too small to weigh or to measure, in a making of a batch."""
    settings = plan.catalogue.settings
    for batch in plan.batches:
        for part in batch.parts:
            kind = part.ingredient.material.unit
            amount = settle(batch.per_making(part))
            parts: Parts = {
                "amount": Amount(amount, kind),
                "part": part.ingredient.material.name,
                "day": batch.make_on,
            }
            of = batch.solution.solution
            if kind is Kind.MASS and ZERO < amount < settings.smallest_weighing:
                least = Amount(settings.smallest_weighing, kind)
                yield Warned("too-small-to-weigh", of, {**parts, "least": least})
            if kind is Kind.VOLUME and ZERO < amount < settings.smallest_volume:
                least = Amount(settings.smallest_volume, kind)
                yield Warned("too-small-to-measure", of, {**parts, "least": least})


_MOSTLY_WANTED: Final = Decimal("0.6")
_LARGE_ML: Final = Decimal(10_000)


def _left_over_or_large(plan: Plan) -> Iterator[Warned]:
    """Warn of a batch of which much is left over, and of a large one with no largest vessel."""
    for batch in plan.batches:
        parts: Parts = {
            "volume": Amount(batch.volume_ml, Kind.VOLUME),
            "wanted": Amount(batch.wanted_ml, Kind.VOLUME),
            "day": batch.make_on,
        }
        if settle(batch.wanted_ml) < batch.volume_ml * _MOSTLY_WANTED:
            yield Warned("mostly-left-over", batch.solution.solution, parts)
        if batch.solution.largest_batch is None and batch.volume_ml > _LARGE_ML:
            yield Warned("no-largest-batch", batch.solution.solution, parts)


def _before_the_day(plan: Plan) -> Iterator[Warned]:
    """Warn of what must be ready before people are there."""
    begins = plan.catalogue.settings.day_begins
    early = (
        task
        for task in each_task(plan)
        if task.is_preparing and task.by is not None and task.by < begins
    )
    for task in in_order(early):
        if task.day is not None:
            parts: Parts = {
                "task": str(task.kind).lower(),
                "day": task.day,
                "at": f"{task.by:%H:%M}",
                "begins": f"{begins:%H:%M}",
            }
            yield Warned("before-the-day", _name_of(task.of), parts)


def _name_of(of: Subject) -> str:
    match of:
        case Batch():
            return of.solution.solution
        case Fetched():
            return of.work.session.session
        case SessionPlan():
            return of.work.session.session
        case _:
            return ""


def _without_parts(plan: Plan) -> Iterator[Warned]:
    for batch in {batch.name: batch for batch in plan.batches}.values():
        if not batch.parts:
            yield Warned("solution-without-parts", batch.solution.solution)


_WARNINGS: Final[tuple[Callable[[Plan], Iterator[Warned]], ...]] = (
    _booked_out_and_moved,
    _behind,
    _nobody_sells,
    _never_fresh,
    _not_of_one_lot,
    _short_before,
    warn_of_overdue,
    _apparatus_short,
    _clashing_rooms,
    _waste_containers,
    *COLLECTION_WARNINGS,
    _not_assigned,
    _uncounted_waste,
    _too_small,
    _undated,
    _to_be_tested,
    _retired,
    *MEETING_WARNINGS,
    *ORDER_WARNINGS,
    _without_parts,
    _too_small_parts,
    _left_over_or_large,
    _before_the_day,
)
