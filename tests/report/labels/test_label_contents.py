"""Contents of labels, from tables."""

from dataclasses import replace
from decimal import Decimal

from prepstore.amounts import Kind
from prepstore.containers import Content
from prepstore.planning.classified_solutions import SolutionClasses
from prepstore.planning.plan import Plan
from prepstore.report.labels.contents import AS_ENTERED, AS_POURED, LabelContent
from prepstore.report.labels.label_contents import (
    bottle_labels,
    lot_labels,
    solution_labels,
    waste_labels,
)
from prepstore.safety.classes.entries import harmonised_entries
from tests.builders import day, number, plan_of

TABLES = {
    "items": """
        item,   kind,       unit, density, formula, cas,       hazards
        alkali, reagent,    g,    ,        NaOH,    1310-73-2, H290 H314
        salt,   reagent,    g,    ,        NaCl,    7647-14-5,
        spirit, solvent,    mL,   0.79,    C2H6O,   64-17-5,   H225 H319
        water,  solvent,    mL,   1,       H2O,     7732-18-5,
        paper,  consumable, each, ,        ,        ,
        flask,  apparatus,  each, ,        ,        ,""",
    "solutions": "solution,shelf_life,largest_batch,hazards\nlye,7,1 L,\nbrine,,,H319",
    "solution_parts": """
        solution, item,   amount
        lye,      alkali, 5 % w/v
        lye,      water,  to volume
        brine,    salt,   10 % w/v
        brine,    water,  to volume""",
    "practical_lines": """
        practical, item,   amount, per,     spare, shared_by, container,      to
        P,         lye,    300 mL, student, 0 %,   2,         1 L bottle,     washings
        P,         spirit, 10 mL,  student, 0 %,   4,         100 mL dropper, solvent
        P,         brine,  20 mL,  student, 0 %,   ,          ,               washings
        P,         salt,   5 g,    student, 0 %,   5,         jar,            washings
        P,         paper,  1 each, student, 0 %,   ,          ,
        P,         flask,  1 each, student, 0 %,   ,          ,""",
    "timetable": "session,practical,date,students\nS,P,2027-02-03,5",
    "stock": """
        lot, item,   amount, expiry,     opened,     received
        A,   alkali, 1 kg,   ,           ,           2027-01-25
        E,   spirit, 1 L,    2027-06-01, 2027-01-26, 2027-01-25
        G,   spirit, 1 L,    2027-06-01, ,           2027-01-20
        N,   salt,   1 kg,   ,           ,           2027-01-25
        B,   brine,  1 L,    ,           ,           2027-01-25
        W,   water,  9 L,    ,           ,
        C,   paper,  9 each, ,           ,           2027-01-25""",
    "waste_streams": """
        stream,   measure, container, list_code
        washings, volume,  5 L,       06 02 05*
        solvent,  volume,  ,          14 06 03*""",
}


def _plan() -> Plan:
    return plan_of(**{name: text.replace("\\\n", "\n") for name, text in TABLES.items()})


def _classes(plan: Plan) -> SolutionClasses:
    return SolutionClasses(plan.catalogue, harmonised_entries())


def test_each_batch_has_a_label_with_its_number_days_and_classes() -> None:
    plan = _plan()
    (lye,) = solution_labels(plan, _classes(plan))
    assert (lye.name, lye.number, lye.volume) == ("lye", "2027-02-02-1", "2 L in 2 makings")
    assert (lye.made_on, lye.keep_until, lye.is_initialled) == (day("02-02"), day("02-09"), True)
    assert lye.capacity_ml == 1000
    assert lye.classified is not None
    # 50 g in 50 g + 1000 g of water: 4.76 %, below the 5 % of Skin Corr. 1A (011-002-00-6).
    assert lye.classified.classes == ("Skin Corr. 1B",)
    assert lye.classified.volume_ml == 2000
    assert lye.hazards.h_codes == ("H314",)
    percent = {one.item: one.percent for one in lye.classified.composition}
    assert round(percent["alkali"], 3) == Decimal("4.762")


