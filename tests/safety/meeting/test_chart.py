import pytest

from prepstore.safety.data_files import rows_of as shipped_rows
from prepstore.safety.meeting.chart import (
    HALOGENATED_ORGANICS,
    chart_pair,
    chart_pairs,
    code_meanings,
    codes_in_words,
    group_names,
)
from tests.every_case import every_case
from tests.published.rows import Row, rows_of

PUBLISHED = rows_of("compatibility_chart")
"""Source: EPA-600/2-80-076; each row of the table says where it was read."""


@every_case("row", PUBLISHED, ids=lambda row: f"{row['group_a']}-{row['group_b']}")
def test_a_pair_of_the_published_chart_is_found_in_both_orders(row: Row) -> None:
    one, other = int(row["group_a"]), int(row["group_b"])
    for pair in (chart_pair(one, other), chart_pair(other, one)):
        assert pair is not None
        assert pair.groups == (min(one, other), max(one, other))
        assert pair.codes == tuple(row["codes"].split())
        assert pair.unknown == (not row["codes"])
        assert bool(pair.remark) == bool(row["doubted"])


def test_the_chart_has_296_pairs_with_codes_40_of_group_107_and_8_doubted_blanks() -> None:
    """Source: as above; the counts are those of the published chart."""
    pairs = chart_pairs().values()
    extremely_reactive = [pair for pair in pairs if pair.codes == ("X",)]
    assert len(pairs) == len(PUBLISHED) == 344
    assert len(extremely_reactive) == 40
    assert {pair.groups[1] for pair in extremely_reactive} == {107}
    assert sum(pair.unknown for pair in pairs) == 8
    assert sum(bool(pair.codes) for pair in pairs) - len(extremely_reactive) == 296


def test_a_pair_that_the_chart_leaves_blank_is_nothing_and_never_an_answer() -> None:
    listed = {(int(row["group_a"]), int(row["group_b"])) for row in PUBLISHED}
    blank = [
        (one, other)
        for one in group_names()
        for other in group_names()
        if (min(one, other), max(one, other)) not in {(min(pair), max(pair)) for pair in listed}
    ]
    assert (17, 19) in blank
    assert all(chart_pair(*pair) is None for pair in blank)


def test_there_are_41_groups_and_ten_codes_and_the_chart_uses_no_others() -> None:
    assert list(group_names()) == [*range(1, 35), *range(101, 108)]
    assert {group for pair in chart_pairs() for group in pair} == set(group_names())
    used = {code for pair in chart_pairs().values() for code in pair.codes}
    assert used == set(code_meanings()) == {"H", "F", "G", "GT", "GF", "E", "P", "S", "U", "X"}
    assert group_names()[HALOGENATED_ORGANICS] == "halogenated organics"


def test_the_chart_is_kept_with_the_lower_group_first() -> None:
    assert all(one < other for one, other in chart_pairs())


def test_codes_are_said_in_the_order_in_which_they_stand() -> None:
    assert codes_in_words(("GT", "GF")) == "a toxic gas forms; a flammable gas forms"
    assert codes_in_words(()) == "what happens is not known"


def test_no_code_and_no_name_of_a_group_says_that_something_is_safe() -> None:
    said = " ".join([*code_meanings().values(), *group_names().values()])
    assert "safe" not in said


@pytest.mark.parametrize("name", ["chart", "codes", "groups", "substances"])
def test_every_row_says_where_it_comes_from(name: str) -> None:
    rows = shipped_rows(f"meeting/{name}.csv")
    assert rows
    assert list(rows[0])[-1] == "source"
    assert all(row["source"] for row in rows)
    assert all(None not in row for row in rows), "a row is longer than the heading"
