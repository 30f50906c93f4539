"""What is in each stream: the worked example, and each sentence of the rule."""

from decimal import Decimal

import pytest

from prepstore.amounts import Kind
from prepstore.chemistry.water import is_water
from prepstore.planning.composition import Composition, Contained, is_halogenated
from prepstore.planning.endings import Ended
from prepstore.planning.plan import Plan
from tests.builders import figures, item, number, stream_of
from tests.planning.a_wash import ITEMS, a_wash


def _of(plan: Plan, stream: str) -> Composition:
    return plan.composition(stream_of(plan, stream))


def _rows(composition: Composition) -> list[tuple[str, Ended, Ended, bool]]:
    return [(one.item.item, one.ml, one.g, one.is_held_back) for one in composition.contained]


def _ended(expected: object, allow_for: object) -> Ended:
    return Ended(number(expected), number(allow_for))


def _percent(composition: Composition, name: str, kind: Kind) -> Decimal | None:
    (one,) = (one for one in composition.contained if one.item.item == name)
    found = composition.percent(one, kind)
    return None if found is None else round(found, 6)


def test_a_solution_is_broken_down_and_what_is_dissolved_has_no_volume() -> None:
    """60 mL of 10 % w/v and 40 mL left over of it: 10 g of salt in 100 mL of water."""
    aqueous = _of(a_wash(), "aqueous")
    assert _rows(aqueous) == [
        ("water", _ended(100, 100), _ended(100, 100), False),
        ("salt", Ended(), _ended(10, 10), False),
    ]
    assert aqueous.g == _ended(110, 110)
    assert _percent(aqueous, "water", Kind.VOLUME) == 100
    assert _percent(aqueous, "salt", Kind.VOLUME) == 0
    assert _percent(aqueous, "water", Kind.MASS) == number("90.909091")
    assert _percent(aqueous, "salt", Kind.MASS) == number("9.090909")
    assert aqueous.unknown_ml == Ended()


def test_what_is_held_back_stands_with_its_agent_and_adds_nothing() -> None:
    """4.6 mL, with spare 5.3 mL, of 0.9 g/mL; papers have neither volume nor mass."""
    plan = a_wash()
    solid = _of(plan, "solid")
    assert _rows(solid) == [
        ("drying agent", Ended(), _ended(10, 11), False),
        ("ethyl acetate", _ended("4.6", "5.3"), _ended("4.14", "4.77"), True),
    ]
    assert solid.g == _ended(10, 11)
    assert stream_of(plan, "solid").total == _ended(10, 11)
    assert _percent(solid, "drying agent", Kind.MASS) == 100
    assert _percent(solid, "ethyl acetate", Kind.MASS) == 0
    assert _percent(solid, "ethyl acetate", Kind.VOLUME) is None
    assert _rows(_of(plan, "solvent")) == [
        ("ethyl acetate", _ended("85.4", "102.7"), _ended("76.86", "92.43"), False)
    ]


def test_what_is_held_back_goes_where_its_agent_goes() -> None:
    plan = a_wash(
        "brine, 20 mL, aqueous,", "drying agent, 5 g, solid 50 %; solvent 25 %; kept 25 %, brine"
    )
    held = [row for row in _rows(_of(plan, "solid")) if row[3]]
    assert held == [
        ("water", _ended(2, "2.2"), _ended(2, "2.2"), True),
        ("salt", Ended(), _ended("0.2", "0.22"), True),
    ]
    assert [row[1].expected for row in _rows(_of(plan, "solvent")) if row[0] == "water"] == [1]


def test_substances_are_items_as_supplied() -> None:
    """20 mmol of 37 % acid of 1.18 g/mL is 1.97 g of it, water and all."""
    items = ITEMS + "\n    acid,          reagent,    mL,   1.18,    ,          ,        ,"
    plan = a_wash("acid, 10 mL, aqueous,", items=items)
    assert _rows(_of(plan, "aqueous")) == [("acid", _ended(20, 22), _ended("23.6", "25.96"), False)]


