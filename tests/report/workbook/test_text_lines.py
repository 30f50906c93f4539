from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.lib.utils import simpleSplit
from reportlab.pdfbase.pdfmetrics import stringWidth

from prepstore.report.workbook.text_lines import lines_of

FONTS: Final = ("Helvetica", "Helvetica-Bold")
words = st.text(
    "abcdefghijklmnopqrstuvwxyz ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789.,;:()%/'-", max_size=90
)


@pytest.mark.parametrize("font", FONTS)
@pytest.mark.parametrize(
    "letters", ["iiiiii", "MMMMMM", "0.5 mol/L", "2 × 250 mL · 20 °C–25 °C", "é"]
)
def test_a_text_fits_its_own_width_and_nothing_less(letters: str, font: str) -> None:
    """The widths are those of reportlab, which ships Adobe's metrics of the core fonts."""
    width = stringWidth(letters, font, 10)
    assert lines_of(letters, width + 0.01, 10, is_bold=font == FONTS[1]) == 1
    assert lines_of(letters, width - 0.01, 10, is_bold=font == FONTS[1]) == 2


@given(words, st.floats(60, 400), st.sampled_from(FONTS))
def test_lines_break_where_another_library_breaks_them(text: str, width: float, font: str) -> None:
    """Against reportlab's own way to break a paragraph, for words that fit on a line."""
    text = " ".join(text.split())
    if all(stringWidth(word, font, 10) < width for word in text.split()):
        lines = simpleSplit(text, font, 10, width)
        assert lines_of(text, width + 0.001, 10, is_bold=font == FONTS[1]) == max(1, len(lines))


def test_a_line_break_begins_a_line_and_a_long_word_goes_on_over_the_next() -> None:
    assert lines_of("one\n\nthree", 100, 10) == 3
    assert lines_of("M" * 25, 100, 10) == 3
    assert lines_of("ab " + "M" * 25, 100, 10) == 4


def test_what_no_width_is_known_of_is_taken_as_wide() -> None:
    assert lines_of("水" * 10, 100, 10) == 1
    assert lines_of("水" * 11, 100, 10) == 2
