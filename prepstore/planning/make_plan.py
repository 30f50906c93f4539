"""Facts to a Plan: the one loop, from finished solutions down to bottles."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.catalogue import Catalogue
from prepstore.cell_types import Ordering, Supply, fold
from prepstore.chemistry.conversions import in_unit
from prepstore.chemistry.materials import ingredients_of, making_order
from prepstore.facts import Item, Session, Solution, SolutionPart, is_retired
from prepstore.planning.apparatus import ApparatusPlan, apparatus_plan, uses_by_item
from prepstore.planning.batches import Batch, BatchRules, batches_for
from prepstore.planning.calendar import Calendar, Period
from prepstore.planning.days import LOOK_BACK, Days
from prepstore.planning.demands import NOTHING, Demand, Scaler, SessionWork, session_demands
from prepstore.planning.draws import (
    Served,
    Supplies,
    drawn_from_deliveries,
    drawn_from_lots,
    serve,
)
from prepstore.planning.leftovers import Leftover, leftovers_of
from prepstore.planning.ordering.jointly import order_jointly
from prepstore.planning.ordering.order_choice import OrderChoice, chosen_by_item, chosen_jointly
from prepstore.planning.ordering.stands import stand_of
from prepstore.planning.orders import Offer, Shortage, orders_for
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.states import Source, lacks_by_session, session_plans
from prepstore.planning.supplies import (
    in_date_amount,
    left_of_deliveries,
    packs_sold,
    restock,
    supplies_of,
)
from prepstore.planning.warnings import warnings_of
from prepstore.planning.waste import Leaving, WastePlan, waste_of
from prepstore.stores import Stores
from prepstore.timetable import Timetable


@dataclass(frozen=True, slots=True)
class _Ground:
    """What a plan stands on: what is known and asked, the days that matter, what there is.

    `keeps` are the days that items keep from when they arrive, of those that do not keep.
    """

    catalogue: Catalogue
    scaler: Scaler
    timetable: Timetable
    period: Period
    days: Days
    supplies: Mapping[str, Supplies]
    packs: Mapping[str, tuple[Offer, ...]]
    keeps: Mapping[str, int]


def plan_period(
    catalogue: Catalogue, timetable: Timetable, stores: Stores, period: Period, today: date
) -> Plan:
    """Return the plan of a period, made on a day.

    Args:
        catalogue: Facts that have been checked: every name is known, every amount has a route.
        timetable: The sessions, and which are booked out.
        stores: What there is as of that day.
        period: The days to plan, both included.
        today: The day the plan is made.

    Raises:
        NoRouteError, SolutionCircleError, ReplacementCircleError: The facts were not checked.
    """
    ground = _ground(catalogue, timetable, stores, period, today)
    promised, own = _works(ground)
    served, batches = _served(ground, promised, own)
    stock = {name: _stock_row(name, ground, of_name) for name, of_name in served.items()}
    batches = _parts_first(batches, catalogue.parts)
    own_batches = tuple(batch for batch in batches if not batch.is_promised)
    unserved = [one for row in stock.values() for one in row.unserved]
    lacks = lacks_by_session(unserved, _sources(ground))
    plan = Plan(
        period=period,
        days=ground.days,
        catalogue=catalogue,
        timetable=timetable,
        stores=stores,
        supplies=ground.supplies,
        packs=ground.packs,
        sessions=session_plans(own, lacks, own_batches),
        batches=own_batches,
        promised_batches=tuple(batch for batch in batches if batch.is_promised),
        stock=stock,
        ordering=_ordering(ground, stock, stores),
        waste=_waste(own, promised, leftovers_of(batches), ground, stores),
        leftovers=leftovers_of(own_batches),
        apparatus=_apparatus(ground, own),
        waste_until=lambda day: waste_left(catalogue, timetable, stores, Period(today, day), today),
        behind=_behind(ground),
    )
    return plan.with_warnings(warnings_of(plan))


@dataclass(frozen=True, slots=True)
class TakenBySessions:
    """What a period's sessions take, and from where, as its plan has it, without the rest of it.

    `served` and `supplies` go by folded name of an item or solution.
    """

    works: tuple[SessionWork, ...]
    served: Mapping[str, Sequence[Served]]
    supplies: Mapping[str, Supplies]


def taken_by_sessions(
    catalogue: Catalogue, timetable: Timetable, stores: Stores, period: Period, today: date
) -> TakenBySessions:
    """Return what the sessions of a period take, and from where.

    Args:
        catalogue: As for `plan_period`.
        timetable: The sessions, and which are booked out.
        stores: What there is as of that day.
        period: The days of the sessions, both included.
        today: The day from which on sessions are to come.
    """
    ground = _ground(catalogue, timetable, stores, period, today)
    promised, own = _works(ground)
    served, _ = _served(ground, promised, own)
    return TakenBySessions(tuple(own), served, ground.supplies)


def waste_left(
    catalogue: Catalogue, timetable: Timetable, stores: Stores, period: Period, today: date
) -> WastePlan:
    """Return what a period leaves behind, as its plan has it, without the rest of that plan.

    Args:
        catalogue: As for `plan_period`.
        timetable: The sessions, and which are booked out.
        stores: What there is as of today; what is left of batches follows from it.
        period: The days whose waste is counted, both included.
        today: The day from which on sessions are to come.
    """
    ground = _ground(catalogue, timetable, stores, period, today)
    promised, own = _works(ground)
    _, batches = _served(ground, promised, own)
    return _waste(own, promised, leftovers_of(batches), ground, stores)


def _ground(
    catalogue: Catalogue, timetable: Timetable, stores: Stores, period: Period, today: date
) -> _Ground:
    settings = catalogue.settings
    calendar = Calendar(settings.working_days, settings.holidays)
    return _Ground(
        catalogue,
        Scaler(catalogue),
        timetable,
        period,
        Days(today, calendar, settings.prep_lead),
        supplies_of(stores, today),
        packs_sold(catalogue, today),
        {name: item.shelf_life for name, item in _bought(catalogue) if item.shelf_life is not None},
    )


def _bought(catalogue: Catalogue) -> Iterator[tuple[str, Item | Solution]]:
    """Yield what suppliers, or the laboratory's own machines, give, by folded name."""
    yield from catalogue.items.items()
    for name, solution in catalogue.solutions.items():
        if catalogue.is_bought(name):
            yield name, solution


