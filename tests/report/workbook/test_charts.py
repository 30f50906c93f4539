from io import BytesIO
from itertools import accumulate
from typing import Any

import openpyxl
import pytest
from xlsxwriter import Workbook

from prepstore.report.workbook.charts import HEIGHT, add_charts
from prepstore.report.workbook.page import CellForm, Chart

WIDTHS = [40.0, 100.0, 60.0]
"""Four slots of 50 points: they begin in columns A, B, B and C."""


def drawn(*charts: Chart) -> list[Any]:
    file = BytesIO()
    with Workbook(file) as book:
        sheet = book.add_worksheet("Waste")
        for column, width in enumerate(WIDTHS):
            sheet.set_column_pixels(column, column, width / 0.75)
        sheet.set_row_pixels(11, HEIGHT / 0.75)
        add_charts(book, sheet, charts, 12, WIDTHS)
    # openpyxl has no other way to see them.
    return list(openpyxl.load_workbook(file)["Waste"]._charts)  # type: ignore[attr-defined]  # noqa: SLF001


def size(bars: Any) -> tuple[float, float]:  # noqa: ANN401 - openpyxl
    """Return how wide and how high a chart is, in points."""
    start, end = bars.anchor._from, bars.anchor.to  # noqa: SLF001 - its public name
    begins = [0, *accumulate(WIDTHS)]
    left, right = (begins[at.col] + at.colOff / 12_700 for at in (start, end))
    assert start.row == end.row
    return right - left, (end.rowOff - start.rowOff) / 12_700


def chart(top: int = 1, above: int = 1) -> Chart:
    return Chart("aqueous acid", column=3, rows=4, above=above, top=top)


def test_bars_are_the_rows_above_named_by_their_first_column() -> None:
    [bars] = drawn(chart())
    [series] = bars.series
    assert series.val.numRef.f == "Waste!$D$8:$D$11"
    assert series.cat.numRef.f == "Waste!$A$8:$A$11"


def test_a_second_row_of_charts_reaches_over_the_first() -> None:
    [bars] = drawn(chart(above=2))
    assert bars.series[0].val.numRef.f == "Waste!$D$7:$D$10"


def test_charts_stand_side_by_side_within_their_row() -> None:
    charts = drawn(*[chart()] * 4)
    corners = [bars.anchor._from for bars in charts]  # noqa: SLF001 - its public name
    places = [(corner.col, corner.colOff / 12_700, corner.row) for corner in corners]
    assert places == [(0, 0, 11), (1, 10, 11), (1, 60, 11), (2, 10, 11)]
    for bars in charts:
        # As XlsxWriter counts them, in whole pixels of three quarters of a point.
        assert size(bars) == pytest.approx((44, 112), abs=0.75)
        assert bars.anchor.editAs == "oneCell"


def test_the_axis_goes_from_nothing_to_the_next_whole_with_few_lines() -> None:
    axes = [bars.y_axis for bars in drawn(chart(1), chart(3), chart(20))]
    assert [(axis.scaling.min, axis.scaling.max) for axis in axes] == [(0, 1), (0, 3), (0, 20)]
    assert [axis.majorUnit for axis in axes] == [1, 1, 5]
    assert not any(axis.delete for axis in axes)


def test_bars_say_their_share_and_need_no_legend() -> None:
    [bars] = drawn(chart())
    assert bars.legend is None
    labels = bars.series[0].dLbls
    assert labels.showVal
    assert not any((labels.showSerName, labels.showCatName, labels.showLegendKey))
    assert labels.dLblPos == "inBase"


def test_bars_are_grey_with_a_black_edge_and_close_together() -> None:
    [bars] = drawn(chart())
    [series] = bars.series
    assert (bars.type, bars.gapWidth) == ("col", 20)
    lines = bars.y_axis.majorGridlines.spPr.ln
    colours = (series.spPr.solidFill, series.spPr.ln.solidFill, lines.solidFill)
    assert [colour.srgbClr for colour in colours] == ["D9D9D9", "000000", "A6A6A6"]
    assert bars.x_axis.majorGridlines is None


def letters_of(bars: Any) -> list[int]:  # noqa: ANN401 - openpyxl
    """Return the sizes of the letters of both axes and of the figures, in hundredths of a point."""
    texts = (bars.x_axis.txPr, bars.y_axis.txPr, bars.series[0].dLbls.txPr)
    return [text.p[0].pPr.defRPr.sz for text in texts]


def test_letters_of_a_chart_are_as_large_as_those_of_rows_and_of_its_name_bold() -> None:
    """Four bars need 20 points each beside the axis, and one place here has 50."""
    [bars] = drawn(Chart("aqueous acid", column=3, rows=4, above=1, top=1, across=3))
    [name] = bars.title.tx.rich.p[0].r
    assert (name.t, name.rPr.sz, name.rPr.b) == ("aqueous acid", 1000, True)
    assert letters_of(bars) == [1000, 1000, 1000]


def test_letters_are_smaller_where_bars_have_no_room_for_them() -> None:
    wide = [Chart("acid", 3, rows=rows, above=1, top=1, across=4) for rows in (8, 9)]
    assert [letters_of(drawn(one)[0])[0] for one in wide] == [1000, 700]
    assert letters_of(drawn(chart())[0]) == [700, 700, 700]


def test_figures_stand_upright_in_their_bars_and_are_whole() -> None:
    [bars] = drawn(chart())
    labels = bars.series[0].dLbls
    assert labels.txPr.bodyPr.rot == -90 * 60_000
    assert labels.numFmt == "0%"


def test_a_chart_may_stand_above_its_rows() -> None:
    [bars] = drawn(chart(above=-6))
    assert bars.series[0].val.numRef.f == "Waste!$D$15:$D$18"


@pytest.mark.parametrize("name", ["Stop!A1", "=Waste!$A$1", "<&>", "=1+1"])
def test_the_name_of_a_chart_is_a_text_whatever_it_looks_like(name: str) -> None:
    [bars] = drawn(Chart(name, column=3, rows=4, above=1, top=1))
    assert [run.t for run in bars.title.tx.rich.p[0].r] == [name]


def test_a_chart_of_money_goes_across_the_whole_row_and_says_whole_money() -> None:
    wide = Chart("spent", 3, rows=2, above=1, top=40, form=CellForm.MONEY, across=3)
    bars, beside = drawn(wide, chart())
    assert bars.y_axis.number_format.formatCode == "#,##0"
    assert beside.y_axis.number_format.formatCode == "0%"
    assert size(bars)[0] == 150 - 6
    corner = beside.anchor._from  # noqa: SLF001 - its public name
    assert (corner.col, corner.colOff / 12_700) == (2, 10)
