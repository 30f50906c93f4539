from datetime import date
from decimal import Decimal

from prepstore.planning.changes import Changes, Difference
from prepstore.report.change_list import change_lines, change_summary

CHANGES = Changes(
    students=(Difference("Mon", Decimal(18), Decimal(24)),),
    benches=(
        Difference(("Mon", "acetone"), Decimal(900), Decimal(1200)),
        Difference(("Mon", "vial"), Decimal(20), Decimal(14)),
    ),
    batches=(Difference(("brine", date(2027, 3, 5)), Decimal(500), Decimal(0)),),
    short=(Difference("acetone", Decimal(48), Decimal(174)),),
    packs=(Difference(("P1", "acetone"), Decimal(0), Decimal(2)),),
    containers=(Difference("halogenated solvent", Decimal(2), Decimal(3)),),
    units={"acetone": "mL", "vial": "each"},
)


def test_each_difference_says_what_to_do() -> None:
    assert [(line.heading, line.what, line.to_do) for line in change_lines(CHANGES)] == [
        ("Students", "Mon", "more 6"),
        ("On the bench of Mon", "acetone", "add 300 mL"),
        ("On the bench of Mon", "vial", "take off 6"),
        ("Make up", "brine, made on Fri 5 Mar", "make less 500 mL"),
        ("Short", "acetone", "more is short, 126 mL"),
        ("Order", "P1, acetone", "order more 2"),
        ("Waste containers", "halogenated solvent", "more 1"),
    ]


def test_the_summary_gives_before_and_now() -> None:
    lines = list(change_summary(CHANGES, "plan.json"))
    assert lines[0] == "Changes since plan.json"
    assert "  acetone: add 300 mL (900 mL before, 1.2 L now)" in lines
    assert "  brine, made on Fri 5 Mar: make less 500 mL (500 mL before, none now)" in lines


def test_no_difference_is_said() -> None:
    nothing = Changes((), (), (), (), (), (), {})
    assert list(change_summary(nothing, "plan.json"))[1] == "Nothing differs."
