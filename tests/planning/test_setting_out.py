"""What goes on the benches, and in how many containers."""

import pytest

from prepstore.amounts import Kind
from prepstore.planning.plan import Plan
from prepstore.planning.setting_out import Filling, SetOut, fillings_of, in_each, setting_out
from tests.builders import batches_of, figures, number, plan_of


def _set_out(*lines: str) -> list[SetOut]:
    """Set out 4 sets: 5 students in pairs, a demonstrator. A line is item, amount, shared_by."""
    plan = plan_of(
        items="item,kind,unit\nether,solvent,mL\npaper,consumable,each",
        practical_lines="\n".join(
            ["practical,per,item,amount,shared_by", *(f"P,group,{line}" for line in lines)]
        ),
        timetable="""
            session, practical, date,       students, group_size, demonstrator_sets
            S,       P,         2027-02-01, 5,        2,          1""",
    )
    return list(setting_out(plan))


@pytest.mark.parametrize(
    ("shared_by", "containers"), [("1", 4), ("2", 2), ("3", 2), ("4", 1), ("9", 1)]
)
def test_containers_are_sets_by_those_that_share_one_rounded_up(
    shared_by: str, containers: int
) -> None:
    (row,) = _set_out(f"ether, 10 mL, {shared_by}")
    assert row.containers == containers


def test_the_amount_is_with_spare_and_counted_things_are_whole() -> None:
    ether, paper = _set_out("ether, 10 mL, 2", "paper, 2 each, 2")
    assert ether.amount == 48
    assert paper.amount == 9  # 8.8


def test_lines_of_one_item_that_share_containers_are_one_row() -> None:
    (row,) = _set_out("ether, 10 mL, 2", "ether, 5 mL, 4")
    assert figures(row.amount, row.containers, len(row.lines)) == (72, 3, 2)


def test_lines_that_do_not_share_stand_apart_without_containers() -> None:
    shared, own = _set_out("ether, 10 mL, 2", "ether, 5 mL,")
    assert figures(shared.amount, shared.containers) == (48, 2)
    assert figures(own.amount, own.containers) == (24, 0)
    assert shared.amount + own.amount == number(72)


def test_the_amount_in_each_shared_container_is_the_line_s_by_their_number() -> None:
    (row,) = _set_out("ether, 10 mL, 3", "ether, 5 mL, 4")
    ether, more = (in_each(line, row.work.scale.sets, Kind.VOLUME) for line in row.lines)
    assert figures(ether, more) == (24, 24)  # 48 mL in two, 24 mL in one


def test_counted_things_in_each_container_are_whole() -> None:
    (row,) = _set_out("paper, 2 each, 2")
    assert in_each(row.lines[0], row.work.scale.sets, Kind.COUNT) == 5  # 8.8 in two


def test_where_nothing_is_shared_there_is_nothing_in_each() -> None:
    (row,) = _set_out("ether, 10 mL,")
    assert in_each(row.lines[0], row.work.scale.sets, Kind.VOLUME) is None


def _brine(*lines: str, stock: str = "") -> Plan:
    """Plan brine for two sessions of 4 and 2 sets; a line is amount, shared_by, container."""
    return plan_of(
        items="item,kind,unit\nwater,solvent,mL",
        solutions="solution,shelf_life\nbrine,30",
        solution_parts="solution,item,amount\nbrine,water,to volume",
        practical_lines="\n".join(
            [
                "practical,per,item,spare,amount,shared_by,container",
                *(f"P,group,brine,0 %,{line}" for line in lines),
            ]
        ),
        timetable="""
            session, practical, date,       students
            S,       P,         2027-02-01, 4
            T,       P,         2027-02-02, 2""",
        stock=stock,
    )


def _fillings(plan: Plan) -> list[Filling]:
    return [one for batch in batches_of(plan, "brine") for one in fillings_of(batch)]


def test_a_batch_is_filled_into_the_containers_of_each_session_it_serves() -> None:
    rows = [
        (one.work.session.session, one.containers, one.container, one.in_each)
        for one in _fillings(_brine("10 mL, 3, bottle", "5 mL,, jar", "1 mL,,"))
    ]
    assert rows == [
        ("S", 2, "bottle", 20), ("S", 0, "jar", None), ("T", 1, "bottle", 20), ("T", 0, "jar", None)
    ]  # fmt: skip


def test_what_a_batch_is_filled_into_tells_where_stock_has_a_part() -> None:
    stock = "lot,item,amount,expiry\nB,brine,15 mL,2027-03-01"
    assert [one.has_stock for one in _fillings(_brine("10 mL, 4, bottle", stock=stock))] == [
        True,
        False,
    ]
