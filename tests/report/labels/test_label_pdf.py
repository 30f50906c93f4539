"""Labels printed to a PDF, rendered and measured: each shipped sheet, each size of container.

What they must be: CLP Annex I, Table 1.3 (tests/published/label_sizes.csv); 0.2 mm are allowed.
"""

from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from itertools import islice
from math import ceil, floor

import numpy as np
import pytest

from prepstore.problems import RefusedError
from prepstore.report.labels.contents import Hazards, LabelContent
from prepstore.report.labels.grids import Grid, read_grid, read_size, shipped_grids
from prepstore.report.labels.label_pdf import label_pdf
from prepstore.report.labels.label_sheets import Placed, placed_labels
from prepstore.safety.classes.finding import Undecided
from prepstore.safety.hazard_statements import in_words
from prepstore.safety.precautionary_statements import precaution_in_words, precautions_for
from tests.published.rows import rows_of
from tests.report.labels_on_paper import CORROSIVE, DAY, FLAMMABLE, IRRITANT, Paper, label

ALLOWED = 0.2
CAPACITIES = [500, 3000, 50000, 500000, 500001]
MUST_BE = {int(row["capacity_mL"]): row for row in rows_of("label_sizes")}
GRIDS = shipped_grids()


def small(capacity_ml: int) -> LabelContent:
    """Return a label with one pictogram and very few words, an x among them."""
    hazards = Hazards(pictograms=("GHS05",), basis="x")
    return label("x", capacity_ml, number="A1", hazards=hazards)


def _on(grid: Grid) -> list[Placed]:
    """Return a label for each size of container that the sheet can hold, in places of its own."""
    found: list[Placed] = []
    for capacity in CAPACITIES:
        with suppress(RefusedError):
            (one,) = placed_labels([small(capacity)], grid, place_number(grid, capacity))
            found.append(replace(one, place=replace(one.place, page=len(found))))
    return found


def place_number(grid: Grid, capacity: int) -> int:
    """Return a place of its own for each capacity: corners, edges and the middle of the sheet."""
    return 1 + (CAPACITIES.index(capacity) * 7) % grid.labels


Sheets = tuple[Paper, dict[Grid, list[Placed]]]


@pytest.fixture(scope="module")
def all_sheets() -> Iterator[Sheets]:
    """One PDF of all sheets, and what stands on its pages."""
    page, labels, by_grid = 0, list[Placed](), dict[Grid, list[Placed]]()
    for grid in GRIDS:
        by_grid[grid] = [
            replace(one, place=replace(one.place, page=page + one.place.page)) for one in _on(grid)
        ]
        page += len(by_grid[grid])
        labels += by_grid[grid]
    paper = Paper(label_pdf(labels, GRIDS[0], DAY))
    yield paper, by_grid
    paper.close()


@pytest.mark.parametrize("grid", GRIDS, ids=lambda grid: grid.in_full)
def test_on_each_sheet_pictograms_letters_and_places_are_as_they_must_be(
    grid: Grid, all_sheets: Sheets
) -> None:
    paper, by_grid = all_sheets
    assert by_grid[grid], "not even the smallest label fits"
    for one in by_grid[grid]:
        capacity = int(one.content.capacity_ml)
        row, column = divmod(place_number(grid, capacity) - 1, grid.columns)
        left = float(grid.left + column * grid.across)
        top = float(grid.top + row * grid.down)
        right, bottom = left + float(grid.width), top + float(grid.height)
        page = one.place.page
        corner = (max(left, right - 75), top, min(right, 210), min(bottom, top + 75))
        frame = paper.red(page, corner)
        must_be = MUST_BE[capacity]
        least = float(must_be["pictogram_side_mm"])
        wanted = 16 if least == 10 else least
        assert least - ALLOWED <= frame.side <= wanted + ALLOWED
        assert frame.side == pytest.approx(one.laid.diamonds[0].side, abs=ALLOWED)
        # The frame's right and upper corners stand 1 mm from the label's edges, or at the rim.
        assert frame.right == pytest.approx(min(right - 1, 205.7), abs=ALLOWED)
        assert frame.top == pytest.approx(max(top + 1, 4.3), abs=ALLOWED)
        heights = [height for _, _, height in paper.x_heights(page)]
        assert min(heights) >= float(must_be["x_height_mm"]) - 0.01
        assert min(heights) == pytest.approx(one.laid.x_height, abs=ALLOWED)


@pytest.mark.parametrize("grid", GRIDS[::6], ids=lambda grid: grid.in_full)
def test_nothing_is_printed_outside_a_label(grid: Grid, all_sheets: Sheets) -> None:
    paper, by_grid = all_sheets
    for one in by_grid[grid]:
        ink, place = paper.ink(one.place.page, dpi=100), one.place
        width, height = paper.size(place.page)
        across, down = width / ink.shape[1], height / ink.shape[0]
        # What is printed keeps 1 mm from the edges of its label.
        left, right = float(place.left) + 0.8, float(place.left + place.width) - 0.8
        top, bottom = float(place.top) + 0.8, float(place.top + place.height) - 0.8
        inside = np.zeros_like(ink)
        inside[
            floor(top / down) : ceil(bottom / down), floor(left / across) : ceil(right / across)
        ] = True
        assert ink.any()
        assert not (ink & ~inside).any()


