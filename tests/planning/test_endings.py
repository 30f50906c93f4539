"""What agents and papers hold back, and where the rest of each line ends."""

from dataclasses import replace
from decimal import Decimal

import pytest

from prepstore.planning.endings import Ended, ends_by_item, held_back_by_item
from prepstore.planning.plan import Plan
from tests.builders import number, plan_of, session_of
from tests.planning.a_wash import a_wash


def _ended(expected: object, allow_for: object) -> Ended:
    return Ended(number(expected), number(allow_for))


def _ends(plan: Plan) -> list[tuple[str, dict[str, Ended], Ended]]:
    """Return name, ends and what is held back of each line."""
    lines = session_of(plan).work.scale.endings.lines
    return [(one.line.name, dict(one.ends), one.held_back) for one in lines]


def _held(plan: Plan) -> list[tuple[str, str, Ended]]:
    """Return each agent, its liquid, and what it holds back."""
    held = session_of(plan).work.scale.endings.held_back
    return [(one.agent.name, one.liquid, one.amount) for one in held]


def test_each_size_of_session_is_worked_out_once_and_apart_from_every_other() -> None:
    scale = session_of(a_wash()).work.scale
    assert scale.endings is scale.endings
    fewer = replace(scale, lines=scale.lines[:1])
    assert [one.line.name for one in fewer.endings.lines] == ["ethyl acetate"]
    assert len(scale.endings.lines) == 4


def test_what_is_held_back_is_taken_off_what_goes_to_streams() -> None:
    """10 g x 0.4 mL and 2 papers x 0.3 mL; with spare 11 g, and 2.2 papers are 3."""
    plan = a_wash()
    assert _held(plan) == [
        ("drying agent", "ethyl acetate", _ended(4, "4.4")),
        ("filter paper", "ethyl acetate", _ended("0.6", "0.9")),
    ]
    ethyl_acetate, drying_agent, paper, brine = _ends(plan)
    assert ethyl_acetate[1] == {"solvent": _ended("85.4", "102.7"), "air": _ended(10, 12)}
    assert ethyl_acetate[2] == _ended("4.6", "5.3")
    assert drying_agent[1:] == ({"solid": _ended(10, 11)}, Ended())
    assert paper[1:] == ({"solid": _ended(2, "2.2")}, Ended())
    assert brine[1:] == ({"aqueous": _ended(60, 72)}, Ended())


def test_it_is_taken_off_the_lines_in_their_order_and_at_most_all_of_it() -> None:
    """30 mL and 30 mL; 100 g hold 40 mL, with spare 44 mL of 36 and 36 mL."""
    plan = a_wash(
        "drying agent, 50 g, solid, ethyl acetate",
        "ethyl acetate, 15 mL, solvent,",
        "ethyl acetate, 15 mL, aqueous,",
    )
    _, first, second = _ends(plan)
    assert first[1:] == ({"solvent": Ended()}, _ended(30, 36))
    assert second[1:] == ({"aqueous": _ended(20, 28)}, _ended(10, 8))


def test_an_agent_holds_back_no_more_than_there_is() -> None:
    plan = a_wash("ethyl acetate, 1 mL, solvent,", "drying agent, 50 g, solid, ethyl acetate")
    assert _held(plan) == [("drying agent", "ethyl acetate", _ended(2, "2.4"))]
    assert _ends(plan)[0][1] == {"solvent": Ended()}


def test_what_is_kept_or_goes_into_the_air_or_the_drain_is_not_held_back() -> None:
    plan = a_wash(
        "ethyl acetate, 10 mL, kept 50 %; air 25 %; drain 25 %,",
        "drying agent, 5 g, solid, ethyl acetate",
    )
    assert _held(plan) == [("drying agent", "ethyl acetate", Ended())]
    assert _ends(plan)[0][1]["kept"] == _ended(10, 12)


def test_of_several_streams_each_loses_its_share() -> None:
    """Of 20 mL 12 go to one stream and 4 to another: 4 mL held back are 3 and 1."""
    plan = a_wash(
        "ethyl acetate, 10 mL, solvent 60 %; aqueous 20 %; air 20 %,",
        "drying agent, 5 g, solid, ethyl acetate",
    )
    ends = _ends(plan)[0][1]
    assert ends["solvent"].expected == 9
    assert ends["aqueous"].expected == 3
    assert ends["air"].expected == 4


