"""Facts to a Plan: the one loop, from finished solutions down to bottles."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from prepstore.amounts import ZERO
from prepstore.chemistry.conversions import Material, in_unit
from prepstore.chemistry.materials import ingredients_of, making_order, materials
from prepstore.facts import (
    Inventory,
    Item,
    ItemKind,
    Lot,
    Session,
    Solution,
    Supply,
    fold,
    is_retired,
)
from prepstore.planning.apparatus import ApparatusPlan, apparatus_plan, uses_by_item
from prepstore.planning.batches import Batch, BatchRules, Days, batches_for
from prepstore.planning.calendar import Calendar, Period
from prepstore.planning.demands import NOTHING, Demand, Scaler, SessionWork, session_demands
from prepstore.planning.draws import Served, drawn_from_deliveries, drawn_from_lots, serve
from prepstore.planning.orders import OrderRow, Shortage, earliest_arrival, orders_for
from prepstore.planning.plan import Plan, StockRow
from prepstore.planning.states import Source, lacks_by_session, session_plans
from prepstore.planning.stockroom import (
    Stockroom,
    in_date_amount,
    left_of_deliveries,
    restock,
    stockroom_of,
)
from prepstore.planning.warnings import warnings_of
from prepstore.planning.waste import waste_of


@dataclass(frozen=True, slots=True)
class _Ground:
    """What a plan stands on: facts, the days that matter, and the stores as of today."""

    inventory: Inventory
    materials: Mapping[str, Material]
    period: Period
    days: Days
    stockroom: Stockroom


def plan_period(inventory: Inventory, period: Period, today: date) -> Plan:
    """Return the plan of a period, made on a day.

    Args:
        inventory: Facts that have been checked: every name is known and every amount has a route.
        period: The days to plan, both included.
        today: The day the plan is made.

    Raises:
        NoRouteError, SolutionCircleError, ReplacementCircleError: The facts were not checked.
    """
    ground = _ground(inventory, period, today)
    promised, own = _works(ground)
    served, batches = _served(ground, promised, own)
    stock = {name: _stock_row(name, ground, of_name) for name, of_name in served.items()}
    own_batches = [batch for batch in batches if not batch.is_promised]
    unserved = [one for row in stock.values() for one in row.unserved]
    lacks = lacks_by_session(unserved, _sources(ground))
    plan = Plan(
        period=period,
        today=today,
        inventory=inventory,
        materials=ground.materials,
        stockroom=ground.stockroom,
        sessions=session_plans(own, lacks, own_batches),
        batches=tuple(sorted(own_batches, key=lambda batch: (batch.make_on, batch.name))),
        stock=stock,
        orders=_orders(ground, stock),
        waste=waste_of(own, inventory, ground.materials, today),
        apparatus=_apparatus(ground, own),
    )
    return replace(plan, warnings=tuple(warnings_of(plan)))


def _ground(inventory: Inventory, period: Period, today: date) -> _Ground:
    substances = materials(inventory)
    settings = inventory.settings
    calendar = Calendar(settings.working_days, settings.holidays)
    return _Ground(
        inventory,
        substances,
        period,
        Days(today, calendar, settings.prep_lead),
        stockroom_of(inventory, substances, today),
    )


def _works(ground: _Ground) -> tuple[list[SessionWork], list[SessionWork]]:
    """Return the sessions from today up to the period, and the period's own."""
    scaler = Scaler(ground.inventory, ground.materials)
    promised, own = [], []
    for session in ground.inventory.sessions:
        if session.date in ground.period:
            own.append(_work(session, scaler, ground, is_promised=False))
        elif ground.days.today <= session.date < ground.period.first:
            promised.append(_work(session, scaler, ground, is_promised=True))
    return promised, own


