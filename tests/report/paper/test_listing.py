"""A list on as many pages as it takes, read back as a reader's eye does."""

from datetime import date

import numpy as np
import pytest

from prepstore.report.paper.listing import ROOM, Listing, Section, Table, listing_pdf
from tests.report.labels_on_paper import Paper

DAY = date(2027, 2, 1)
LISTING = Listing("A list", "made today", "foot of the list")
COLUMNS = (("Label", 60.0), ("Amount", 60.0), ("To write", ROOM - 120))


def _table(rows: int, label: str = "W") -> Table:
    return Table(COLUMNS, tuple((f"{label}{one:03}", f"{one} mL", "") for one in range(rows)))


def _paper(*sections: Section) -> Paper:
    return Paper(listing_pdf(LISTING, sections, DAY))


def _ink_outside(paper: Paper, page: int) -> bool:
    """Return whether anything is printed within 14 mm of an edge of a page."""
    ink, dots = paper.ink(page), round(14 * 150 / 25.4)
    inside = np.zeros_like(ink)
    inside[dots:-dots, dots:-dots] = True
    return bool((ink & ~inside).any())


def test_a_list_has_its_title_sections_rows_and_foot_on_a4() -> None:
    paper = _paper(Section("Acids", ("Vent it.", "Code 06."), _table(2)), Section("Cautions"))
    assert len(paper) == 1
    assert paper.size() == pytest.approx((297, 210), abs=0.1)
    text = paper.text()
    wanted = (
        "A list", "made today", "Acids", "Vent it.", "Code 06.", "Label", "Amount", "W000", "0 mL",
        "W001", "Cautions", "foot of the list · page 1 of 1",
    )  # fmt: skip
    places = [text.index(words) for words in wanted]
    assert places == sorted(places)
    assert not _ink_outside(paper, 0)


def test_a_table_goes_on_over_pages_under_its_headings() -> None:
    paper = _paper(Section("Acids", ("Vent it.",), _table(60)))
    pages = [paper.text(page) for page in range(len(paper))]
    assert len(pages) > 2
    assert all(f"page {number} of {len(pages)}" in page for number, page in enumerate(pages, 1))
    assert all("Acids (continued) Label Amount To write W" in page for page in pages[1:])
    assert "continued" not in pages[0]
    assert sum(page.count("Vent it.") for page in pages) == 1
    for one in range(60):
        assert sum(page.count(f"W{one:03}") for page in pages) == 1
    assert not any(_ink_outside(paper, page) for page in range(len(pages)))


def test_a_section_begins_where_its_first_row_fits_too() -> None:
    """The first ends where a heading, a paragraph and a row of the next have no room."""
    for rows in range(14, 18):
        paper = _paper(
            Section("First", (), _table(rows, "A")), Section("Next", ("Told.",), _table(1))
        )
        for page in range(len(paper)):
            text = paper.text(page)
            assert ("Next" in text) == ("Told." in text) == ("W000" in text)
            assert "Next (continued)" not in text


def test_more_than_a_page_of_paragraphs_goes_on_under_the_heading() -> None:
    paper = _paper(Section("Much", ("One sentence of it. " * 900,), _table(1)))
    pages = [paper.text(page) for page in range(len(paper))]
    assert len(pages) > 1
    assert "Much (continued)" in pages[1]
    assert sum(page.count("sentence") for page in pages) == 900
    assert "W000" in pages[-1]


def test_a_long_cell_is_folded_in_its_column_and_a_long_word_divided() -> None:
    word = "x" * 90
    table = Table(COLUMNS, ((word, "a remark of several words that has no room in a line", "end"),))
    paper = _paper(Section("Acids", (), table))
    assert paper.text().replace(" ", "").count("x") >= 90
    rights = [left for left, _, _ in paper.x_heights()]
    assert max(rights) < 15 + 60  # no letter of the first column reaches the second
    assert "end" in paper.text()


def test_cells_begin_where_their_columns_do_and_lines_follow_each_other_evenly() -> None:
    table = Table(COLUMNS, (("x", "x", "x"),))
    lefts = [left for left, _, _ in _paper(Section("Row", (), table)).x_heights()]
    assert lefts == pytest.approx([15, 75, 135], abs=0.3)
    bases = [base for _, base, _ in _paper(Section("Told", ("x " * 600,))).x_heights()]
    of_lines = sorted({round(base, 2) for base in bases})
    assert len(of_lines) > 3
    # Letters of 9 points, 3.2 mm, a line every 1.2 of them.
    assert np.diff(of_lines) == pytest.approx(3.84, abs=0.05)


def test_a_row_to_write_in_is_as_high_as_is_asked() -> None:
    def height(row_height: float) -> float:
        paper = _paper(Section("Sign", (), Table((("By", ROOM),), (("",),), row_height)))
        rows = np.where(paper.ink().sum(axis=1) > 1000)[0]
        return float(rows.max()) / 150 * 25.4

    assert height(20) - height(10) == pytest.approx(10, abs=0.3)


def test_a_sign_that_the_font_lacks_is_a_question_mark() -> None:
    paper = _paper(Section("Acids", ("kept \U0001f525\u3000dry",)))
    assert "kept ? dry" in paper.text()


def test_the_same_list_of_the_same_day_is_the_same_file() -> None:
    sections = [Section("Acids", (), _table(3))]
    assert listing_pdf(LISTING, sections, DAY) == listing_pdf(LISTING, sections, DAY)
