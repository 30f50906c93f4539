import pytest

from prepstore.planning.handled import cautions_of, handled_in
from prepstore.planning.plan import Plan
from prepstore.safety.cautions import hazards_of, hazards_together
from tests.builders import plan_of

STREAMS = """
    stream,measure
    aqueous,volume
    solvent,volume
    """


def plan_using(*lines: str, **tables: str) -> Plan:
    """Return a plan whose one session uses items given as `item,kind,unit,formula,...`."""
    head = "item,kind,unit,formula,strength,density,hazards"
    names = [line.partition(",")[0] for line in lines]
    needs = "\n".join(
        f"P,{name},1 {_unit(line)},group,aqueous" for name, line in zip(names, lines, strict=True)
    )
    return plan_of(
        **{
            "items": "\n".join((head, *lines)),
            "practical_lines": f"practical,item,amount,per,to\n{needs}",
            "timetable": "session,practical,date,students\nS,P,2027-02-02,4",
            "waste_streams": STREAMS,
            **tables,
        }
    )


def _unit(line: str) -> str:
    return line.split(",")[2]


def because(plan: Plan, text: str) -> list[str]:
    return [one.because for one in cautions_of(plan) if text in one.text]


VENT = "vent separating funnels"


def test_a_hydrogencarbonate_wash_calls_for_venting_and_says_why() -> None:
    plan = plan_using("sodium hydrogencarbonate,reagent,g,NaHCO3,,,")
    assert because(plan, VENT) == [
        "A hydrogencarbonate or carbonate, by name or formula: sodium hydrogencarbonate"
    ]


def test_without_a_carbonate_nothing_calls_for_venting() -> None:
    assert because(plan_using("sodium chloride,reagent,g,NaCl,,,"), VENT) == []


@pytest.mark.parametrize(
    ("line", "is_called"),
    [
        ("washing soda,reagent,g,Na2CO3·10H2O,,,", True),
        ("potassium carbonate,reagent,g,,,,", True),
        ("cobalt oxide,reagent,g,Co3O4,,,", False),
        ("polycarbonate cuvette,consumable,each,,,,", False),
    ],
)
def test_a_carbonate_is_known_by_formula_or_name(line: str, is_called: bool) -> None:  # noqa: FBT001
    assert bool(because(plan_using(line), VENT)) is is_called


def test_a_carbonate_in_a_batch_of_the_week_counts_too() -> None:
    plan = plan_of(
        items="item,kind,unit,formula\nsoda,reagent,g,Na2CO3\nwater,solvent,mL,",
        solutions="solution\nwash",
        solution_parts="solution,item,amount\nwash,soda,10 g/L\nwash,water,to volume",
        practical_lines="practical,item,amount,per\nP,wash,10 mL,group",
        timetable="session,practical,date,students\nS,P,2027-02-02,4",
    )
    assert [one.name for one in handled_in(plan)] == ["soda", "wash", "water"]
    assert "soda; wash" in because(plan, VENT)[0]


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("sulfuric acid 98 %,reagent,mL,H2SO4,98 % w/w,1.84,", "Acid into water"),
        ("acetic acid glacial,reagent,mL,,,,", "Acid into water"),
        ("sodium hydroxide,reagent,g,NaOH,,,", "never water onto the solid"),
        ("dichloromethane,solvent,mL,,,1.33,", "LOWER"),
        ("diethyl ether,solvent,mL,,,0.71,", "UPPER"),
        ("tetrahydrofuran,solvent,mL,,,,EUH019", "explosive peroxides"),
        ("potassium nitrate,reagent,g,,,,H272", "Oxidiser"),
        ("acetone,solvent,mL,,,,H225 H319", "No flames"),
        ("sodium borohydride,reagent,g,,,,H260", "Reacts with water"),
        ("methanol,solvent,mL,,,,H301+H311+H331", "Toxic"),
        ("phenolphthalein,reagent,g,,,,H361f", "unborn child"),
    ],
)
def test_what_a_material_is_calls_for_its_caution(line: str, text: str) -> None:
    found = because(plan_using(line), text)
    assert len(found) == 1
    assert line.partition(",")[0] in found[0]


@pytest.mark.parametrize(
    ("line", "text"),
    [
        ("dilute acid,reagent,mL,HCl,2 mol/L,,", "Acid into water"),
        ("acetone,solvent,mL,,,0.79,", "UPPER"),
        ("dichloromethane,solvent,mL,,,,", "LOWER"),
        ("ethanol,solvent,mL,,,,H319", "No flames"),
    ],
)
def test_what_a_material_is_not_calls_for_nothing(line: str, text: str) -> None:
    assert because(plan_using(line), text) == []


def test_what_meets_in_one_waste_stream_is_named() -> None:
    plan = plan_using("sodium hydrogencarbonate,reagent,mL,NaHCO3,,,", "dilute acid,reagent,mL,,,,")
    assert because(plan, "aqueous: carbon dioxide forms") == [
        "A carbonate and an acid go into one stream: sodium hydrogencarbonate with dilute acid"
    ]


def test_a_session_that_is_over_calls_for_nothing() -> None:
    plan = plan_using(
        "sodium hydrogencarbonate,reagent,g,NaHCO3,,,",
        timetable="session,practical,date,students\nS,P,2027-02-02,0",
    )
    assert cautions_of(plan) == ()


def test_hazards_go_by_name_then_as_on_the_label() -> None:
    plan = plan_using("zinc,reagent,g,,,,H410 H228", "acetone,solvent,mL,,,,H225")
    assert [(one.name, one.code, one.statement) for one in hazards_of(handled_in(plan))] == [
        ("acetone", "H225", "Highly flammable liquid and vapour"),
        ("zinc", "H410", "Very toxic to aquatic life with long lasting effects"),
        ("zinc", "H228", "Flammable solid"),
    ]


def test_codes_that_the_same_things_have_stand_together_each_once() -> None:
    plan = plan_using(
        "acetone,solvent,mL,,,,H319 H225", "ether,solvent,mL,,,,H225", "gas,reagent,g,,,,H319"
    )
    assert list(hazards_together(handled_in(plan))) == [
        "acetone / ether: H225 Highly flammable liquid and vapour",
        "acetone / gas: H319 Causes serious eye irritation",
    ]
    alike = plan_using("acetone,solvent,mL,,,,H319 H225", "ethanol,solvent,mL,,,,H225 H319")
    assert list(hazards_together(handled_in(alike))) == [
        "acetone / ethanol: H225 Highly flammable liquid and vapour; "
        "H319 Causes serious eye irritation"
    ]
