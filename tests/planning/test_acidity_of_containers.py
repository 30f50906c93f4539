"""Gas and acids with what is in the open container, by hand: NaHCO3 84.007, HCl 36.46 g/mol."""

from decimal import Decimal

import pytest

from prepstore.chemistry.carbon_dioxide import CarbonDioxide
from prepstore.planning.acidity_of_containers import AcidityOfContainer
from prepstore.planning.plan import Plan
from tests.planning.a_waste_room import TABLES, a_waste_room, planned_with

HCL_OF_100_ML = Decimal(100) * Decimal("1.18") * Decimal("0.37") / Decimal("36.46")
"""1.1975 mol."""

_HEAD = "practical, per, item, amount, spare, to, holds_back\n"
ONE_WASH = _HEAD + "P, group, bicarb, 84.0 g, 50 %, acid waste,"
ONE_GROUP = "session, practical, date, students\nS1, P, 2027-02-01, 1"


def _only(plan: Plan) -> AcidityOfContainer:
    (found,) = plan.acidity_of_containers
    return found


def _mol(found: CarbonDioxide | None) -> float:
    assert found is not None
    return float(found.mol)


def test_84_g_of_hydrogencarbonate_onto_the_acid_of_the_container_give_24_05_litres() -> None:
    """The worked check of the waste contract: 84.0 / 84.007 mol x 24.0551 L/mol = 24.05 L."""
    plan = planned_with(
        "acid waste", "acid", of_each=100, practical_lines=ONE_WASH, timetable=ONE_GROUP
    )
    one = _only(plan)
    assert one.expected is not None
    assert one.allow_for is not None
    assert one.expected.litres == pytest.approx(Decimal("24.05"), abs=Decimal("0.005"))
    assert one.expected.limited_by == "carbonate"
    assert one.allow_for.limited_by == "acid"
    assert _mol(one.allow_for) == pytest.approx(float(HCL_OF_100_ML), rel=1e-4)
    assert one.can_give_more
    assert plan.gas_of_streams == ()  # the wash alone meets no acid


def test_acid_onto_the_carbonate_of_the_container_gives_gas_too() -> None:
    """20 g of Na2CO3, 105.988 g/mol, take up 0.3774 mol; 10 mL of nitric give 0.1566 mol."""
    lines = _HEAD + "P, group, nitric, 10 mL, 0 %, acid waste,"
    one = _only(planned_with("acid waste", "soda", practical_lines=lines, timetable=ONE_GROUP))
    nitric = Decimal(10) * Decimal("1.41") * Decimal("0.7") / Decimal("63.012")
    assert _mol(one.expected) == pytest.approx(float(nitric / 2), rel=1e-4)
    assert float(one.now.weak_base_mol) == pytest.approx(2 * 20 / 105.988, rel=1e-4)
    assert one.now.strong_acid_mol == 0
    assert float(one.then.strong_acid_mol) == pytest.approx(float(nitric), rel=1e-4)
    assert one.then.weak_base_mol == one.now.weak_base_mol


def test_what_was_in_it_may_have_met_before() -> None:
    """20 mL of acid are 0.2395 mol, 20 g of NaHCO3 0.2381 mol: so much gas, before the wash."""
    plan = planned_with(
        "acid waste", "acid", "bicarb", practical_lines=ONE_WASH, timetable=ONE_GROUP
    )
    one = _only(plan)
    assert float(one.gas_before.expected) == pytest.approx(20 / 84.007, rel=1e-4)
    assert _mol(one.expected) == pytest.approx(float(HCL_OF_100_ML) / 5, rel=1e-4)
    assert one.can_give_more


def test_a_solution_in_it_counts_by_its_parts_and_by_its_container() -> None:
    one = _only(planned_with("acid waste", "thin acid"))
    assert float(one.now.strong_acid_mol) == pytest.approx(float(HCL_OF_100_ML) / 50, rel=1e-4)


def test_what_gives_no_more_gas_is_told_as_a_balance_alone() -> None:
    lines = _HEAD + "P, group, propanone, 10 mL, 0 %, acid waste,"
    one = _only(
        planned_with("acid waste", "acid", "soda", practical_lines=lines, timetable=ONE_GROUP)
    )
    assert one.expected is not None
    assert one.gas_before.expected == one.expected.mol
    assert not one.can_give_more
    assert one.now == one.then
    assert one.sessions == ()


def test_sessions_before_the_period_fill_it_first() -> None:
    timetable = ONE_GROUP + "\nS0, Q, 2027-01-29, 4"
    lines = TABLES["practical_lines"].replace("table salt, 1 g, ", "soda,       10 g,")
    one = _only(a_waste_room(practical_lines=lines, timetable=timetable))
    assert float(one.gas_before.expected) == pytest.approx(4 * 8.4 / 84.007, rel=1e-4)
    assert one.now.strong_acid_mol == 0
    assert one.can_give_more
    assert one.sessions == ("S1",)


def test_gas_that_comes_only_where_spare_is_used_before_is_told() -> None:
    """Before it 0.479 mol of acid meet 0.4 mol of NaHCO3, with spare 0.8 mol; then comes acid."""
    timetable = ONE_GROUP + "\nS0, Q, 2027-01-29, 4"
    lines = TABLES["practical_lines"].replace("10 %,  acid waste", "0 %,   acid waste")
    lines = lines.replace("8.4 g,   0 %", "8.4 g, 100 %")
    one = _only(a_waste_room(practical_lines=lines, timetable=timetable))
    assert one.expected is not None
    assert one.expected.mol == one.gas_before.expected
    assert float(one.gas_before.allow_for) == pytest.approx(float(HCL_OF_100_ML) * 0.4, rel=1e-4)
    assert one.can_give_more


def test_what_is_not_known_in_it_is_told_and_in_no_figure() -> None:
    one = _only(
        planned_with("acid waste", "vinegar", unknown=300, practical_lines=ONE_WASH,
                     timetable=ONE_GROUP)
    )  # fmt: skip
    assert one.unknown == 300
    assert one.not_counted == ("vinegar",)
    assert one.expected is None
    assert not one.can_give_more
    solution = _only(planned_with("acid waste", "thin acid", solution_parts=""))
    assert solution.not_counted == ("thin acid",)


def test_an_empty_container_says_no_more_than_its_stream() -> None:
    plan = a_waste_room()
    assert plan.acidity_of_streams != ()
    assert plan.acidity_of_containers == ()
    nothing = planned_with("solids", "propanone")
    assert nothing.acidity_of_containers == ()


def test_sessions_that_send_neither_acid_nor_base_are_not_named() -> None:
    one = _only(planned_with("acid waste", "nitric"))
    assert one.sessions == ("S1", "S2")
    assert one.stream == "acid waste"