def _works(ground: _Ground) -> tuple[list[SessionWork], list[SessionWork]]:
    """Return the sessions from today up to the period, and the period's own."""
    promised, own = [], []
    for session in ground.timetable.sessions:
        if session.date in ground.period:
            own.append(_work(session, ground, is_promised=False))
        elif ground.days.today <= session.date < ground.period.first:
            promised.append(_work(session, ground, is_promised=True))
    return promised, own


def _behind(ground: _Ground) -> tuple[SessionWork, ...]:
    """Return the sessions of the last weeks that are over and not booked out, in order."""
    today, scaler = ground.days.today, ground.scaler
    over = [
        SessionWork(session, scaler.scale(session), session.date, is_done=True)
        for session in ground.timetable.sessions
        if today - LOOK_BACK <= session.date < today
        if session.students and not ground.timetable.is_booked_out(session)
    ]
    return tuple(sorted(over, key=lambda work: work.order))


def _work(session: Session, ground: _Ground, *, is_promised: bool) -> SessionWork:
    days = ground.days
    is_done = session.date < days.today or ground.timetable.is_booked_out(session)
    return SessionWork(
        session=session,
        scale=NOTHING if is_done else ground.scaler.scale(session),
        day_of_need=days.day_of_need(session.date),
        is_promised=is_promised,
        is_done=is_done,
    )


def _served(
    ground: _Ground, promised: Iterable[SessionWork], own: Iterable[SessionWork]
) -> tuple[dict[str, list[Served]], list[Batch]]:
    """Serve every demand, solutions before what they are made from.

    A solution's demands are served from stock; a batch makes the rest, and asks for its parts in
    turn. Apparatus is not served here: it comes back.
    """
    demands = _session_demands(ground, [*promised, *own])
    served: dict[str, list[Served]] = {}
    batches: list[Batch] = []
    for name in _from_finished_to_bottles(ground.catalogue):
        served[name] = serve(demands.pop(name, ()), ground.supplies[name])
        solution = ground.catalogue.solutions.get(name)
        if solution is not None and not ground.catalogue.is_bought(name):
            unserved = [one for one in served[name] if one.unserved]
            made = batches_for(unserved, _rules(ground.catalogue, name, solution), ground.days)
            for batch in made:
                for demand in batch.demands:
                    demands.setdefault(demand.name, []).append(demand)
            batches += made
    return served, batches


def _parts_first(
    batches: Iterable[Batch], parts: Mapping[str, tuple[SolutionPart, ...]]
) -> list[Batch]:
    """Return batches in order of make-day; on one day each after what it is made from, by name."""
    levels: dict[str, int] = {}
    for name in making_order(parts):
        below = [fold(part.item) for part in parts.get(name, ())]
        levels[name] = 1 + max((levels[one] for one in below), default=-1)
    return sorted(batches, key=lambda batch: (batch.make_on, levels.get(batch.name, 0), batch.name))


def _session_demands(ground: _Ground, works: Iterable[SessionWork]) -> dict[str, list[Demand]]:
    demands: dict[str, list[Demand]] = {}
    apparatus = ground.catalogue.apparatus
    for work in works:
        for demand in session_demands(work, _own_days_of_need(work, ground)):
            if demand.amount and demand.name not in apparatus:
                demands.setdefault(demand.name, []).append(demand)
    return demands


