from prepstore.planning.ordering.order_choice import chosen_by_item
from prepstore.planning.tasks import SupplierOrder, tasks_of
from tests.builders import day, figures, plan_of
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


def test_a_supplier_gets_one_order_but_for_what_would_not_keep() -> None:
    """By hand: it keeps 3 days; what is used five days later is sent on a day of its own."""
    plan = plan_of(
        items="item,kind,unit,shelf_life\nleaves,consumable,g,3\nsalt,reagent,g,",
        practical_lines=(
            "practical,item,amount,per,spare\nP,leaves,10 g,session,\nP,salt,1 g,session,"
        ),
        timetable="session,practical,date,students\nS1,P,2027-02-02,1\nS2,P,2027-02-07,1",
        suppliers="supplier,lead_days\nNorth,1",
        packs="pack,item,supplier,size,price\nL,leaves,North,10 g,1\nS,salt,North,1 g,1",
        settings="setting,value\nordering,jointly\nworking_days,Mon-Sun",
    )
    orders = [task.of for task in tasks_of(plan) if isinstance(task.of, SupplierOrder)]
    assert [[row.offer.code for row in order.rows] for order in orders] == [["L", "S"], ["L"]]
    assert [str(order.send_by) for order in orders] == ["2027-01-31", "2027-02-05"]
