"""What to look at in a plan's orders, and in what is on order."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Final

from prepstore.amounts import ZERO, Amount
from prepstore.cell_types import fold
from prepstore.planning.plan import Plan
from prepstore.planning.supplies import overdue
from prepstore.planning.warned import Parts, Warned


def _below_minimum_order(plan: Plan) -> Iterator[Warned]:
    totals: dict[str, Decimal] = {}
    for order in plan.orders:
        name = fold(order.offer.supplier.supplier)
        totals[name] = totals.get(name, ZERO) + order.cost
    for name, supplier in plan.catalogue.suppliers.items():
        total = totals.get(name)
        if total is not None and supplier.minimum_order and total < supplier.minimum_order:
            parts: Parts = {"total": total, "minimum": supplier.minimum_order}
            yield Warned("below-minimum-order", supplier.supplier, parts)


def _limits_exceeded(plan: Plan) -> Iterator[Warned]:
    """Warn where more would be there than may be: needs go first, and what is given up for it."""
    ordered = plan.ordering.jointly
    if ordered is None:
        return
    for limit in ordered.exceeded:
        parts: Parts = {
            "held": Amount(limit.held, limit.most.kind),
            "most": Amount(limit.most.amount, limit.most.kind),
            "day": limit.day,
            "packs": tuple(plan.label(name) for name in limit.names),
        }
        if limit.most.of_storage:
            yield Warned("storage-limit-exceeded", limit.most.name, parts)
        else:
            yield Warned("most-held-exceeded", limit.most.name, parts)
    for name, amount in ordered.given_up:
        given: Parts = {"amount": Amount(amount, plan.materials[name].unit)}
        yield Warned("restock-given-up", plan.label(name), given)
    for most in ordered.stand.limits:
        if most.unknown:
            yield Warned("not-in-storage-limit", most.name, {"items": most.unknown})


def _over_budget(plan: Plan) -> Iterator[Warned]:
    """Warn of orders above the budget: at which row, in the order of the sheet, it is passed."""
    budget = plan.catalogue.settings.budget
    crossing = plan.ordering.row_above(budget) if budget is not None else None
    if crossing is not None:
        parts: Parts = {
            "total": plan.ordering.total,
            "budget": budget,
            "packs": crossing.packs,
            "pack": crossing.offer.code,
            "supplier": crossing.offer.supplier.supplier,
        }
        yield Warned("over-budget", plan.label(crossing.name), parts)


def _not_proven(plan: Plan) -> Iterator[Warned]:
    choice = plan.ordering
    if choice.jointly is not None and not choice.is_proven:
        parts: Parts = {"total": choice.total, "bound": choice.jointly.answer.bound}
        yield Warned("cost-not-proven", choice.suppliers[0].supplier.supplier, parts)


def _no_lead_time(plan: Plan) -> Iterator[Warned]:
    for name in sorted({fold(order.offer.supplier.supplier) for order in plan.orders}):
        supplier = plan.catalogue.suppliers[name]
        if supplier.lead_days is None:
            yield Warned("no-lead-time", supplier.supplier)


def warn_of_overdue(plan: Plan) -> Iterator[Warned]:
    """Warn of each delivery that should have come, and counts nothing."""
    for delivery in overdue(plan.stores, plan.today):
        parts: Parts = {
            "packs": delivery.order.packs,
            "pack": delivery.pack,
            "reference": delivery.order.reference,
            "due": delivery.due,
        }
        yield Warned("delivery-overdue", plan.label(delivery.name), parts)


ORDER_WARNINGS: Final[tuple[Callable[[Plan], Iterator[Warned]], ...]] = (
    _below_minimum_order,
    _limits_exceeded,
    _over_budget,
    _not_proven,
    _no_lead_time,
)
