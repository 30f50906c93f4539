"""The font's own measures, against a second reader of fonts."""

import pytest
from reportlab.pdfbase.ttfonts import TTFont as OtherReader

from prepstore.report.paper.typeface import FONT_FILE, typeface


def test_widths_are_those_that_another_library_reads() -> None:
    """reportlab parses the same file by code of its own; it rounds to thousandths."""
    other = OtherReader("label", str(FONT_FILE))
    for text in ("hydrochloric acid 2 mol/L", "Kupfer(II)-sulfat · 20 °C ± 1 µL", "αβγ Жук"):
        read = other.stringWidth(text, 1000)
        assert typeface().width_of(text) * 1000 == pytest.approx(read, abs=len(text))


def test_a_small_x_is_as_high_as_the_makers_of_the_font_say() -> None:
    # DejaVu Fonts, status of version 2.37: x-height 1120 of 2048 units.
    assert typeface().x_height == pytest.approx(1120 / 2048)


@pytest.mark.parametrize(
    "text", ["µμ°·²³⁻⁺₂₃ ≤ → – ’ × ½", "Äöüßñçłőř", "Ω α-D", "Ж", "m/z\u00a02"]
)
def test_the_font_has_the_signs_of_a_laboratory(text: str) -> None:
    assert typeface().lacking(text) == ()


def test_signs_that_the_font_lacks_are_named_once() -> None:
    assert typeface().lacking("水 and 水 and 酸") == ("水", "酸")


def test_what_can_be_drawn_has_question_marks_and_blanks_for_what_the_font_lacks() -> None:
    assert typeface().drawable("20 °C 水\u3000酸\t!") == "20 °C ? ? !"
    assert typeface().lacking(typeface().drawable("20 °C 水\u3000酸\t!")) == ()


@pytest.mark.parametrize("x_height", [1.2, 1.4, 1.8, 2.0, 1.2345])
def test_a_size_is_the_least_whole_step_of_a_pdf_that_is_high_enough(x_height: float) -> None:
    size = typeface().size_for(x_height)
    points = size * 72 / 25.4
    assert points * 100 == pytest.approx(round(points * 100))
    assert size * typeface().x_height >= x_height - 1e-6
    assert (size - 0.01 * 25.4 / 72) * typeface().x_height < x_height
