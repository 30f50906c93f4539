import pytest

from prepstore.safety.meeting.chart import group_names
from prepstore.safety.meeting.group_cell import GroupCellError, read_groups


@pytest.mark.parametrize(
    ("text", "groups"),
    [
        ("4", (4,)),
        ("3; 31", (3, 31)),
        ("31;3", (3, 31)),
        (" 104 ;24; ", (24, 104)),
        ("3; 3", (3,)),
        ("107", (107,)),
    ],
)
def test_groups_are_read_in_rising_order_each_once(text: str, groups: tuple[int, ...]) -> None:
    assert read_groups(text) == groups


@pytest.mark.parametrize(
    "text", ["35", "100", "108", "0", "-1", "3, 31", "3 31", "4.0", "acid", "³"]
)
def test_what_is_no_group_of_the_chart_is_named(text: str) -> None:
    with pytest.raises(GroupCellError) as caught:
        read_groups(f"3; {text}")
    assert caught.value.what == f"has '{text}', which is no group of the chart."
    assert "1 to 34 or 101 to 107, with ; between, like 3; 31." in caught.value.expected


@pytest.mark.parametrize("text", [";", " ; ;"])
def test_a_cell_of_semicolons_names_no_group(text: str) -> None:
    with pytest.raises(GroupCellError, match=r"^names no group\. Write the numbers"):
        read_groups(text)


def test_every_group_of_the_chart_can_be_written() -> None:
    assert [read_groups(str(group)) for group in group_names()] == [(one,) for one in group_names()]
