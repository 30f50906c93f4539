from prepstore.planning.ordering.order_choice import chosen_by_item
from tests.builders import day, figures
from tests.planning.ordering.test_jointly import a_plan


def test_each_supplier_has_its_goods_its_charge_and_the_first_last_day() -> None:
    """A working day before Wednesday 3 February is the 2nd; two days earlier it is ordered."""
    choice = a_plan().ordering
    (north,) = choice.suppliers
    assert figures(north.supplier.supplier, north.goods, north.charge) == ("North", 18, 8)
    assert north.order_by == day("01-29")


def test_no_rows_cost_nothing_and_nothing_is_cheaper() -> None:
    nothing = chosen_by_item([])
    assert figures(nothing.total, nothing.bound, nothing.is_proven, nothing.suppliers) == (
        0,
        0,
        True,
        (),
    )


def test_late_rows_stand_first_then_by_the_last_day_then_by_code() -> None:
    rows = a_plan().orders
    assert [row.offer.code for row in chosen_by_item(reversed(rows)).rows] == [
        "N-AC",
        "N-ET",
        "N-GL",
    ]
