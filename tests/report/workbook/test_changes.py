from prepstore.planning.changes import Changes
from prepstore.report.workbook.changes import changes_page
from tests.report.test_change_list import CHANGES


def test_each_heading_is_a_block_with_a_box_to_tick_in_each_row() -> None:
    page = changes_page(CHANGES, "plan.json")
    blocks = list(page.blocks)
    assert [block[0].values for block in blocks] == [
        ("Students",),
        ("On the bench of Mon",),
        ("Make up",),
        ("Short",),
        ("Order",),
        ("Waste containers",),
    ]
    assert blocks[1][1].values == ("☐", "acetone", "add 300 mL", "900 mL", "1.2 L", None)


def test_no_difference_is_a_note() -> None:
    [[only]] = changes_page(Changes((), (), (), (), (), (), {}), "plan.json").blocks
    assert only.values == ("Nothing differs.",)
