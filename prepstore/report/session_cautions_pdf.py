"""A session's cautions on one page of A4, in letters as large as the page allows."""

from collections.abc import Sequence
from datetime import date
from typing import Final

from prepstore.problems import RefusedError
from prepstore.report.paper.drawing import Drawing
from prepstore.report.paper.flow import Look, Page, Paragraph, Style, flow
from prepstore.report.paper.typeface import typeface
from prepstore.report.session_cautions import CautionsPart

_WIDTH, _HEIGHT, _MARGIN = 210.0, 297.0, 15.0
_SIZES_MM: Final = tuple(size / 20 for size in range(88, 51, -2))
"""Letters of 12.5 points down to 7.4, the smallest that is read at arm's length."""


def session_cautions_pdf(parts: Sequence[CautionsPart], day: date, title: str) -> bytes:
    """Return the page as a PDF.

    Args:
        parts: In their order.
        day: Which the file is dated.
        title: Of the document.

    Raises:
        RefusedError: It does not fit on one page in letters that can be read.
    """
    letters = typeface()
    paragraphs = [
        Paragraph(letters.drawable(text), look)
        for part in parts
        for text, look in (
            (part.heading, Look.LARGE),
            *((text, Look.PLAIN) for text in part.paragraphs),
        )
    ]
    page = Page(_WIDTH - 2 * _MARGIN, _HEIGHT - 2 * _MARGIN, ())
    for size in _SIZES_MM:
        laid = flow(paragraphs, Style(size, 1.25, 0.0), page, letters)
        if laid is not None:
            drawing = Drawing(_WIDTH, _HEIGHT, day, title)
            drawing.new_page()
            for line in laid[0]:
                drawing.words(_MARGIN + line.left, _MARGIN + line.base, line.text, line.size)
            return drawing.pdf()
    raise RefusedError(
        f"The {title.lower()} do not fit on one page in letters that can be read. Print them as "
        "text, without --out, or divide the practical's notes."
    )