def _work(session: Session, scaler: Scaler, ground: _Ground, *, is_promised: bool) -> SessionWork:
    days = ground.days
    is_done = session.date < days.today or fold(session.session) in ground.inventory.booked_out
    return SessionWork(
        session=session,
        scale=NOTHING if is_done else scaler.scale(session),
        day_of_need=days.calendar.before(session.date, days.prep_lead),
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
    demands = _session_demands(ground.inventory, [*promised, *own])
    served: dict[str, list[Served]] = {}
    batches: list[Batch] = []
    for name in _from_finished_to_bottles(ground.inventory):
        served[name] = serve(demands.pop(name, ()), ground.stockroom.of(name))
        solution = ground.inventory.solutions.get(name)
        if solution is not None:
            unserved = [one for one in served[name] if one.unserved]
            made = batches_for(unserved, _rules(ground, name, solution), ground.days)
            for batch in made:
                for demand in batch.part_demands():
                    demands.setdefault(demand.name, []).append(demand)
            batches += made
    return served, batches


def _session_demands(inventory: Inventory, works: Iterable[SessionWork]) -> dict[str, list[Demand]]:
    demands: dict[str, list[Demand]] = {}
    for work in works:
        for demand in session_demands(work.scale.needs, work):
            if demand.amount and not _is_apparatus(inventory, demand.name):
                demands.setdefault(demand.name, []).append(demand)
    return demands


def _is_apparatus(inventory: Inventory, name: str) -> bool:
    item = inventory.items.get(name)
    return item is not None and item.kind is ItemKind.APPARATUS


def _from_finished_to_bottles(inventory: Inventory) -> list[str]:
    """Return folded names so that every solution comes before what it is made from."""
    made = [name for name in reversed(making_order(inventory.parts)) if name in inventory.solutions]
    unmade = [name for name in inventory.solutions if name not in inventory.parts]
    items = [name for name in inventory.items if not _is_apparatus(inventory, name)]
    return [*dict.fromkeys([*unmade, *made]), *items]


def _rules(ground: _Ground, name: str, solution: Solution) -> BatchRules:
    material = ground.materials[name]
    ingredients = ingredients_of(ground.inventory.parts.get(name, ()), ground.materials)
    return BatchRules(
        solution=solution,
        ingredients=ingredients or (),
        step_ml=in_unit(material, solution.step) if solution.step else None,
        largest_ml=in_unit(material, solution.largest_batch) if solution.largest_batch else None,
    )


def _stock_row(name: str, ground: _Ground, served: Sequence[Served]) -> StockRow:
    fact: Item | Solution = ground.inventory.items.get(name) or ground.inventory.solutions[name]
    material = ground.materials[name]
    supplies = ground.stockroom.of(name)
    promised = [one for one in served if one.demand.is_promised]
    own = [one for one in served if not one.demand.is_promised]
    first_need = min((one.demand.day_of_need for one in own), default=ground.period.first)
    drawn = drawn_from_lots(own)
    last = ground.period.last
    left = in_date_amount(supplies, last, drawn_from_lots(served)) + left_of_deliveries(
        supplies, last, drawn_from_deliveries(served)
    )
    labels: dict[str, Lot] = {lot.lot.lot: lot.lot for lot in supplies.lots}
    return StockRow(
        name=name,
        material=material,
        fact=fact,
        promised=sum((one.demand.amount for one in promised), ZERO),
        needed=sum((one.demand.amount for one in own), ZERO),
        usable=in_date_amount(supplies, first_need, drawn_from_lots(promised)),
        short=ZERO if material.is_solution else _unserved(own),
        restock=ZERO if is_retired(fact, ground.days.today) else restock(fact, material, left),
        lots=tuple((labels[label], amount) for label, amount in drawn.items()),
        served=tuple(served),
    )


def _unserved(served: Iterable[Served]) -> Decimal:
    return sum((one.unserved for one in served), ZERO)


def _sources(ground: _Ground) -> dict[str, Source]:
    """Return how each item comes, and the earliest day on which an order could bring it."""
    days = ground.days
    return {
        name: Source(
            item.supply,
            earliest_arrival(ground.stockroom.packs.get(name, ()), days.today, days.calendar),
        )
        for name, item in ground.inventory.items.items()
    }


def _orders(ground: _Ground, stock: Mapping[str, StockRow]) -> tuple[OrderRow, ...]:
    rows: list[OrderRow] = []
    for name, row in stock.items():
        if isinstance(row.fact, Item) and row.fact.supply is Supply.BOUGHT:
            shortage = Shortage(name, row.unserved, row.restock)
            packs = ground.stockroom.packs.get(name, ())
            rows += orders_for(shortage, packs, ground.days.today, ground.days.calendar)
    return tuple(
        sorted(
            rows,
            key=lambda row: (not row.is_late, row.order_by or date.max, row.pack.pack.pack),
        )
    )


def _apparatus(ground: _Ground, own: Iterable[SessionWork]) -> tuple[ApparatusPlan, ...]:
    apparatus = {
        name: item
        for name, item in ground.inventory.items.items()
        if item.kind is ItemKind.APPARATUS
    }
    users = uses_by_item(own, apparatus)
    first = ground.period.first
    return tuple(
        apparatus_plan(item, users[name], in_date_amount(ground.stockroom.of(name), first, {}))
        for name, item in apparatus.items()
    )