@pytest.mark.parametrize("grid", GRIDS[::6], ids=lambda grid: grid.in_full)
def test_the_code_of_each_label_is_read_back_from_the_page(grid: Grid, all_sheets: Sheets) -> None:
    paper, by_grid = all_sheets
    for one in by_grid[grid]:
        place = one.place
        edges = (place.left, place.top, place.left + place.width, place.top + place.height)
        assert paper.codes(place.page, tuple(float(edge) for edge in edges)) == ["A1"]


def test_containers_of_each_size_can_be_labelled_on_some_sheet(all_sheets: Sheets) -> None:
    _, by_grid = all_sheets
    fitting = {int(one.content.capacity_ml) for placed in by_grid.values() for one in placed}
    assert fitting == set(CAPACITIES)


def test_a_full_sheet_has_all_its_labels_each_with_its_own_number_and_name() -> None:
    grid = read_grid("2x4 105x74")
    contents = [
        label(f"solution {number}", number=f"2027-02-03-{number}", hazards=IRRITANT)
        for number in range(1, 11)
    ]
    paper = Paper(label_pdf(placed_labels(contents, grid, start=3), grid, DAY))
    assert len(paper) == 2
    read = paper.codes(0) + paper.codes(1)
    assert sorted(read) == sorted(one.number for one in contents)
    for page, numbers in ((0, range(1, 7)), (1, range(7, 11))):
        assert all(f"solution {number}" in paper.text(page) for number in numbers)
    assert "solution 7" not in paper.text(0)


MUCH = Hazards(
    signal_word="Danger",
    pictograms=("GHS02", "GHS05", "GHS06", "GHS08", "GHS09"),
    h_codes=("H225", "H301+H311+H331", "H314", "H317", "H350", "H360FD", "H372", "H410"),
    euh=("EUH066", "EUH208"),
    contains=("methanal", "phenol"),
    sensitisers=("methanal",),
    undecided=(Undecided("flash point", "", "a mixture"),),
)


def test_every_word_of_a_label_with_much_on_it_is_on_the_page() -> None:
    content = label("preserving fluid β", 500, hazards=MUCH, volume="500 mL", made_on=DAY)
    grid = read_size("148x105")
    text = Paper(label_pdf(placed_labels([content], grid), grid, DAY)).text().replace("- ", "-")
    said = [in_words(code) for code in MUCH.h_codes]
    said += [precaution_in_words(code) for code in precautions_for(MUCH.h_codes)]
    said += [
        "preserving fluid β",
        "500 mL",
        "made 2027-02-03",
        "Danger",
        "Contains: methanal; phenol",
    ]
    said += [
        "EUH066 Repeated exposure may cause skin dryness or cracking",
        "Not decided: flash point",
    ]
    said += ["Contains methanal. May produce an allergic reaction"]
    said += ["Calculated by Regulation (EC) No 1272/2008, Annex I; see the safety data sheet."]
    assert len(precautions_for(MUCH.h_codes)) == 6
    for words in said:
        assert words in text.replace("/ ", "/"), words


def test_the_smallest_labels_have_letters_that_are_measured_in_ink() -> None:
    """By the dots of a page rendered at 1200 dpi, and not by what the file says."""
    content = label("xxxx", 50, number="A1", hazards=Hazards(pictograms=("GHS05",), basis="xxxx"))
    grid = read_size("48.3x16.9")
    (one,) = placed_labels([content], grid)
    paper = Paper(label_pdf([one], grid, DAY))
    dots = paper.dots(0, 1200).astype(int).sum(axis=2) < 384
    left, base, height = max(paper.x_heights(), key=lambda found: found[1])
    scale = 1200 / 25.4
    rows = slice(round((base - 2 * height) * scale), round((base + height) * scale))
    columns = slice(round(left * scale), round((left + height) * scale))
    high = np.where(dots[rows, columns].any(axis=1))[0]
    assert (high[-1] - high[0] + 1) / scale == pytest.approx(one.laid.x_height, abs=0.05)
    assert (high[-1] - high[0] + 1) / scale >= 1.2 - 0.03


def test_one_label_a_page_has_pages_of_the_size_of_the_label() -> None:
    grid = read_size("57x32")
    placed = placed_labels(
        [label(capacity_ml=100, hazards=one) for one in (FLAMMABLE, IRRITANT)], grid
    )
    paper = Paper(label_pdf(placed, grid, DAY))
    assert len(paper) == 2
    assert paper.size() == pytest.approx((57, 32), abs=0.01)
    assert [paper.codes(page) for page in (0, 1)] == [["2027-02-03-1"]] * 2


def test_a_waste_container_of_five_litres_has_pictograms_of_23_mm() -> None:
    grid = read_size("148x105")
    (placed,) = placed_labels([label("aqueous acid", 5000, hazards=CORROSIVE)], grid)
    frame = Paper(label_pdf([placed], grid, DAY)).red(0, (0, 0, 148, 105))
    assert frame.side == pytest.approx(23, abs=ALLOWED)


def test_labels_of_no_sheet_are_an_empty_file_of_one_page() -> None:
    paper = Paper(label_pdf(list(islice(placed_labels([], read_size("57x32")), 0)),
                            read_size("57x32"), DAY))  # fmt: skip
    assert len(paper) == 1
    assert not paper.ink().any()