def test_what_has_no_density_counts_nothing_by_the_other_measure_and_says_so() -> None:
    items = "item,kind,unit,density\nwater,solvent,mL,1\nhexane,solvent,mL,\nsand,reagent,g,"
    plan = a_wash(
        "water, 5 mL, aqueous,",
        "hexane, 5 mL, aqueous,",
        "sand, 5 g, aqueous,",
        items=items,
        solutions="",
        solution_parts="",
    )
    aqueous = _of(plan, "aqueous")
    unknown = {one.item.item: one.not_known for one in aqueous.contained}
    assert unknown == {"water": (), "hexane": (Kind.MASS,), "sand": (Kind.VOLUME,)}
    assert figures(aqueous.ml.expected, aqueous.g.expected) == (20, 20)


def test_a_solid_poured_as_it_is_has_its_volume_and_dissolved_has_none() -> None:
    """10 g of 2 g/mL, and 25 g in a flask of 250 mL, of which all ends here."""
    items = ITEMS.replace(
        "salt,          reagent,    g,    ,  ", "salt,          reagent,    g,    2, "
    )
    plan = a_wash("salt, 5 g, aqueous,", "brine, 50 mL, aqueous,", items=items)
    (salt,) = (one for one in _of(plan, "aqueous").contained if one.item.item == "salt")
    assert figures(salt.ml.expected, salt.g.expected) == (5, 10 + 25)


@pytest.mark.parametrize(
    ("parts", "unknown", "known"),
    [
        ("", 100, 0),
        ("solution,item,amount\nbrine,salt,10 % w/v", 100, 10),
        ("solution,item,amount\nbrine,salt,10 % w/v\nbrine,water,250 mL/L", 75, 35),
    ],
)
def test_what_no_part_accounts_for_is_unknown(parts: str, unknown: int, known: int) -> None:
    """60 mL of the lines and 40 mL left over, in mL; what is known in g."""
    plan = a_wash("brine, 30 mL, aqueous,", solution_parts=parts)
    aqueous = _of(plan, "aqueous")
    assert aqueous.unknown_ml.expected == unknown
    assert aqueous.unknown == ("brine",)
    assert aqueous.g.expected == known


def test_water_and_halogenated_are_shares_of_what_is_known() -> None:
    plan = a_wash("water, 15 mL, solvent,", "chloroform, 5 mL, solvent,", "glove, 1 each, solvent,")
    solvent = _of(plan, "solvent")
    assert solvent.percent_of(is_water, Kind.VOLUME) == 75
    assert solvent.percent_of(is_halogenated, Kind.VOLUME) == 25
    by_mass = solvent.percent_of(is_halogenated, Kind.MASS)
    assert by_mass is not None
    assert round(by_mass, 6) == number("33.333333")


def test_of_nothing_there_are_no_shares() -> None:
    nothing = _of(a_wash("water, 15 mL, solvent,"), "aqueous")
    assert nothing.percent_of(is_water, Kind.VOLUME) is None
    assert nothing.g == Ended()
    alone = Contained(item(), Ended(), Ended(), Ended(), is_held_back=False)
    assert Composition().percent(alone, Kind.MASS) is None


def test_sessions_of_one_size_count_each() -> None:
    sessions = "session,practical,date,students\n" + "\n".join(
        f"S{number},P,2027-02-0{number},2" for number in (1, 2, 3)
    )
    plan = a_wash("water, 5 mL, aqueous,", timetable=sessions)
    assert _of(plan, "aqueous").ml == _ended(30, 36)
    assert stream_of(plan, "aqueous").total == _ended(30, 36)


def test_what_is_not_assigned_has_a_composition_by_unit() -> None:
    plan = a_wash("water, 5 mL, ,", "salt, 5 g, ,")
    rows = {one.kind: plan.composition(one) for one in plan.waste.streams if one.stream is None}
    assert [one.item.item for one in rows[Kind.VOLUME].contained] == ["water"]
    assert [one.item.item for one in rows[Kind.MASS].contained] == ["salt"]


def test_what_an_agent_without_an_end_holds_back_stands_with_the_agent() -> None:
    plan = a_wash("ethyl acetate, 50 mL, solvent,", "drying agent, 5 g, , ethyl acetate")
    (row,) = [one for one in plan.waste.streams if one.stream is None]
    assert row.kind is Kind.MASS
    names = [(one.item.item, one.is_held_back) for one in plan.composition(row).contained]
    assert names == [("drying agent", False), ("ethyl acetate", True)]
