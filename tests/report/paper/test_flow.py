"""Words in lines: nothing lost, nothing over an edge or over another thing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.report.paper.flow import Area, Look, Page, Paragraph, Style, flow
from prepstore.report.paper.typeface import typeface

FONT = typeface()
STYLE = Style(size=2.0, larger=1.5, to_write=6.0)
OPEN = Page(60, 40, ())
WORDS = st.lists(st.text("abcdefgxyz", min_size=1, max_size=9), min_size=1, max_size=60).map(
    " ".join
)


def test_words_fill_a_line_before_the_next_begins() -> None:
    wide = FONT.width_of("one two three") * 2.0
    found = flow([Paragraph("one two three four")], STYLE, Page(wide, 40, ()), FONT)
    assert found is not None
    assert [line.text for line in found[0]] == ["one two three", "four"]


def test_a_line_is_a_fifth_higher_than_its_font_and_paragraphs_are_apart() -> None:
    """Annex I, 1.2.1.5(b): from line to line at least 120 % of the size of the font."""
    narrow = Page(FONT.width_of("three") * 2.0, 40, ())
    found = flow([Paragraph("one two"), Paragraph("three")], STYLE, narrow, FONT)
    assert found is not None
    first, second, third = (line.base for line in found[0])
    assert second - first == pytest.approx(2.4)
    assert third - second > 2.4


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("4-methylphenol/ethanol", ["4-", "methylphenol/", "ethanol"]),
        ("2027-02-03-1 5 mol/L", ["2027-02-03-1", "5 mol/L"]),
        ("500\u00a0mL made", ["500\u00a0mL", "made"]),
    ],
)
def test_long_words_break_where_a_name_may_and_figures_never(text: str, lines: list[str]) -> None:
    narrow = Page(FONT.width_of(max(lines, key=FONT.width_of)) * 2.0, 40, ())
    found = flow([Paragraph(text)], STYLE, narrow, FONT)
    assert found is not None
    assert [line.text for line in found[0]] == lines


def test_a_word_wider_than_the_page_does_not_fit() -> None:
    wide = FONT.width_of("dichloromethane") * 2.0
    assert flow([Paragraph("dichloromethane")], STYLE, Page(wide, 40, ()), FONT) is not None
    assert flow([Paragraph("dichloromethane")], STYLE, Page(wide - 0.01, 40, ()), FONT) is None


def test_a_page_holds_as_many_lines_as_are_high_and_not_one_more() -> None:
    three = " ".join(["dichloromethane"] * 3)
    wide = FONT.width_of("dichloromethane") * 2.0
    assert flow([Paragraph(three)], STYLE, Page(wide, 3 * 2.4, ()), FONT) is not None
    assert flow([Paragraph(three)], STYLE, Page(wide, 3 * 2.4 - 0.01, ()), FONT) is None


def test_large_paragraphs_are_larger() -> None:
    found = flow([Paragraph("x", Look.LARGE), Paragraph("x")], STYLE, OPEN, FONT)
    assert found is not None
    assert [line.size for line in found[0]] == [3.0, 2.0]


def test_a_line_to_write_on_is_long_and_high_enough_for_a_hand() -> None:
    found = flow([Paragraph("Made by", Look.TO_WRITE)], STYLE, OPEN, FONT)
    assert found is not None
    ((words,), (rule,)) = found
    assert words.base == rule.base == pytest.approx(6.0 - FONT.descent * 2.0)
    assert rule.left == pytest.approx(FONT.width_of("Made by ") * 2.0)
    assert rule.right - rule.left == pytest.approx(30.0)
    room = FONT.width_of("Made by ") * 2.0 + 12
    assert flow([Paragraph("Made by", Look.TO_WRITE)], STYLE, Page(room, 6, ()), FONT) is not None
    assert flow([Paragraph("Made by", Look.TO_WRITE)], STYLE, Page(room - 0.1, 6, ()), FONT) is None
    assert flow([Paragraph("Made by", Look.TO_WRITE)], STYLE, Page(room, 5.9, ()), FONT) is None


def test_words_go_below_what_leaves_them_no_room() -> None:
    blocked = Page(60, 40, (Area(1, 0, 59, 10),))
    found = flow([Paragraph("dichloromethane")], STYLE, blocked, FONT)
    assert found is not None
    assert found[0][0].base > 10


@given(WORDS, st.floats(1.0, 4.0), st.tuples(st.floats(0, 40), st.floats(0, 30)),
       st.tuples(st.floats(0, 30), st.floats(0, 30)))  # fmt: skip
def test_words_keep_their_order_their_page_and_off_what_is_blocked(
    text: str, size: float, upper: tuple[float, float], lower: tuple[float, float]
) -> None:
    (wide, high), (narrow, low) = upper, lower
    blocked = (Area(60 - wide, 0, wide, high), Area(0, 40 - low, narrow, low))
    found = flow([Paragraph(text)], Style(size, 1.0, 0.0), Page(60, 40, blocked), FONT)
    if found is None:
        return
    assert " ".join(line.text for line in found[0]) == text
    for line in found[0]:
        letters = Area(
            line.left,
            line.base - FONT.ascent * size,
            FONT.width_of(line.text) * size,
            (FONT.ascent + FONT.descent) * size,
        )
        assert letters.left >= 0
        assert letters.right <= 60 + 1e-5
        assert letters.top >= 0
        assert letters.bottom <= 40 + 1e-5
        assert not any(letters.meets(area) for area in blocked if area.width and area.height)
