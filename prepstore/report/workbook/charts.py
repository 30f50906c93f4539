"""Small charts that are read without colour: grey bars with their figure written on them."""

from collections.abc import Sequence
from typing import Final, cast

from xlsxwriter import Workbook
from xlsxwriter.chart_column import ChartColumn
from xlsxwriter.worksheet import Worksheet

from prepstore.report.workbook.page import CHARTS_ACROSS, CellForm, Chart
from prepstore.report.workbook.styles import SIZE

HEIGHT: Final = 118
"""Of a row with charts, in points."""

PIXEL: Final = 0.75
"""In points, as XlsxWriter counts."""

_GAP: Final = 6
_SMALL: Final = 7
_AXIS: Final = 35
_A_LETTERED_BAR: Final = 20
"""In points: what an axis takes, and how wide a bar is that has room for `Mon` in full size."""
_BARS: Final = "#D9D9D9"
_EDGE: Final = "#000000"
_LINES: Final = "#A6A6A6"
_STEPS: Final = 4
_FORMATS: Final = {CellForm.PERCENT: "0%", CellForm.MONEY: "#,##0"}
_NO_MARKS: Final = {"major_tick_mark": "none", "minor_tick_mark": "none"}


def add_charts(
    book: Workbook, sheet: Worksheet, charts: Sequence[Chart], row: int, widths: Sequence[float]
) -> None:
    """Put charts side by side into a row, counted from 1; its columns' widths are in points."""
    slot = sum(widths) / CHARTS_ACROSS
    position = 0
    for chart in charts:
        column, into = _at(position * slot, widths)
        position += chart.across
        drawn = _bars(book, sheet, chart, row, _size(chart, slot * chart.across))
        drawn.set_size(
            {
                "width": (slot * chart.across - _GAP) / PIXEL,
                "height": (HEIGHT - _GAP) / PIXEL,
            }
        )
        place = {
            "x_offset": into / PIXEL,
            "y_offset": _GAP / 2 / PIXEL,
            # It moves with its cells and keeps its size.
            "object_position": 2,
        }
        sheet.insert_chart(row - 1, column, drawn, place)


def _at(points: float, widths: Sequence[float]) -> tuple[int, float]:
    """Return the column in which a point from the left lies, and how far into it."""
    for column, width in enumerate(widths):
        if points < width:
            return column, points
        points -= width
    return len(widths) - 1, 0.0


def _bars(book: Workbook, sheet: Worksheet, chart: Chart, row: int, size: int) -> ChartColumn:
    last = row - chart.above
    first = last - chart.rows + 1
    bars = cast(ChartColumn, book.add_chart({"type": "column"}))
    bars.add_series(
        {
            "categories": [sheet.name, first - 1, 0, last - 1, 0],
            "values": [sheet.name, first - 1, chart.column, last - 1, chart.column],
            "gap": 20,
            "fill": {"color": _BARS},
            "border": {"color": _EDGE},
            "data_labels": {
                "value": True,
                "num_format": _FORMATS[chart.form],
                "position": "inside_base",
                # Upright, no figure is wider than its bar.
                "font": {"size": size, "rotation": -90},
            },
        }
    )
    title = {"size": SIZE, "bold": True}
    bars.set_title({"name": "-", "name_font": title, "overlay": False})
    # Given above, a name such as "Stop!A1" would be taken for a cell's.
    bars.title.name = chart.title
    bars.set_legend({"none": True})
    _set_axes(bars, chart, size)
    return bars


def _size(chart: Chart, width: float) -> int:
    """Return how large letters are: as in the rows, where there is room for them."""
    return SIZE if (width - _AXIS) / chart.rows >= _A_LETTERED_BAR else _SMALL


def _set_axes(bars: ChartColumn, chart: Chart, size: int) -> None:
    """Draw both axes, with a line at each whole share, or at fewer where there are many."""
    letters = {"size": size}
    bars.set_x_axis({"num_font": letters, **_NO_MARKS})
    bars.set_y_axis(
        {
            "num_font": letters,
            **_NO_MARKS,
            "num_format": _FORMATS[chart.form],
            "min": 0,
            "max": chart.top,
            "major_unit": max(1, chart.top // _STEPS),
            "major_gridlines": {"visible": True, "line": {"color": _LINES}},
        }
    )
