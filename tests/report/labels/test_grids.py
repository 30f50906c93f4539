"""Grids as people write them, and where their labels stand."""

from decimal import Decimal
from itertools import islice

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.problems import RefusedError
from prepstore.report.labels.grids import Grid, read_grid, read_size, shipped_grids
from tests.every_case import every_case

NAMED = [grid for grid in shipped_grids()
         if [str(one) for one in shipped_grids()].count(str(grid)) == 1]  # fmt: skip


def test_a_shipped_sheet_is_known_by_its_dimensions_alone() -> None:
    # ISO 216: an A4 sheet is 210 mm by 297 mm; three labels of 70 mm fill its width.
    assert read_grid("3x8 70x37").in_full == "3x8 70x37 from 0x0 every 70x37"
    assert read_grid("3 x 8  70 × 37") == read_grid("3x8 70x37")


@every_case("grid", NAMED, ids=str)
def test_each_shipped_sheet_is_found_by_what_it_is_called(grid: Grid) -> None:
    assert read_grid(str(grid)) == grid


@every_case("grid", shipped_grids(), ids=lambda grid: grid.in_full)
def test_each_shipped_sheet_is_read_back_from_its_full_form_and_is_on_the_sheet(
    grid: Grid,
) -> None:
    assert read_grid(grid.in_full) == grid


def test_sheets_that_differ_only_in_their_margins_are_named() -> None:
    with pytest.raises(RefusedError, match="There are 2 sheets of 5x13") as refused:
        read_grid("5x13 38x21.2")
    for form in ("from 10x10.7 every 38x21.2", "from 5x10.7 every 40.5x21.2"):
        assert form in str(refused.value)
        assert read_grid(f"5x13 38x21.2 {form}").in_full == f"5x13 38x21.2 {form}"


def test_labels_of_a_sheet_that_is_not_shipped_touch_in_its_middle() -> None:
    grid = read_grid("2x5 80x50")
    assert (grid.left, grid.top) == (Decimal(25), Decimal("23.5"))
    assert (grid.across, grid.down) == (Decimal(80), Decimal(50))


def test_margins_and_steps_are_read() -> None:
    grid = read_grid("2x5 80x50 from 10x11.5 every 90x52")
    assert grid.in_full == "2x5 80x50 from 10x11.5 every 90x52"
    assert read_grid("2x5 80x50 every 90x52").left == Decimal(20)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("3x8", "is not a grid of labels. Write it like 3x8 70x37"),
        ("", "is not a grid"),
        ("3x8 70x37 mm", "is not a grid"),
        ("3x8 70,5x37", "is not a grid"),
        ("0x8 70x37", "has no labels"),
        ("3x8 70x0", "has no labels"),
        ("3x9 70x37", "beyond an A4 sheet of 210x297 mm"),
        ("4x8 70x37", "reach 280 x 296.5 mm"),
        ("2x2 70x37 every 60x37", "lie over one another"),
        ("2x2 70x37 every 70x36.9", "lie over one another"),
    ],
)
def test_what_is_no_grid_is_refused_with_what_is_expected(text: str, why: str) -> None:
    with pytest.raises(RefusedError, match=why):
        read_grid(text)


@pytest.mark.parametrize("text", ["57", "57x", "0x32", "57x301", "57x32 mm", "57,5x32"])
def test_what_is_no_size_is_refused(text: str) -> None:
    with pytest.raises(RefusedError, match="Write it like 57x32"):
        read_size(text)


def test_a_label_of_its_own_is_a_page_of_its_own_without_a_white_rim() -> None:
    first, second = islice(read_size("57x32").places(), 2)
    assert (first.page, second.page) == (0, 1)
    assert (second.left, second.top) == (Decimal(0), Decimal(0))
    assert (first.inner_left, first.inner_width) == (Decimal(1), Decimal(55))
    assert (first.inner_top, first.inner_height) == (Decimal(1), Decimal(30))


def test_places_go_row_by_row_from_any_label_on() -> None:
    grid = read_grid("3x8 70x37")
    places = list(islice(grid.places(start=23), 4))
    assert [(one.page, int(one.left), int(one.top)) for one in places] == [
        (0, 70, 259),
        (0, 140, 259),
        (1, 0, 0),
        (1, 70, 0),
    ]


@pytest.mark.parametrize("start", [0, -1, 25])
def test_a_sheet_has_only_its_labels_to_start_at(start: int) -> None:
    with pytest.raises(RefusedError, match="has labels 1 to 24"):
        next(read_grid("3x8 70x37").places(start))


# Common practice, no source: office printers leave a rim of about 4 mm white.
@given(st.sampled_from(shipped_grids()))
def test_nothing_is_printed_at_the_rim_of_a_sheet_or_of_a_label(grid: Grid) -> None:
    for place in islice(grid.places(), grid.labels):
        right = place.inner_left + place.inner_width
        bottom = place.inner_top + place.inner_height
        assert place.inner_left >= max(place.left + 1, Decimal("4.3"))
        assert place.inner_top >= max(place.top + 1, Decimal("4.3"))
        assert right <= min(place.left + place.width - 1, Decimal("205.7"))
        assert bottom <= min(place.top + place.height - 1, Decimal("292.7"))
