"""Labels in their places, as a PDF."""

from collections.abc import Sequence
from datetime import date

from prepstore.report.labels.grids import Grid
from prepstore.report.labels.label_sheets import Placed
from prepstore.report.paper.drawing import Drawing


def label_pdf(placed: Sequence[Placed], grid: Grid, day: date) -> bytes:
    """Return labels as a PDF, to be printed at its true size.

    Args:
        placed: Labels in their places, of `grid`.
        grid: Of the sheet, whose size the pages have.
        day: Which the file is dated.
    """
    drawing = Drawing(float(grid.sheet[0]), float(grid.sheet[1]), day, "Labels")
    last_page = -1
    for label in placed:
        for _ in range(label.place.page - last_page):
            drawing.new_page()
        last_page = label.place.page
        left, top = float(label.place.inner_left), float(label.place.inner_top)
        for line in label.laid.lines:
            drawing.words(left + line.left, top + line.base, line.text, line.size)
        for rule in label.laid.rules:
            drawing.rule(left + rule.left, left + rule.right, top + rule.base)
        for one in label.laid.diamonds:
            drawing.pictogram(one.pictogram, left + one.left, top + one.top, one.side)
        code = label.laid.code
        drawing.code(code.code, left + code.left, top + code.top)
    return drawing.pdf()
