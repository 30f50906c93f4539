"""A plan whose orders are one decision, from tables to rows."""

from prepstore.planning.plan import Plan
from tests.builders import figures, plan_of, warnings_about

TABLES = {
    "items": """
        item,kind,unit,density,storage,minimum,restock_to,most_held
        acetone,solvent,mL,0.79,cabinet,,,{most}
        ethanol,solvent,mL,0.79,cabinet,{minimum},,
        gloves,consumable,each,,,,,
        """,
    "practicals": "practical,title\nP,Washing",
    "practical_lines": """
        practical,item,amount,per,spare
        P,acetone,1 L,session,
        P,ethanol,500 mL,session,
        P,gloves,10 each,session,
        """,
    "timetable": "session,practical,date,students\nS,P,2027-02-03,4",
    "suppliers": """
        supplier,lead_days,delivery_charge,minimum_order
        North,2,8,{least}
        South,2,8,
        """,
    "packs": """
        pack,item,supplier,size,price
        N-AC,acetone,North,1 L,10
        S-AC,acetone,South,2 L,11
        N-ET,ethanol,North,500 mL,6
        N-GL,gloves,North,10 each,2
        """,
    "price_breaks": "{breaks}",
    "storage_limits": "{limits}",
    "settings": "setting,value\nordering,{ordering}\nbudget,{budget}",
}


def a_plan(**given: str) -> Plan:
    cells = {
        "most": "", "minimum": "", "least": "", "breaks": "", "limits": "", "budget": "",
        "ordering": "jointly", **given,
    }  # fmt: skip
    tables = {name: text.format(**cells) for name, text in TABLES.items()}
    return plan_of(**{name: text for name, text in tables.items() if text})


def ordered(plan: Plan) -> dict[str, int]:
    return {row.offer.code: row.packs for row in plan.orders}


def test_one_delivery_costs_less_than_the_cheapest_packs_from_two() -> None:
    """By hand: 10 + 6 + 2 and one charge of 8 are 26."""
    plan = a_plan()
    assert ordered(plan) == {"N-AC": 1, "N-ET": 1, "N-GL": 1}
    assert figures(plan.ordering.goods, plan.ordering.charges, plan.ordering.total) == (18, 8, 26)
    assert figures(plan.ordering.bound, plan.ordering.is_proven) == (26, True)


def test_item_by_item_says_what_it_comes_to_and_proves_nothing() -> None:
    plan = a_plan(ordering="by item")
    assert figures(plan.ordering.total, plan.ordering.bound, plan.ordering.is_proven) == (
        26,
        None,
        False,
    )


def test_a_minimum_is_reached_with_more_of_what_is_short() -> None:
    """By hand: 18 of goods, 20 wanted: one more pack of gloves."""
    plan = a_plan(least="20")
    assert ordered(plan) == {"N-AC": 1, "N-ET": 1, "N-GL": 2}
    assert list(warnings_about(plan, "North")) == []


def test_a_quantity_price_is_that_of_the_row() -> None:
    plan = a_plan(breaks="pack,from,price\nN-GL,3,0.50")
    (gloves,) = (row for row in plan.orders if row.offer.code == "N-GL")
    assert figures(gloves.packs, str(gloves.price), str(gloves.cost)) == (3, "0.50", "1.50")
    assert a_plan(breaks="pack,from,price\nN-GL,3,0.50", ordering="by item").ordering.goods == 18


def test_the_most_that_may_be_held_goes_before_restock_and_a_need_before_it() -> None:
    plan = a_plan(most="500 mL")
    assert ordered(plan)["N-AC"] == 1
    (said,) = warnings_about(plan, "acetone")
    assert said.startswith("1000 mL would be there and on order on Wed 27 Jan 2027")
    assert "more than the 500 mL that may be" in said
    assert "Order acetone later" in said


def test_a_place_of_storage_holds_so_much_of_all_its_items_together() -> None:
    """By hand: 1 L and 0.5 L are needed; the restock of 1.5 L has room for one pack of 0.5 L."""
    limits = "storage,most\nCabinet,2 L"
    plan = a_plan(limits=limits, minimum="1.5 L")
    assert ordered(plan) == {"N-AC": 1, "N-ET": 2, "N-GL": 1}
    (said,) = warnings_about(plan, "ethanol")
    assert said.startswith("1000 mL of spare or restock is not ordered")
    assert ordered(a_plan(minimum="1.5 L"))["N-ET"] == 4


def test_a_limit_by_mass_counts_what_is_kept_in_ml_by_its_density() -> None:
    plan = a_plan(limits="storage,most\ncabinet,1 kg")
    (said,) = warnings_about(plan, "cabinet")
    assert said.startswith("1185 g would be there")


def test_orders_above_the_budget_name_the_line_at_which_it_is_passed() -> None:
    """By hand: 10 + 8 for the delivery, 6 and 2."""
    (said,) = warnings_about(a_plan(budget="25.99"), "gloves")
    assert said.startswith("The orders come to 26.00 with delivery, above the budget of 25.99")
    assert "passed at 1 x N-GL from North" in said
    assert warnings_about(a_plan(budget="17.99"), "acetone") != []
    assert warnings_about(a_plan(budget="18"), "acetone") == []
    assert warnings_about(a_plan(budget="26"), "gloves") == []


def test_a_solution_that_is_sold_and_not_made_is_bought() -> None:
    tables = {
        name: text.format_map(
            dict.fromkeys(("most", "minimum", "least", "breaks", "limits", "budget"), "")
            | {"ordering": "jointly"}
        )
        for name, text in TABLES.items()
    }
    tables = {name: text for name, text in tables.items() if text}
    lines = tables["practical_lines"] + "        P,buffer,20 mL,session,\n"
    packs = tables["packs"] + "        N-BU,buffer,North,500 mL,9\n"
    solutions = "solution,shelf_life\nbuffer,30"
    bought = plan_of(**{**tables, "practical_lines": lines, "packs": packs, "solutions": solutions})
    assert ordered(bought)["N-BU"] == 1
    assert figures(bought.batches, bought.stock["buffer"].short) == ((), 20)
    parts = "solution,item,amount\nbuffer,ethanol,1 parts\nbuffer,acetone,9 parts"
    made = plan_of(
        **{
            **tables,
            "practical_lines": lines,
            "packs": packs,
            "solutions": solutions,
            "solution_parts": parts,
        }
    )
    assert "N-BU" not in ordered(made)
    assert [batch.name for batch in made.batches] == ["buffer"]