def test_what_is_not_assigned_is_held_back_too() -> None:
    plan = a_wash("ethyl acetate, 10 mL, ,", "drying agent, 5 g, solid, ethyl acetate")
    assert _ends(plan)[0][1]["not assigned"] == _ended(16, "19.6")


def test_papers_of_several_lines_are_rounded_up_together() -> None:
    """2.2 and 2.2 papers with spare are 4.4, so 5: 1.5 mL, and not 2 x 0.9 mL."""
    plan = a_wash(
        "ethyl acetate, 10 mL, solvent,",
        "filter paper, 1 each, solid, ethyl acetate",
        "filter paper, 1 each, solid, ethyl acetate",
    )
    allowed = [amount.allow_for for _, _, amount in _held(plan)]
    assert allowed == [number("0.75"), number("0.75")]


def test_papers_for_another_liquid_are_rounded_up_by_themselves() -> None:
    plan = a_wash(
        "ethyl acetate, 10 mL, solvent,",
        "water, 10 mL, solvent,",
        "filter paper, 1 each, solid, ethyl acetate",
        "filter paper, 1 each, solid, water",
        "filter paper, 1 each, solid,",
    )
    assert [amount.allow_for for _, _, amount in _held(plan)] == [number("0.9"), number("0.9")]


@pytest.mark.parametrize("name", ["chloroform", "ethyl acetate"])
def test_a_liquid_that_is_replaced_is_held_back_under_either_name(name: str) -> None:
    """24 mL are used for 20 of the script; 10 g hold 4 mL."""
    plan = a_wash(
        "chloroform, 10 mL, solvent,",
        f"drying agent, 5 g, solid, {name}",
        replacements="item,replaced_by,factor\nchloroform,ethyl acetate,1.2",
    )
    assert _held(plan) == [("drying agent", "ethyl acetate", _ended(4, "4.4"))]
    assert _ends(plan)[0][1]["solvent"].expected == 20


def test_a_liquid_kept_in_g_is_held_back_in_g() -> None:
    """10 g x 0.4 mL x 2 g/mL."""
    plan = a_wash(
        "oil, 10 g, solvent,",
        "drying agent, 5 g, solid, oil",
        items="item,kind,unit,density,retention\noil,reagent,g,2,\ndrying agent,reagent,g,,0.4 mL",
        solutions="",
        solution_parts="",
    )
    assert _held(plan)[0][2].expected == Decimal(8)


def test_an_item_without_retention_holds_back_nothing() -> None:
    plan = a_wash("ethyl acetate, 10 mL, solvent,", "salt, 5 g, solid, ethyl acetate")
    assert _held(plan) == []


def test_what_is_held_back_goes_where_the_agent_goes_and_nothing_is_lost() -> None:
    """By hand: of 120 mL with spare, 5 g of agent for each of two, 11 g with spare, hold 4.4 mL.

    The agent goes to two streams. Without its spare it holds 4 mL of 100 mL.
    """
    lines = (
        "ethyl acetate, 50 mL, solvent 90 %; air 10 %,",
        "drying agent, 5 g, solid 75 %; aqueous 25 %, ethyl acetate",
    )
    endings = session_of(a_wash(*lines)).work.scale.endings
    held = held_back_by_item(endings)["ethyl acetate"]
    assert float(held["solid"].allow_for * 120) == pytest.approx(3.3)
    assert float(held["aqueous"].allow_for * 120) == pytest.approx(1.1)
    assert float(held["solid"].expected * 120) == pytest.approx(3)
    both = [*held.values(), *ends_by_item(endings)["ethyl acetate"].values()]
    assert float(sum(one.allow_for for one in both)) == pytest.approx(1)
    assert "drying agent" not in held_back_by_item(endings)


def test_lines_of_one_item_share_what_is_used_by_their_amounts() -> None:
    """60 mL with spare, of which 54 go to the stream and 6 into the air, beside 40 mL."""
    lines = """
        practical,item,amount,per,spare,to
        P,acetone,10 mL,student,50 %,liquid 90 %; air 10 %
        P,acetone,40 mL,session,0 %,drain"""
    plan = plan_of(
        items="item,kind,unit\nacetone,solvent,mL",
        practical_lines=lines,
        timetable="session,practical,date,students\nS,P,2027-02-01,4",
        waste_streams="stream,measure\nliquid,volume",
    )
    assert ends_by_item(session_of(plan).work.scale.endings) == {
        "acetone": {
            "liquid": Ended(number("0.36"), number("0.54")),
            "air": Ended(number("0.04"), number("0.06")),
            "drain": Ended(number("0.4"), number("0.4")),
        }
    }
