"""What a person should look at, beside what a plan asks them to do."""

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, is_more_than_nothing, plain, settle
from prepstore.facts import Item, Lot, Supply, fold, is_retired
from prepstore.planning.apparatus import clashes
from prepstore.planning.draws import Served
from prepstore.planning.peroxides import due_for_test, forms_peroxides, has_no_known_day
from prepstore.planning.plan import Plan, StockRow, Warned
from prepstore.planning.stockroom import still_unserved


def warnings_of(plan: Plan) -> Iterator[Warned]:
    """Yield what to look at, gravest first."""
    for warn in _WARNINGS:
        yield from warn(plan)


def _amount(number: Decimal, unit: str) -> str:
    return f"{plain(settle(number))} {unit}"


def _booked_out_and_moved(plan: Plan) -> Iterator[Warned]:
    """Warn of a session that is booked out and stands on another day of the timetable now."""
    for work in plan.works:
        session = work.session
        day = plan.inventory.booked_out.get(fold(session.session))
        if day is not None and day != session.date:
            yield Warned(
                session.session,
                f"It was booked out for {day}, so it is done, and the timetable has it on "
                f"{session.date} now. If it is still to run, undo what was booked, or give it a "
                "name of its own.",
            )


def _nobody_sells(plan: Plan) -> Iterator[Warned]:
    for row in plan.stock.values():
        wanted = row.short + row.restock
        is_sold = row.name in plan.stockroom.packs
        if _is_bought(row) and not is_sold and is_more_than_nothing(wanted):
            amount = _amount(wanted, row.material.unit)
            message = f"{amount} is to be bought, and {_why_not_sold(plan, row)}"
            yield Warned(row.material.name, message)


def _why_not_sold(plan: Plan, row: StockRow) -> str:
    if is_retired(row.fact, plan.today):
        return f"it is retired since {row.fact.retired}, so it is not ordered."
    if any(fold(pack.item) == row.name for pack in plan.inventory.packs.values()):
        return "every supplier of it in the table packs is retired."
    return "no pack of it is in the table packs."


def _is_bought(row: StockRow) -> bool:
    return getattr(row.fact, "supply", None) is Supply.BOUGHT


def _promised_short(plan: Plan) -> Iterator[Warned]:
    for row in plan.stock.values():
        if row.material.is_solution:
            continue
        unserved = still_unserved(row.served, promised=True)
        if unserved:
            amount = _amount(sum((one.unserved for one in unserved), ZERO), row.material.unit)
            sessions = {work.session.session for one in unserved for work in one.demand.sessions}
            yield Warned(
                row.material.name,
                f"{amount} is short for sessions before this period "
                f"({', '.join(sorted(sessions))}). It is not ordered in this plan.",
            )


def _slower_pack(plan: Plan) -> Iterator[Warned]:
    """Warn where the cheapest late pack keeps a further session waiting."""
    for order in plan.orders:
        if order.is_late:
            waiting = {
                work.session.session
                for one in plan.stock[order.name].unserved
                if one.demand.day_of_need < order.arrives
                for work in one.demand.sessions
                if not work.is_promised
            } - {work.session.session for work in order.stops}
            if waiting:
                yield Warned(
                    plan.label(order.name),
                    f"{order.pack.pack.pack} arrives on {order.arrives}, too late for "
                    f"{', '.join(sorted(waiting))} as well; a faster pack could be there in time.",
                )


def _retired(plan: Plan) -> Iterator[Warned]:
    """Yield a warning for each item and solution that is used though it is retired."""
    for row in plan.stock.values():
        days = [one.demand.day_of_use for one in row.served if not one.demand.is_promised]
        if days and is_retired(row.fact, max(days)):
            message = f"It is used on {max(days)}, though it is retired since {row.fact.retired}."
            yield Warned(row.material.name, f"{message} Replace it, or take it into use again.")


def _to_be_tested(plan: Plan) -> Iterator[Warned]:
    """Yield a warning for each lot that is used after the last day for its peroxide test."""
    for row in plan.stock.values():
        if isinstance(row.fact, Item) and forms_peroxides(row.fact):
            for lot, _ in row.lots:
                used = [one.demand.day_of_use for one in row.served if _draws_on(one, lot)]
                message = _test_before_use(lot, row.fact, used)
                if message:
                    yield Warned(row.fact.item, message)


def _test_before_use(lot: Lot, item: Item, used: Iterable[date]) -> str:
    """Return what to do before a lot is used on some days; blank where nothing is."""
    if has_no_known_day(lot, item):
        return (
            f"Lot {lot.lot} forms peroxides and is used, and neither the day it was opened nor the "
            "day it was received is known. Write the day into the table stock if a record tells "
            "it. Else its age is not known: leave it closed and ask the competent person."
        )
    due = due_for_test(lot, item)
    late = min((day for day in used if due is not None and day > due), default=None)
    if late is None:
        return ""
    since = f"opened {lot.opened}" if lot.opened else f"received {lot.received}"
    tested = f", last tested {lot.tested}" if lot.tested else ""
    return (
        f"Lot {lot.lot} ({since}{tested}) is to be tested for peroxides by {due}, before it is "
        f"used on {late}, or to be discarded."
    )


