from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.report.screen import fitted
from prepstore.report.text_table import as_table

HEADING = ("lot", "item", "amount", "place", "")
LINES = (
    ("L1", "hydrochloric acid, concentrated", "1 L", "acid cupboard, bottom shelf", "LATE"),
    ("L2", "sodium chloride", "250 g", "", ""),
)


def _at(width: int | None, *lines: tuple[str, ...]) -> list[str]:
    with pytest.MonkeyPatch.context() as patch:
        if width is not None:
            patch.setenv("COLUMNS", str(width))
        return list(as_table(HEADING, lines or LINES))


def test_a_table_leaves_blank_columns_out_and_is_nothing_without_lines() -> None:
    assert list(as_table(("a", "b", "c"), [("1", "", "x"), ("22", "", "")])) == [
        "a   c",
        "1   x",
        "22",
    ]
    assert list(as_table(("a",), [])) == []


@pytest.mark.parametrize("width", [None, 79, 500])
def test_a_list_is_as_wide_as_it_is_in_a_file_and_where_it_fits(width: int | None) -> None:
    assert _at(width) == [
        "lot  item                             amount  place",
        "L1   hydrochloric acid, concentrated  1 L     acid cupboard, bottom shelf  LATE",
        "L2   sodium chloride                  250 g",
    ]


def test_long_cells_are_folded_where_they_do_not_fit() -> None:
    assert _at(78) == [
        "lot  item                            amount  place",
        "L1   hydrochloric acid,              1 L     acid cupboard, bottom shelf  LATE",
        "     concentrated",
        "L2   sodium chloride                 250 g",
    ]


def test_the_last_columns_go_below_their_line_where_there_is_no_room_for_them() -> None:
    lines = (*LINES, ("L3", "x" * 45, "1 kg", "", "LATE"))
    assert _at(60, *lines) == [
        "lot  item                                           amount",
        "L1   hydrochloric acid, concentrated                1 L",
        "    place: acid cupboard, bottom shelf; LATE",
        "L2   sodium chloride                                250 g",
        f"L3   {'x' * 45}  1 kg",
        "    LATE",
    ]


def test_a_screen_that_is_narrower_than_60_is_given_60() -> None:
    assert _at(20) == _at(60)


def test_a_number_stays_with_what_it_is_of() -> None:
    folded = _at(60, ("L1", "hydrogen peroxide, stabilised, 30 %", "1 L", "cabinet 4 B", "LATE"))
    assert all(not line.rstrip().endswith("30") for line in folded)
    assert any("30 %" in line for line in folded)


WORDS = st.lists(st.text("abc,5%", min_size=1, max_size=14), max_size=8).map(" ".join)


@given(
    st.integers(60, 250),
    st.lists(st.tuples(*[WORDS] * 5), min_size=1, max_size=5),
)
def test_every_list_fits_and_says_every_word(width: int, lines: list[tuple[str, ...]]) -> None:
    printed = _at(width, *lines)
    assert all(len(line) <= width for line in printed)
    said = sorted(" ".join(printed).replace(";", " ").split())
    wanted = [word for line in lines for cell in line for word in cell.split()]
    for word in wanted:
        assert word in said, (word, printed)
        said.remove(word)


def _indented() -> Iterator[str]:
    yield "  Mon: " + "a long word " * 12
    yield "short"


def test_lines_beside_a_list_are_folded_behind_their_indent(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    assert list(fitted(_indented())) == list(_indented())
    monkeypatch.setenv("COLUMNS", "60")
    first, *further, last = fitted(_indented())
    assert max(map(len, (first, *further))) <= 60
    assert first.startswith("  Mon: a long")
    assert all(line.startswith("    ") for line in further)
    assert last == "short"


def test_a_list_that_just_fits_is_as_it_is_and_one_sign_less_folds_it() -> None:
    whole = _at(None)
    width = max(map(len, whole))
    assert _at(width) == whole
    assert _at(width - 1) != whole


def test_columns_stay_side_by_side_as_long_as_their_least_widths_fit() -> None:
    """16 + 2 + 20 + 2 + 20 = 60: no column is folded to less than 16, nor within a word."""
    line = ("one two three four five", "x" * 20, "y" * 20, "", "")
    assert _at(60, line) == [
        "lot               item                  amount",
        f"one two three     {'x' * 20}  {'y' * 20}",
        "four five",
    ]
    wider = ("one two three four five", "x" * 20, "y" * 21, "", "")
    assert _at(60, wider)[-1] == f"    amount: {'y' * 21}"


def test_on_a_wide_screen_a_list_uses_all_of_it() -> None:
    line = ("L1", "word " * 40, "1 L", "", "")
    assert len(_at(300, line)) == 2
    assert len(_at(200, line)) > 2


def test_a_line_that_just_fits_is_as_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    line = "a  b " * 12
    assert list(fitted([line])) == [line]
    assert list(fitted([f"{line}c d"])) != [f"{line}c d"]
