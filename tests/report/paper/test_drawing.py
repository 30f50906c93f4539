"""Things drawn are where they should be, as a page is rendered and read back."""

from math import sqrt

import numpy as np
import pytest

from prepstore.report.paper.drawing import PICTOGRAMS, Drawing
from prepstore.report.paper.scannable import codes_for
from tests.report.labels_on_paper import DAY, Paper, dark


def drawing() -> Drawing:
    made = Drawing(60, 50, DAY, "A paper")
    made.new_page()
    return made


@pytest.mark.parametrize("code", PICTOGRAMS)
@pytest.mark.parametrize("side", [10, 23])
def test_a_pictogram_is_as_large_as_its_red_frame(code: str, side: float) -> None:
    made = drawing()
    made.pictogram(code, 5, 7, side)
    paper = Paper(made.pdf())
    frame = paper.red(0, (0, 0, 60, 50), dpi=600)
    assert frame.side == pytest.approx(side, abs=0.1)
    assert (frame.left, frame.top) == pytest.approx((5, 7), abs=0.1)
    symbol = dark(paper.dots(0, 600), (0, 0, 60, 50))
    across = side * sqrt(2)
    # The symbol is large, in the middle, and inside the white of the diamond.
    assert (
        0.35 * across < max(symbol.right - symbol.left, symbol.bottom - symbol.top) < 0.8 * across
    )
    assert (symbol.left + symbol.right) / 2 == pytest.approx(5 + across / 2, abs=0.06 * across)
    assert (symbol.top + symbol.bottom) / 2 == pytest.approx(7 + across / 2, abs=0.09 * across)


@pytest.mark.parametrize("code", PICTOGRAMS)
def test_no_symbol_touches_its_frame(code: str) -> None:
    made = drawing()
    made.pictogram(code, 5, 7, 20)
    is_dark = Paper(made.pdf()).dots(0, 300).max(axis=2) < 128
    rows, columns = np.where(is_dark)
    dot, middle = 25.4 / 300, 20 * sqrt(2) / 2
    away = np.abs((columns + 0.5) * dot - 5 - middle) + np.abs((rows + 0.5) * dot - 7 - middle)
    assert away.max() < middle - 0.065 * 20 * sqrt(2)


def test_no_two_pictograms_look_alike() -> None:
    seen = []
    for code in PICTOGRAMS:
        made = drawing()
        made.pictogram(code, 5, 7, 10)
        seen.append((Paper(made.pdf()).dots(0, 100).max(axis=2) < 128).ravel())
    for number, one in enumerate(seen):
        for other in seen[:number]:
            assert (one & other).sum() < 0.75 * max(one.sum(), other.sum())


def test_words_stand_on_their_base_line_with_letters_of_their_size() -> None:
    made = drawing()
    made.words(5, 20, "xxx", 10.0)
    paper = Paper(made.pdf())
    seen = dark(paper.dots(0, 600), (0, 0, 60, 50))
    assert seen.bottom == pytest.approx(20, abs=0.1)
    # DejaVu Fonts 2.37: a small x is 1120 of 2048 units high.
    assert seen.bottom - seen.top == pytest.approx(10 * 1120 / 2048, abs=0.1)
    assert seen.left == pytest.approx(5, abs=0.3)


def test_signs_beyond_latin_letters_are_in_the_file_and_read_back() -> None:
    made = drawing()
    made.words(2, 20, "αβ Жук Na₂SO₄ · 10 µL ± 2 °C m²", 4.0)
    assert Paper(made.pdf()).text() == "αβ Жук Na₂SO₄ · 10 µL ± 2 °C m²"


def test_a_rule_runs_from_end_to_end() -> None:
    made = drawing()
    made.rule(10, 40, 25)
    seen = dark(Paper(made.pdf()).dots(0, 600), (0, 0, 60, 50))
    assert (seen.left, seen.right) == pytest.approx((10, 40), abs=0.2)
    assert (seen.top + seen.bottom) / 2 == pytest.approx(25, abs=0.1)


@pytest.mark.parametrize("which", [0, 1])
def test_a_code_is_drawn_inside_its_white_and_read_back(which: int) -> None:
    code = codes_for("2027-02-03-1")[which]
    made = drawing()
    made.code(code, 10, 15)
    paper = Paper(made.pdf())
    seen = dark(paper.dots(0, 600), (0, 0, 60, 50))
    white = code.quiet * 0.375
    assert (seen.left, seen.top) == pytest.approx((10 + white, 15 + white), abs=0.1)
    assert seen.right <= 10 + code.side_mm - white + 0.1
    assert paper.codes() == ["2027-02-03-1"]


def test_pages_are_of_their_size_and_the_same_things_give_the_same_file() -> None:
    first, second = drawing(), drawing()
    for made in (first, second):
        made.words(5, 20, "same", 4.0)
    one = first.pdf()
    assert one == second.pdf()
    assert Paper(one).size() == pytest.approx((60, 50), abs=0.01)


def test_the_font_is_embedded() -> None:
    made = drawing()
    made.words(5, 20, "x", 4.0)
    pdf = made.pdf()
    assert b"/FontFile2" in pdf
    assert b"DejaVuSansCondensed" in pdf
