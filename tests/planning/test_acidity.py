"""Gas and acidity, by hand, with molar masses of the IUPAC (NaHCO3 84.007, HCl 36.46 g/mol)."""

from decimal import Decimal

import pytest

from prepstore.chemistry.carbon_dioxide import CarbonDioxide
from tests.planning.a_waste_room import TABLES, a_waste_room

ACID_MOL = Decimal(40) * Decimal("1.18") * Decimal("0.37") / Decimal("36.46")
"""4 x 100 mL of thin acid hold 40 mL of acid: 17.464 g of HCl, 0.479 mol."""
BICARB_MOL = 4 * Decimal("8.4") / Decimal("84.007")


def _mol(found: CarbonDioxide | None) -> float:
    assert found is not None
    return float(found.mol)


def test_a_session_gives_off_what_the_lesser_of_acid_and_carbonate_allows() -> None:
    (gas,) = a_waste_room().gas_of_sessions
    assert (gas.name, gas.groups) == ("S2", 4)
    assert _mol(gas.expected) == pytest.approx(float(BICARB_MOL), rel=1e-4)
    assert gas.expected is not None
    assert gas.expected.limited_by == "carbonate"


def test_where_acid_is_the_lesser_spare_makes_more_gas() -> None:
    lines = TABLES["practical_lines"].replace("8.4 g, ", "42 g,  ")
    (gas,) = a_waste_room(practical_lines=lines).gas_of_sessions
    assert gas.expected is not None
    assert gas.expected.limited_by == "acid"
    assert _mol(gas.expected) == pytest.approx(float(ACID_MOL), rel=1e-4)
    assert _mol(gas.allow_for) == pytest.approx(float(ACID_MOL * Decimal("1.1")), rel=1e-4)


def test_a_stream_gathers_the_acids_of_all_sessions() -> None:
    """By hand: 2 x 10 mL of nitric acid are 19.74 g of HNO3, 63.01 g/mol: 0.3133 mol."""
    plan = a_waste_room()
    (gas,) = plan.gas_of_streams
    assert (gas.name, gas.groups) == ("acid waste", None)
    (stream,) = plan.acidity_of_streams
    nitric = Decimal(20) * Decimal("1.41") * Decimal("0.7") / Decimal("63.012")
    assert stream.stream == "acid waste"
    assert float(stream.balance.strong_acid_mol) == pytest.approx(
        float(ACID_MOL + nitric), rel=1e-4
    )
    assert float(stream.balance.weak_base_mol) == pytest.approx(float(BICARB_MOL), rel=1e-4)
    assert stream.balance.strong_base_mol == stream.balance.weak_acid_mol == 0
    assert stream.balance.excess == "acid"


def test_what_is_sent_elsewhere_is_in_no_stream_and_still_in_the_session() -> None:
    lines = TABLES["practical_lines"].replace("8.4 g,   0 %,   acid waste", "8.4 g,   0 %,   drain")
    plan = a_waste_room(practical_lines=lines)
    assert plan.gas_of_streams == ()
    assert len(plan.gas_of_sessions) == 1


def test_an_acid_of_unknown_strength_is_named() -> None:
    lines = TABLES["practical_lines"] + "\n        Q, group, vinegar, 10 mL, 0 %, acid waste,"
    plan = a_waste_room(practical_lines=lines)
    assert [one.not_counted for one in plan.gas_of_sessions] == [("vinegar",)]
    assert [one.not_counted for one in plan.acidity_of_streams] == [("vinegar",)]


def test_acid_alone_gives_off_nothing() -> None:
    lines = "\n".join(
        line for line in TABLES["practical_lines"].splitlines() if "bicarb" not in line
    )
    plan = a_waste_room(practical_lines=lines)
    assert plan.gas_of_sessions == plan.gas_of_streams == ()
    assert len(plan.acidity_of_streams) == 1


def test_what_an_agent_holds_back_is_in_no_balance() -> None:
    lines = TABLES["practical_lines"] + "\n        P, group, powder, 2 g, 0 %, solids, nitric"
    streams = a_waste_room(practical_lines=lines).acidity_of_streams
    assert [one.stream for one in streams] == ["acid waste"]


def test_gas_is_divided_by_groups_and_not_by_sets() -> None:
    table = TABLES["timetable"].replace("students", "students, demonstrator_sets", 1)
    table = table.replace("2027-02-01, 2", "2027-02-01, 2, 0").replace("-02, 4", "-02, 4, 1")
    (gas,) = a_waste_room(timetable=table.replace("-03, 2", "-03, 2, 0")).gas_of_sessions
    assert gas.groups == 4
    assert _mol(gas.expected) == pytest.approx(float(BICARB_MOL * 5 / 4), rel=1e-4)
