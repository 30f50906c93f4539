"""Small charts that are read without colour: grey bars with their figure written on them."""

from collections.abc import Sequence
from typing import Final

from openpyxl.chart import BarChart, Reference
from openpyxl.chart.axis import ChartLines
from openpyxl.chart.label import DataLabelList
from openpyxl.chart.shapes import GraphicalProperties
from openpyxl.chart.text import RichText, Text
from openpyxl.chart.title import Title
from openpyxl.drawing.line import LineProperties
from openpyxl.drawing.spreadsheet_drawing import AnchorMarker, OneCellAnchor
from openpyxl.drawing.text import (
    CharacterProperties,
    Paragraph,
    ParagraphProperties,
    RegularTextRun,
)
from openpyxl.drawing.xdr import XDRPositiveSize2D
from openpyxl.worksheet.worksheet import Worksheet

from prepstore.report.workbook.page import CHARTS_ACROSS, CellForm, Chart

HEIGHT: Final = 118
"""Of a row with charts, in points."""

_GAP: Final = 6
_EMU: Final = 12_700
_TITLE_SIZE: Final = 900
_SIZE: Final = 700
_SHARE_SIZE: Final = 600
_BARS: Final = "D9D9D9"
_EDGE: Final = "000000"
_LINES: Final = "A6A6A6"
_STEPS: Final = 4
_FORMATS: Final = {CellForm.PERCENT: "0%", CellForm.MONEY: "#,##0"}


def add_charts(
    sheet: Worksheet, charts: Sequence[Chart], row: int, widths: Sequence[float]
) -> None:
    """Put charts side by side into a row, its columns' widths being given in points."""
    slot = sum(widths) / CHARTS_ACROSS
    position = 0
    for chart in charts:
        column, into = _at(position * slot, widths)
        position += chart.across
        drawn = _bars(sheet, chart, row)
        marker = AnchorMarker(
            col=column, colOff=int(into * _EMU), row=row - 1, rowOff=_GAP // 2 * _EMU
        )
        size = XDRPositiveSize2D(int((slot * chart.across - _GAP) * _EMU), (HEIGHT - _GAP) * _EMU)
        # Its stubs know only the name of a cell; it takes an anchor as well.
        drawn.anchor = OneCellAnchor(_from=marker, ext=size)  # type: ignore[assignment]
        sheet.add_chart(drawn)


def _at(points: float, widths: Sequence[float]) -> tuple[int, float]:
    """Return the column in which a point from the left lies, and how far into it."""
    for column, width in enumerate(widths):
        if points < width:
            return column, points
        points -= width
    return len(widths) - 1, 0.0


def _bars(sheet: Worksheet, chart: Chart, row: int) -> BarChart:
    last = row - chart.above
    first = last - chart.rows + 1
    bars = BarChart()
    bars.add_data(Reference(sheet, min_col=chart.column + 1, min_row=first, max_row=last))
    bars.set_categories(Reference(sheet, min_col=1, min_row=first, max_row=last))
    bars.title = _title(chart.title)
    bars.legend = None
    bars.gapWidth = 20
    [series] = bars.series
    series.graphicalProperties = GraphicalProperties(
        solidFill=_BARS, ln=LineProperties(solidFill=_EDGE)
    )
    series.dLbls = DataLabelList(
        showVal=True, showSerName=False, showCatName=False, showLegendKey=False, showPercent=False
    )
    series.dLbls.dLblPos = "inBase"
    series.dLbls.txPr = _text(_SHARE_SIZE)
    _set_axes(bars, chart)
    return bars


def _set_axes(bars: BarChart, chart: Chart) -> None:
    """Draw both axes, with a line at each whole share, or at fewer where there are many."""
    top = chart.top
    for axis in (bars.x_axis, bars.y_axis):
        axis.delete = False
        axis.txPr = _text(_SIZE)
    bars.y_axis.number_format = _FORMATS[chart.form]
    bars.y_axis.scaling.min = 0
    bars.y_axis.scaling.max = top
    bars.y_axis.majorUnit = max(1, top // _STEPS)
    lines = GraphicalProperties(ln=LineProperties(solidFill=_LINES))
    bars.y_axis.majorGridlines = ChartLines(spPr=lines)


def _text(size: int) -> RichText:
    properties = ParagraphProperties(defRPr=CharacterProperties(sz=size))
    return RichText(p=[Paragraph(pPr=properties, endParaRPr=CharacterProperties(sz=size))])


def _title(text: str) -> Title:
    letters = CharacterProperties(sz=_TITLE_SIZE, b=True)
    title = Title(overlay=False)
    title.tx = _rich(Paragraph(r=[RegularTextRun(rPr=letters, t=text)]))
    return title


def _rich(paragraph: Paragraph) -> Text:
    return Text(rich=RichText(p=[paragraph]))
