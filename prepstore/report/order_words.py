"""What an order comes to, and why a pack is in it, in words."""

from collections.abc import Iterator

from prepstore.amounts import ZERO
from prepstore.planning.ordering.jointly import total_without
from prepstore.planning.orders import OrderRow
from prepstore.planning.plan import Plan
from prepstore.planning.tasks import SupplierOrder
from prepstore.report.wording import money_in_words


def order_in_short(order: SupplierOrder, currency: str | None) -> str:
    """Return how many lines an order has, and what it comes to."""
    charge = order.supplier.delivery_charge
    total = money_in_words(order.goods + (charge or ZERO), currency)
    lines = f"{len(order.rows)} line{'s' if len(order.rows) > 1 else ''}"
    return f"{lines}, {total} with delivery" if charge else f"{lines}, {total}"


def why_this_pack(plan: Plan, row: OrderRow) -> Iterator[str]:
    """Yield what all orders would cost without packs of this code; nothing item by item.

    The question is asked anew, so that this is for a few rows and not for a list of them.
    """
    ordered, currency = plan.ordering.jointly, plan.catalogue.settings.currency
    if ordered is None:
        return
    total = money_in_words(plan.ordering.total, currency)
    next_best = total_without(ordered, row.offer.code)
    if next_best is None:
        yield f"{row.offer.code}: no other pack comes in time; all orders come to {total}"
    elif next_best > plan.ordering.total:
        more = money_in_words(next_best - plan.ordering.total, currency)
        yield (
            f"{row.offer.code} from {row.offer.supplier.supplier}: all orders come to {total} with "
            f"delivery; the best without this pack costs {more} more"
        )
    else:
        yield (
            f"{row.offer.code} from {row.offer.supplier.supplier}: all orders come to {total} with "
            "delivery; without this pack they could cost the same, with more left over, more "
            "suppliers, more packs or a later pack code"
        )
