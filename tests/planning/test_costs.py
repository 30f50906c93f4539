"""What sessions cost, worked out by hand."""

from decimal import Decimal

from prepstore.planning.costs import costs_by_practical, unit_prices
from prepstore.planning.plan import Plan
from tests.builders import plan_of

TABLES = {
    "items": """
        item,   kind,       unit, supply
        salt,   reagent,    g,
        water,  solvent,    mL,   made on site
        paper,  consumable, each,
        flask,  apparatus,  each,""",
    "solutions": "solution\nbrine\nweak brine\nbought brine",
    "solution_parts": """
        solution,   item,  amount
        brine,      salt,  200 g/L
        brine,      water, to volume
        weak brine, brine, 100 mL/L
        weak brine, water, to volume""",
    "practicals": "practical,title\nP,A practical\nQ,Another",
    "practical_lines": """
        practical, item,         amount,  per,     spare
        P,         weak brine,   500 mL,  session, 0 %
        P,         salt,         10 g,    student, 10 %
        P,         flask,        1 each,  student, 0 %
        P,         water,        100 mL,  session, 0 %
        Q,         bought brine, 50 mL,   session, 0 %
        Q,         paper,        2 each,  student, 0 %""",
    "timetable": """
        session, practical, date,       students
        A,       P,         2027-02-02, 4
        B,       P,         2027-02-03, 6
        C,       Q,         2027-02-03, 5""",
    "suppliers": "supplier,lead_days,delivery_charge\nShop,1,4\nPort,1,",
    "packs": """
        pack, item,         supplier, size,   price
        A,    salt,         Shop,     1 kg,   9
        B,    salt,         Port,     500 g,  4
        C,    bought brine, Shop,     100 mL, 12""",
}


def _plan() -> Plan:
    return plan_of(**TABLES)


def test_a_unit_costs_what_the_cheapest_pack_asks_and_a_solution_what_its_parts_do() -> None:
    plan = _plan()
    prices = unit_prices(plan.catalogue, plan.packs)
    assert prices["salt"] == Decimal("0.008")  # 4 for 500 g
    assert prices["brine"] == Decimal("0.0016")  # 200 g in a litre: 1.60
    assert prices["weak brine"] == Decimal("0.00016")
    assert prices["bought brine"] == Decimal("0.12")
    assert "paper" not in prices


def test_a_practical_costs_what_its_sessions_use_up() -> None:
    first, second = costs_by_practical([_plan()])
    # 2 x 500 mL of weak brine at 0.16 a litre, and 11 g of salt for each of ten students.
    assert (first.practical, first.cost) == ("P", Decimal("0.16") + 110 * Decimal("0.008"))
    assert (first.sessions, first.students, first.not_priced) == (2, 10, set())
    assert (first.of_a_session, first.of_a_student) == (Decimal("0.52"), Decimal("0.104"))
    assert (second.practical, second.cost, second.not_priced) == ("Q", Decimal(6), {"paper"})


def test_weeks_add_up_and_a_practical_without_students_has_no_cost_of_one() -> None:
    first, second = costs_by_practical([_plan(), _plan()])
    assert (first.cost, second.sessions) == (Decimal("2.08"), 2)
    empty = plan_of(**TABLES | {"timetable": TABLES["timetable"].replace("03, 5", "03, 0")})
    assert [one.of_a_student for one in costs_by_practical([empty])][1] is None
