"""What a session sends to waste containers, of what it really used."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal

from prepstore.amounts import in_billionths, of_billionths
from prepstore.cell_types import fold
from prepstore.containers import ContainerChange
from prepstore.movements import SessionUse
from prepstore.planning.demands import SessionWork
from prepstore.shelf.session_use import session_named, session_used
from prepstore.shelf.session_waste import poured_by_session
from prepstore.shelf.shelf import Department
from tests.builders import day, facts_from, figures, number
from tests.container_changes import recorded
from tests.planning.shared_cases import law
from tests.planning.small_inventories import Case

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


def _drying(used: str, agent: str = "5") -> list[ContainerChange]:
    """Return what is poured where 50 mL are set out for a session, and 5 g of agent hold 2 mL."""
    made = facts_from(
        {
            "items": "item,kind,unit,density,retention\nether,solvent,mL,0.7,\n"
            "agent,reagent,g,,0.4 mL",
            "practicals": "practical,title\nP,A",
            "practical_lines": "practical,item,amount,per,spare,to,holds_back\n"
            "P,ether,50 mL,session,,liquid 90 %; air 10 %,\nP,agent,5 g,session,,solid,ether",
            "timetable": "session,practical,date,students\nMon,P,2027-02-01,4",
            "waste_streams": "stream,measure,container\nliquid,volume,1 L\nsolid,mass,1 kg",
        }
    )
    uses = [
        replace(use(amount), item=item, unit=made.materials[item].unit)
        for item, amount in (("ether", used), ("agent", agent))
    ]
    session = session_named(made.timetable, "Mon")
    return list(poured_by_session(made, session, uses, [], DAY))


def test_what_an_agent_holds_back_goes_with_it_and_takes_up_no_room() -> None:
    """By hand: 45 of 50 mL go to the solvent, of which 5 g of agent hold 2 mL; of 25 mL, 1 mL."""
    assert _told(_drying("50")) == [
        ("filled", "liquid", "ether", 43, 43),
        ("filled", "solid", "ether", 0, 2),
        ("filled", "solid", "agent", 5, 5),
    ]
    assert _told(_drying("25"))[:2] == [
        ("filled", "liquid", "ether", number("21.5"), number("21.5")),
        ("filled", "solid", "ether", 0, 1),
    ]


@law
def test_what_is_booked_as_planned_is_poured_as_planned_with_what_is_held_back(case: Case) -> None:
    """Each thing in each stream, in its own unit: what its lines send and what agents hold."""
    plan, made = case.plan(), case.department
    for work in plan.works:
        planned, poured = _added(_planned(work)), _added(_poured_as_planned(made, work))
        for key in planned.keys() | poured.keys():
            if key[0] in made.goods.streams:
                nothing = Decimal(0)
                assert abs(planned.get(key, nothing) - poured.get(key, nothing)) < Decimal("1e-7")


_Amount = tuple[tuple[str, str], Decimal]
"""A stream and a thing (folded), and how much of that goes there, in its own unit."""


def _planned(work: SessionWork) -> Iterator[_Amount]:
    endings = work.scale.endings
    for ending in endings.lines:
        name = ending.line.name
        yield from (
            ((end, name), _whole(work, name, of.allow_for)) for end, of in ending.ends.items()
        )
    for held in endings.held_back:
        for share in held.agent.ends:
            amount = held.amount.allow_for * share.fraction
            yield (share.end, held.liquid), _whole(work, held.liquid, amount)


def _poured_as_planned(made: Department, work: SessionWork) -> Iterator[_Amount]:
    uses = [
        SessionUse(
            session=work.session.session, session_date=DAY, practical="", item=name,
            unit=made.materials[name].unit, planned=0, used=in_billionths(amount),
        )
        for name, amount in work.scale.needs.items()
    ]  # fmt: skip
    for one in poured_by_session(made, work.session, uses, [], DAY):
        if one.item:
            yield (fold(one.stream), fold(one.item)), of_billionths(one.item_billionths)


def _added(amounts: Iterable[_Amount]) -> dict[tuple[str, str], Decimal]:
    found: dict[tuple[str, str], Decimal] = {}
    for key, amount in amounts:
        found[key] = found.get(key, Decimal(0)) + amount
    return found


def _whole(work: SessionWork, name: str, amount: Decimal) -> Decimal:
    """Return an amount of what is set out; counted things are set out whole."""
    lines = sum(line.amount for line in work.scale.lines if line.name == name)
    return amount * work.scale.needs[name] / lines if lines else amount