def _own_days_of_need(work: SessionWork, ground: _Ground) -> dict[str, date]:
    """Return the days of need of what a session uses that does not keep, by folded name."""
    return {
        name: ground.days.fresh_enough(work.day_of_need, work.session.date, shelf_life)
        for name, shelf_life in ground.keeps.items()
        if name in work.scale.needs
    }


def _from_finished_to_bottles(catalogue: Catalogue) -> list[str]:
    """Return folded names so that every solution comes before what it is made from."""
    made = [name for name in reversed(making_order(catalogue.parts)) if name in catalogue.solutions]
    unmade = [name for name in catalogue.solutions if name not in catalogue.parts]
    items = [name for name in catalogue.items if name not in catalogue.apparatus]
    return [*dict.fromkeys([*made, *unmade]), *items]


def _rules(catalogue: Catalogue, name: str, solution: Solution) -> BatchRules:
    material = catalogue.materials[name]
    ingredients = ingredients_of(catalogue.parts.get(name, ()), catalogue.materials)
    return BatchRules(
        solution=solution,
        ingredients=ingredients or (),
        step_ml=in_unit(material, solution.step) if solution.step else None,
        largest_ml=in_unit(material, solution.largest_batch) if solution.largest_batch else None,
        flasks_ml=catalogue.settings.flasks,
    )


def _stock_row(name: str, ground: _Ground, served: Sequence[Served]) -> StockRow:
    fact: Item | Solution = ground.catalogue.items.get(name) or ground.catalogue.solutions[name]
    material = ground.catalogue.materials[name]
    supplies = ground.supplies[name]
    promised = [one for one in served if one.demand.is_promised]
    own = [one for one in served if not one.demand.is_promised]
    first_need = min((one.demand.day_of_need for one in own), default=ground.period.first)
    drawn = drawn_from_lots(own)
    drawn_in_all = drawn_from_lots(served) if promised else drawn
    last = ground.period.last
    left = in_date_amount(supplies, last, drawn_in_all) + left_of_deliveries(
        supplies, last, drawn_from_deliveries(served)
    )
    lots = {fold(held.label): held.lot for held in supplies.lots}
    return StockRow(
        name=name,
        material=material,
        fact=fact,
        promised=sum((one.demand.amount for one in promised), ZERO),
        needed=sum((one.demand.amount for one in own), ZERO),
        usable=in_date_amount(supplies, first_need, drawn_from_lots(promised)),
        left=left,
        short=ZERO if supplies.is_made else _unserved(own),
        restock=ZERO if is_retired(fact, ground.days.today) else restock(fact, material, left),
        lots=tuple((lots[label], amount) for label, amount in drawn.items()),
        served=tuple(served),
        is_made=supplies.is_made,
    )


def _unserved(served: Iterable[Served]) -> Decimal:
    return sum((one.unserved for one in served), ZERO)


def _sources(ground: _Ground) -> dict[str, Source]:
    """Return how each item comes, and the earliest day on which an order could bring it."""
    days = ground.days
    return {
        name: Source(
            item.supply if isinstance(item, Item) else Supply.BOUGHT,
            min(
                (days.arrival(pack.lead_days) for pack in ground.packs.get(name, ())), default=None
            ),
        )
        for name, item in _bought(ground.catalogue)
    }


def _waste(
    own: Sequence[SessionWork],
    promised: Sequence[SessionWork],
    leftovers: Iterable[Leftover],
    ground: _Ground,
    stores: Stores,
) -> WastePlan:
    """Return what goes where; what is left of a batch counts where its last day is planned."""
    counted = [one for one in leftovers if one.to and one.date <= ground.period.last]
    return waste_of(
        Leaving(tuple(own), tuple(one for one in counted if not one.batch.is_promised)),
        Leaving(tuple(promised), tuple(one for one in counted if one.batch.is_promised)),
        stores,
        ground.days.today,
    )


def _ordering(ground: _Ground, stock: Mapping[str, StockRow], stores: Stores) -> OrderChoice:
    shortages = [
        Shortage(name, unserved, row.restock, row.fact.shelf_life)
        for name, row in stock.items()
        if ground.catalogue.is_bought(name)
        if (unserved := row.unserved) or row.restock
    ]
    if ground.catalogue.settings.ordering is Ordering.JOINTLY:
        served = (one for row in stock.values() for one in row.served)
        stand = stand_of(stores, served)
        return chosen_jointly(order_jointly(shortages, ground.packs, ground.days, stand))
    return chosen_by_item(
        row
        for shortage in shortages
        for row in orders_for(shortage, ground.packs.get(shortage.name, ()), ground.days)
    )


def _apparatus(ground: _Ground, own: Iterable[SessionWork]) -> tuple[ApparatusPlan, ...]:
    apparatus = ground.catalogue.apparatus
    users = uses_by_item(own, apparatus)
    first = ground.period.first
    return tuple(
        apparatus_plan(item, users[name], in_date_amount(ground.supplies[name], first, {}))
        for name, item in apparatus.items()
    )
