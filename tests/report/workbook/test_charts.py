from typing import Any

from openpyxl import Workbook

from prepstore.report.workbook.charts import HEIGHT, add_charts
from prepstore.report.workbook.page import CellForm, Chart

WIDTHS = [40.0, 100.0, 60.0]
"""Four slots of 50 points: they begin in columns A, B, B and C."""


def drawn(*charts: Chart) -> list[Any]:
    sheet: Any = Workbook().create_sheet("Waste")
    add_charts(sheet, charts, 12, WIDTHS)
    return list(sheet._charts)  # noqa: SLF001 - openpyxl has no other way to see them


def chart(top: int = 1, above: int = 1) -> Chart:
    return Chart("aqueous acid", column=3, rows=4, above=above, top=top)


def test_bars_are_the_rows_above_named_by_their_first_column() -> None:
    [bars] = drawn(chart())
    [series] = bars.series
    assert series.val.numRef.f == "'Waste'!$D$8:$D$11"
    assert series.cat.numRef.f == "'Waste'!$A$8:$A$11"


def test_a_second_row_of_charts_reaches_over_the_first() -> None:
    [bars] = drawn(chart(above=2))
    assert bars.series[0].val.numRef.f == "'Waste'!$D$7:$D$10"


def test_charts_stand_side_by_side_within_their_row() -> None:
    anchors = [bars.anchor for bars in drawn(*[chart()] * 4)]
    corners = [at._from for at in anchors]  # noqa: SLF001 - its public name
    places = [(corner.col, corner.colOff / 12_700, corner.row) for corner in corners]
    assert places == [(0, 0, 11), (1, 10, 11), (1, 60, 11), (2, 10, 11)]
    assert all(at.ext.cx < 50 * 12_700 and at.ext.cy < HEIGHT * 12_700 for at in anchors)


def test_the_axis_goes_from_nothing_to_the_next_whole_with_few_lines() -> None:
    axes = [bars.y_axis for bars in drawn(chart(1), chart(3), chart(20))]
    assert [(axis.scaling.min, axis.scaling.max) for axis in axes] == [(0, 1), (0, 3), (0, 20)]
    assert [axis.majorUnit for axis in axes] == [1, 1, 5]
    assert not any(axis.delete for axis in axes)


def test_bars_say_their_share_and_need_no_legend() -> None:
    [bars] = drawn(chart())
    assert bars.legend is None
    assert bars.series[0].dLbls.showVal


def test_a_chart_of_money_goes_across_the_whole_row_and_says_whole_money() -> None:
    wide = Chart("spent", 3, rows=2, above=1, top=40, form=CellForm.MONEY, across=3)
    bars, beside = drawn(wide, chart())
    assert bars.y_axis.number_format.formatCode == "#,##0"
    assert beside.y_axis.number_format.formatCode == "0%"
    assert bars.anchor.ext.cx == (150 - 6) * 12_700
    corner = beside.anchor._from  # noqa: SLF001 - its public name
    assert (corner.col, corner.colOff / 12_700) == (2, 10)
