"""What is poured into containers by a plan: what the shelf books out, in the same order."""

from prepstore.amounts import Kind, settle
from prepstore.cell_types import fold
from prepstore.containers import Content, Pour, level_of
from prepstore.planning.plan import Plan
from prepstore.planning.pours import content_of
from tests.builders import figures, material, number, plan_of
from tests.planning.a_wash import a_wash
from tests.planning.shared_cases import law
from tests.planning.small_inventories import Case


def _told(pours: tuple[Pour, ...] | list[Pour]) -> list[list[tuple[object, ...]]]:
    return [[figures(one.item, one.amount, one.level) for one in parts] for parts in pours]


def _of(plan: Plan, stream: str) -> list[list[tuple[object, ...]]]:
    return _told(list(plan.pours[stream]))


def test_a_session_pours_what_it_uses_and_its_spare_less_what_is_held_back() -> None:
    """The worked example of what-is-in-the-waste.md; 28 mL of brine are left on that day."""
    plan = a_wash()
    assert _of(plan, "solvent") == [[("ethyl acetate", number("102.7"), number("102.7"))]]
    assert _of(plan, "solid") == [
        [("drying agent", 11, 11), ("filter paper", 3, 0), ("ethyl acetate", number("5.3"), 0)]
    ]
    assert _of(plan, "aqueous") == [[("brine", 72, 72)], [("brine", 28, 28)]]


def test_sessions_pour_in_order_and_what_is_left_of_a_batch_after_those_of_its_day() -> None:
    """Also those before the week. A flask of 50 mL is made each day for 12 or 24 mL."""
    plan = plan_of(
        items="item,kind,unit,density\nwater,solvent,mL,1",
        solutions="solution,shelf_life,to\nwash,0,aqueous",
        solution_parts="solution,item,amount\nwash,water,to volume",
        practical_lines="practical,item,amount,per,to\nP,wash,10 mL,student,aqueous",
        timetable="""
            session,practical,date,      students,start
            late,   P,        2027-02-02,1,       14:00
            early,  P,        2027-02-02,2,       09:00
            first,  P,        2027-01-28,1,       12:00""",
        waste_streams="stream,measure\naqueous,volume\nunused,volume",
    )
    levels = [level_of(parts) for parts in plan.pours["aqueous"]]
    assert levels == [12, 38, 24, 12, 26, 38]
    assert "unused" not in plan.pours


def test_what_the_stream_cannot_measure_is_in_it_all_the_same() -> None:
    ether = material("ether", kind="solvent", unit="mL", density="0.7")
    told = content_of(ether, number(10), Kind.MASS)
    assert told == Content("ether", Kind.VOLUME, number(10), number(7))
    assert content_of(material("salt"), number(3), Kind.VOLUME).level == 0


@law
def test_what_is_poured_comes_to_what_the_plan_allows_for(case: Case) -> None:
    plan = case.plan()
    for stream in plan.waste.streams:
        if stream.stream is not None:
            poured = sum(map(level_of, plan.pours.get(fold(stream.name), ())), number(0))
            assert settle(poured) == settle(stream.before + stream.total.allow_for)
