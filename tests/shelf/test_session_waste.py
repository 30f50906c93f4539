"""What a session sends to waste containers, of what it really used."""

from dataclasses import replace
from decimal import Decimal

from prepstore.amounts import in_billionths, of_billionths
from prepstore.containers import ContainerChange
from prepstore.movements import SessionUse
from prepstore.planning.endings import Ended, ends_by_item
from prepstore.shelf.session_use import session_named, session_used
from prepstore.shelf.session_waste import poured_by_session
from prepstore.shelf.shelf import Department
from tests.builders import day, facts_from, figures
from tests.container_changes import recorded
from tests.planning.a_wash import a_wash

DAY = day("02-01")


def department(lines: str = "") -> Department:
    """Return a department with one session of four students."""
    made = facts_from(
        {
            "items": "item,kind,unit,density\nacetone,solvent,mL,0.8\nsilica,reagent,g,\n"
            "glove,consumable,each,\nether,solvent,mL,0.7",
            "practicals": "practical,title\nP,A",
            "practical_lines": lines
            or """
                practical,item,amount,per,spare,to
                P,acetone,10 mL,student,50 %,liquid 90 %; air 10 %
                P,acetone,40 mL,session,,drain
                P,silica,5 g,student,0 %,liquid
                P,glove,1 each,student,0 %,solid
                P,ether,5 mL,student,0 %,solid 50 %; kept 50 %""",
            "timetable": "session,practical,date,students\nMon,P,2027-02-01,4",
            "stock": "lot,item,amount\nA,acetone,1 L\nS,silica,1 kg\nG,glove,99 each\nE,ether,1 L",
            "waste_streams": "stream,measure,container,part_full,empty_containers\n"
            "liquid,volume,100 mL,20 mL,2\nsolid,mass,,,",
        }
    )
    labelled = replace(made.stores.containers["liquid"], label="W27-001", filled=Decimal(20))
    containers = {**made.stores.containers, "liquid": labelled}
    stores = replace(made.stores, containers=containers, container_labels=frozenset({"w27-001"}))
    return replace(made, stores=stores)


def use(used: str, item: str = "acetone") -> SessionUse:
    """Return what the session used of an item; below 0 it came back."""
    made = department()
    return SessionUse(
        session="Mon",
        session_date=DAY,
        practical="P",
        item=item,
        unit=made.materials[item].unit,
        planned=0,
        used=in_billionths(Decimal(used)),
    )


def _poured(*uses: SessionUse, before: tuple[ContainerChange, ...] = ()) -> list[ContainerChange]:
    made = department()
    session = session_named(made.timetable, "Mon")
    return list(poured_by_session(made, session, uses, recorded(*before), DAY))


def _told(changes: list[ContainerChange]) -> list[tuple[object, ...]]:
    return [
        figures(str(one.what), one.stream, one.item, one.number, of_billionths(one.item_billionths))
        for one in changes
        if one.item
    ]


def test_what_was_planned_goes_where_the_plan_says_in_the_same_amounts() -> None:
    made = department()
    session = session_named(made.timetable, "Mon")
    booking = session_used(made, session, {})
    poured = poured_by_session(made, session, booking.uses, [], DAY)
    assert _told(list(poured)) == [
        ("filled", "liquid", "acetone", 54, 54),
        ("filled", "liquid", "silica", 0, 20),
        ("filled", "solid", "glove", 0, 4),
        ("filled", "solid", "ether", 7, 10),
    ]


def test_what_was_really_used_counts_and_what_is_in_no_script_goes_nowhere() -> None:
    assert _told(_poured(use("50"))) == [("filled", "liquid", "acetone", 27, 27)]
    made = department("practical,item,amount,per,to\nP,ether,5 mL,student,drain")
    session = session_named(made.timetable, "Mon")
    assert poured_by_session(made, session, [use("50")], [], DAY) == ()


def test_what_came_back_comes_out_of_the_container() -> None:
    before = _poured(use("50"))
    back = _poured(use("-20"), use("10", "silica"), before=tuple(before))
    assert _told(back) == [
        ("taken back", "liquid", "acetone", Decimal("-10.8"), Decimal("-10.8")),
        ("filled", "liquid", "silica", 0, 10),
    ]


def test_what_an_agent_holds_back_is_poured_nowhere() -> None:
    """By hand: 45 mL of 50 mL go to the solvent; 5 g of agent hold back 2 mL of them."""
    lines = (
        "ethyl acetate, 50 mL, solvent 90 %; air 10 %,",
        "drying agent, 5 g, solid, ethyl acetate",
    )
    settings = "setting,value\nspare solvent,0 %\nspare reagent,0 %"
    (work,) = a_wash(*lines, settings=settings).works
    ends = ends_by_item(work.scale.endings)
    solvent, air = Decimal("0.86"), Decimal("0.1")
    assert ends["ethyl acetate"] == {"solvent": Ended(solvent, solvent), "air": Ended(air, air)}
    assert ends["drying agent"] == {"solid": Ended(Decimal(1), Decimal(1))}
