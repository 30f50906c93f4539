"""What goes on the benches, and in how many containers."""

import pytest

from prepstore.amounts import Kind
from prepstore.planning.plan import Plan
from prepstore.planning.setting_out import (
    Filling,
    SetOut,
    bottles_of,
    fillings_of,
    overfilled,
    setting_out,
)
from tests.builders import batches_of, figures, number, plan_of, warnings_about


def _plan(header: str, *lines: str, students: str = "5") -> Plan:
    """Plan 4 sets: 5 students in pairs and a demonstrator; what is used ends in the air."""
    return plan_of(
        items="item,kind,unit\nether,solvent,mL\npaper,consumable,each\nflask,apparatus,each",
        practical_lines="\n".join([f"{header},to", *(f"{line},air" for line in lines)]),
        timetable=f"""
            session, practical, date,       students,   group_size, demonstrator_sets
            S,       P,         2027-02-01, {students}, 2,          1""",
        suppliers="supplier,lead_days\nShop,0",
        packs="pack,item,supplier,size,price\nE,ether,Shop,1 L,5",
    )


def _set_out_lines(header: str, *lines: str, students: str = "5") -> list[SetOut]:
    return list(setting_out(_plan(header, *lines, students=students)))


def _set_out(*lines: str, students: str = "5") -> list[SetOut]:
    """Set out 4 sets. A line is item, amount, shared_by."""
    header = "practical,per,item,amount,shared_by"
    return _set_out_lines(header, *(f"P,group,{line}" for line in lines), students=students)


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


@pytest.mark.parametrize(
    ("shared_by", "bottles"),
    [
        ("1", [(4, 1, 12)]),
        ("2", [(2, 2, 24)]),
        ("3", [(2, 2, 24)]),  # spread evenly: not three sets and one
        ("9", [(1, 4, 48)]),
    ],
)
def test_sets_are_spread_evenly_over_the_containers(
    shared_by: str, bottles: list[tuple[int, int, int]]
) -> None:
    """10 mL a set with 20 % spare is 12 mL a set."""
    (row,) = _set_out(f"ether, 10 mL, {shared_by}")
    assert _bottles(row) == bottles


def test_where_sets_do_not_go_evenly_some_containers_serve_one_more() -> None:
    """Seven sets in three: one for three of them, two for two. 7 x 12 mL = 36 + 2 x 24 mL."""
    (row,) = _set_out("ether, 10 mL, 3", students="11")
    assert _bottles(row) == [(1, 3, 36), (2, 2, 24)]
    assert row.fill == 36


def test_the_fill_of_a_row_is_the_most_over_its_lines() -> None:
    (row,) = _set_out("ether, 10 mL, 3", "ether, 5 mL, 4")
    assert row.fill == 24  # two sets at 12 mL; four at 6 mL is 24 as well
    (row,) = _set_out("ether, 10 mL, 3", "ether, 7 mL, 4")
    assert row.fill == number("33.6")


def test_counted_things_in_each_container_are_whole() -> None:
    (row,) = _set_out("paper, 2 each, 2")
    assert row.fill == 5  # 8.8 in two


def test_where_nothing_is_shared_there_is_no_fill() -> None:
    (row,) = _set_out("ether, 10 mL,")
    assert row.fill == 0


def test_a_line_with_a_container_that_nobody_shares_has_one_a_set_or_one_a_session() -> None:
    lines = ("P,group,ether,10 mL,vial", "P,session,ether,50 mL,jug")
    rows = _set_out_lines("practical,per,item,amount,container", *lines)
    assert [_bottles(row) for row in rows] == [[(4, 1, 12), (1, 4, 50)]]
    assert figures(rows[0].containers, rows[0].fill) == (0, 0)


def test_a_container_that_is_apparatus_is_set_out_as_well_and_does_not_share_itself() -> None:
    lines = ("P,group,ether,10 mL,flask,3",)
    ether, flask = _set_out_lines("practical,per,item,amount,container,shared_by", *lines)
    assert figures(ether.containers, ether.fill) == (2, 24)
    assert figures(flask.amount, flask.containers, flask.fill) == (2, 0, 0)
    assert flask.lines[0].holds == "ether"


@pytest.mark.parametrize(
    ("container", "too_small"),
    [
        ("24 mL vial", False),
        ("23.9 mL vial", True),
        ("0.02 L vial", True),
        ("vial of 1 mL", False),
        ("20 g jar", False),  # ether has no density here
        ("flask", False),
    ],
)
def test_a_container_that_would_be_filled_beyond_what_its_name_begins_with(
    container: str,
    too_small: bool,  # noqa: FBT001
) -> None:
    header = "practical,per,item,amount,shared_by,container"
    plan = _plan(header, f"P,group,ether,10 mL,3,{container}")
    found = [(work.session.session, fill.number) for work, _, fill in overfilled(plan)]
    assert found == ([("S", number(24))] if too_small else [])
    assert bool(warnings_about(plan, "ether")) is too_small


def _bottles(row: SetOut) -> list[tuple[int, int, object]]:
    unit = Kind.COUNT if row.name == "paper" else Kind.VOLUME
    return [
        (one.number, one.sets, one.amount)
        for line in row.lines
        for one in bottles_of(line, row.work.scale.sets, unit)
    ]


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
        (
            one.work.session.session,
            str(one.container),
            *((bottles.number, int(bottles.amount)) for bottles in one.bottles),
        )
        for one in _fillings(_brine("10 mL, 3, bottle", "5 mL,, jar", "1 mL,,"))
    ]
    assert rows == [
        ("S", "bottle", (2, 20)),
        ("S", "jar", (4, 5)),
        ("T", "bottle", (1, 20)),
        ("T", "jar", (2, 5)),
    ]


def test_what_a_batch_is_filled_into_tells_where_stock_has_a_part() -> None:
    stock = "lot,item,amount,expiry\nB,brine,15 mL,2027-03-01"
    assert [one.has_stock for one in _fillings(_brine("10 mL, 4, bottle", stock=stock))] == [
        True,
        False,
    ]