def _draws_on(served: Served, lot: Lot) -> bool:
    return not served.demand.is_promised and any(draw.lot is lot for draw in served.draws)


def _below_minimum_order(plan: Plan) -> Iterator[Warned]:
    totals: dict[str, Decimal] = {}
    for order in plan.orders:
        name = order.pack.supplier.supplier
        totals[name] = totals.get(name, ZERO) + order.cost
    for supplier in plan.inventory.suppliers.values():
        total = totals.get(supplier.supplier)
        if total is not None and supplier.minimum_order and total < supplier.minimum_order:
            yield Warned(
                supplier.supplier,
                f"The order comes to {total:.2f}, below the minimum order of "
                f"{supplier.minimum_order:.2f}.",
            )


def _no_lead_time(plan: Plan) -> Iterator[Warned]:
    ordered = {fold(order.pack.supplier.supplier) for order in plan.orders}
    for name in sorted(ordered):
        supplier = plan.inventory.suppliers[name]
        if supplier.lead_days is None:
            message = "No lead time is given, so its packs are taken to arrive on the day."
            yield Warned(supplier.supplier, message)


def _overdue(plan: Plan) -> Iterator[Warned]:
    for order in plan.stockroom.overdue:
        pack = plan.inventory.packs[fold(order.pack)]
        reference = f" ({order.reference})" if order.reference else ""
        yield Warned(
            pack.item,
            f"{order.packs} x {pack.pack}{reference} was due on {order.due} and is not counted. "
            "Ask the supplier, or record the delivery.",
        )


def _undated(plan: Plan) -> Iterator[Warned]:
    for lot in plan.stockroom.undated:
        row = plan.stock.get(fold(lot.item))
        if row is not None and (row.needed or row.promised or row.fact.minimum):
            message = f"Lot {lot.lot} has neither an expiry nor an opened date; it is counted."
            yield Warned(lot.item, message)


def _uncounted_waste(plan: Plan) -> Iterator[Warned]:
    for stream in plan.waste.streams:
        if stream.uncounted:
            things = ", ".join(stream.uncounted)
            message = f"Counted as nothing, for want of a density or being counted: {things}."
            yield Warned(stream.name, message)


def _not_assigned(plan: Plan) -> Iterator[Warned]:
    for stream in plan.waste.streams:
        if stream.stream is None:
            amount = _amount(stream.total.allow_for, stream.kind)
            message = f"No script says where {amount} ends. Fill in the column to of its lines."
            yield Warned(stream.name, message)


def _waste_containers(plan: Plan) -> Iterator[Warned]:
    for stream in plan.waste.streams:
        if stream.lacks_containers:
            verb = "is" if stream.in_hand == 1 else "are"
            yield Warned(
                stream.name,
                f"{stream.containers} containers are wanted, the open one included, and "
                f"{stream.in_hand} {verb} in hand.",
            )


def _apparatus_short(plan: Plan) -> Iterator[Warned]:
    for apparatus in plan.apparatus:
        if apparatus.short > 0 and apparatus.at is not None:
            yield Warned(
                apparatus.item.item,
                f"{apparatus.peak} are out at once from {apparatus.at:%Y-%m-%d %H:%M}, and "
                f"{plain(apparatus.held)} are held.",
            )
        for work in apparatus.not_computed:
            yield Warned(
                apparatus.item.item,
                f"How many {work.session.session} wants is not computed: give its lines within, or "
                "the session a start and an end.",
            )


def _clashing_rooms(plan: Plan) -> Iterator[Warned]:
    for first, second in clashes(work for work in plan.works if not work.is_done):
        yield Warned(
            second.session.session,
            f"It overlaps with {first.session.session} in {second.session.room} on "
            f"{second.session.date}.",
        )


def _without_parts(plan: Plan) -> Iterator[Warned]:
    for batch in {batch.name: batch for batch in plan.batches}.values():
        if not batch.parts:
            message = "It is to be made up, and the table solution_parts has no parts of it."
            yield Warned(batch.solution.solution, message)


_WARNINGS: Final[tuple[Callable[[Plan], Iterator[Warned]], ...]] = (
    _booked_out_and_moved,
    _nobody_sells,
    _slower_pack,
    _promised_short,
    _overdue,
    _apparatus_short,
    _clashing_rooms,
    _waste_containers,
    _not_assigned,
    _uncounted_waste,
    _undated,
    _to_be_tested,
    _retired,
    _below_minimum_order,
    _no_lead_time,
    _without_parts,
)