def test_batches_of_one_day_are_numbered_one_after_the_other() -> None:
    stock = "\n".join(line for line in TABLES["stock"].splitlines() if "brine" not in line)
    plan = plan_of(**TABLES | {"stock": stock})
    labels = list(solution_labels(plan, _classes(plan)))
    assert [one.name for one in labels] == ["brine", "lye"]
    assert [one.number for one in labels] == ["2027-02-02-1", "2027-02-02-2"]


def _bottles(name: str) -> list[LabelContent]:
    plan = _plan()
    return [one for one in bottle_labels(plan, _classes(plan)) if one.name == name]


def test_each_bottle_says_for_which_sets_it_is_and_from_where() -> None:
    lye = _bottles("lye")
    assert [(one.sets, one.volume) for one in lye] == [
        ("1 to 2", "600 mL"), ("3 to 4", "600 mL"), ("5", "300 mL"),
    ]  # fmt: skip
    assert {(one.session, one.number, int(one.capacity_ml)) for one in lye} == {
        ("S", "2027-02-02-1", 1000)
    }
    assert {one.hazards.h_codes for one in lye} == {("H314",)}
    spirit = _bottles("spirit")
    assert [(one.sets, one.number, int(one.capacity_ml)) for one in spirit] == [
        ("1 to 3", "E", 100), ("4 to 5", "E", 100),
    ]  # fmt: skip
    assert spirit[0].hazards.basis == AS_ENTERED
    assert spirit[0].hazards.pictograms == ("GHS02", "GHS07")


def test_what_no_bottle_is_named_for_or_is_counted_has_none() -> None:
    assert _bottles("brine") == _bottles("paper") == _bottles("flask") == []
    (jar,) = _bottles("salt")
    assert (int(jar.capacity_ml), jar.volume) == (25, "25 g")


def test_a_lot_that_came_on_the_day_has_what_is_entered_for_it() -> None:
    stores = _plan().stores
    found = lot_labels(stores.goods, stores.holdings.values(), day("01-25"))
    labels = {one.number: one for one in found}
    assert sorted(labels) == ["A", "B", "E", "N"]
    spirit = labels["E"]
    assert (spirit.name, spirit.volume, spirit.keep_until) == ("spirit", "1 L", day("06-01"))
    assert (spirit.received_on, spirit.opened_on) == (day("01-25"), day("01-26"))
    assert labels["A"].hazards.signal_word == "Danger"
    assert labels["N"].hazards.signal_word is None
    assert labels["B"].hazards.h_codes == ("H319",)
    assert labels["E"].capacity_ml == 1000


def test_a_waste_container_has_its_code_its_main_components_and_all_signs() -> None:
    solvent, washings = sorted(waste_labels(_plan()), key=lambda one: one.name)
    assert (washings.list_code, int(washings.capacity_ml)) == ("06 02 05*", 5000)
    assert washings.components == ("water", "alkali", "salt")
    assert (washings.hazards.pictograms, washings.hazards.h_codes) == (("GHS05",), ())
    assert (solvent.components, int(solvent.capacity_ml)) == (("spirit",), 10_000)
    assert solvent.hazards.basis == AS_POURED
    assert (solvent.number, solvent.opened_on) == ("solvent", None)


def test_a_waste_container_has_what_is_in_it_already_and_its_own_number() -> None:
    plan = _plan()
    held = plan.waste.streams[0].container
    assert held is not None
    parts = [Content("lye", Kind.VOLUME, number(10), number(10)),
             Content("spirit", Kind.VOLUME, number(10), number(10)),
             Content("paper", Kind.COUNT, number(3), number(0))]  # fmt: skip
    open_one = replace(
        held, label="W27-003", opened_on=day("01-20"), known=tuple(parts), filled=number(25)
    )
    stream = replace(plan.waste.streams[0], container=open_one)
    streams = (stream, *plan.waste.streams[1:])
    label, _ = waste_labels(replace(plan, waste=replace(plan.waste, streams=streams)))
    assert (label.number, label.name, label.opened_on) == ("W27-003", "washings", day("01-20"))
    assert label.components == ("water", "alkali", "salt", "spirit", "part not known")
    assert "GHS02" in label.hazards.pictograms
