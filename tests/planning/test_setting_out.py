"""What goes on the benches, and in how many containers."""

import pytest

from prepstore.planning.setting_out import SetOut, setting_out
from tests.builders import figures, number, plan_of


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
