from prepstore.planning.tasks import SupplierOrder, tasks_of
from prepstore.report.order_words import order_in_short, why_this_pack
from tests.planning.ordering.test_jointly import a_plan


def test_an_order_says_how_many_lines_it_has_and_what_it_comes_to() -> None:
    (order,) = (task.of for task in tasks_of(a_plan()) if isinstance(task.of, SupplierOrder))
    assert order_in_short(order, "EUR") == "3 lines, 26.00 EUR with delivery"


def test_a_pack_is_explained_by_what_all_would_cost_without_it() -> None:
    """By hand: acetone from South for 11 instead of 10, and one more charge of 8."""
    plan = a_plan()
    rows = {row.offer.code: row for row in plan.orders}
    (why,) = why_this_pack(plan, rows["N-AC"])
    assert why.endswith(
        "all orders come to 26.00 with delivery; the best without this pack costs 9.00 more"
    )
    (why,) = why_this_pack(plan, rows["N-GL"])
    assert why == "N-GL: no other pack comes in time; all orders come to 26.00"
    by_item = a_plan(ordering="by item")
    assert list(why_this_pack(by_item, by_item.orders[0])) == []
