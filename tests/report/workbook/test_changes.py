from prepstore.report.change_list import change_lines
from prepstore.report.workbook.changes import changes_page
from tests.planning.two_plans import differences, edited

MORE = differences(timetable=edited("timetable", ("Lab 1, 4", "Lab 1, 7")))


def test_each_heading_is_a_block_with_a_box_to_tick_in_each_row() -> None:
    blocks = list(changes_page(MORE, "plan.json").blocks)
    headings = [block[0].values[0] for block in blocks]
    assert headings[:4] == [
        "Sessions",
        "What stands in the way",
        "Make up",
        "On the bench of T",
    ]
    assert len(headings) == len(set(headings))
    assert blocks[2][1].values[:3] == ("☐", "brine", "make 500 mL more")


def test_the_sheet_tells_the_same_as_the_screen() -> None:
    rows = [row.values[1:5] for block in changes_page(MORE, "x").blocks for row in block[1:]]
    lines = [(line.what, line.to_do, line.before, line.now) for line in change_lines(MORE)]
    assert rows == lines


def test_no_difference_is_a_note() -> None:
    [[only]] = changes_page((), "plan.json").blocks
    assert only.values == ("Nothing differs.",)


def test_what_there_is_only_to_know_has_no_box() -> None:
    less = differences(
        before={"timetable": edited("timetable", ("Lab 2, 2", "Lab 2, 9"))},
        timetable=edited("timetable", ("Lab 2, 2", "Lab 2, 2")),
    )
    boxes = {
        (str(block[0].values[0]), row.values[0])
        for block in changes_page(less, "x").blocks
        for row in block[1:]
    }
    assert ("What stands in the way", "") in boxes
    assert ("Sessions", "☐") in boxes
