from dataclasses import replace
from pathlib import Path
from typing import Any

import openpyxl

from prepstore.report.workbook.page import Chart, Look
from prepstore.report.workbook.waste import waste_page
from prepstore.report.workbook.workbook import write_pages
from tests.builders import stream_of
from tests.report.workbook.a_week import (
    TABLES,
    a_week,
    an_empty_week,
    printed_rows,
    rows_of,
    texts_of,
)


def test_a_stream_that_lacks_containers_says_short() -> None:
    plan = a_week()
    acid = rows_of(waste_page(plan))[0]
    assert stream_of(plan, "aqueous acid").lacks_containers
    assert acid.values[:5] == (
        "SHORT of containers",
        "aqueous acid",
        "06 01 06*",
        "700 mL",
        "700 mL",
    )
    assert acid.values[6:10] == ("1 L, 90 %: 900 mL", 2, 0, "Tue 2 Feb")
    assert acid.look is Look.ALERT


def test_a_stream_whose_empty_containers_are_not_counted_lacks_none() -> None:
    streams = TABLES["waste_streams"].replace("90 %,0,600 mL", "90 %,,600 mL")
    assert not stream_of(a_week(waste_streams=streams), "aqueous acid").lacks_containers


def test_each_day_has_a_row_and_each_stream_a_column() -> None:
    rows = [row.values for row in printed_rows(waste_page(a_week()))]
    at = rows.index(("Day", "aqueous acid", "non-halogenated solvent"))
    assert rows[at + 1] == ("Tue 2 Feb", "490 mL\n490 mL", "315 mL\n315 mL")
    assert rows[at + 2][:2] == ("Thu 4 Feb", "210 mL\n210 mL")


def test_what_ends_elsewhere_and_what_is_counted_as_nothing_is_shown() -> None:
    text = texts_of(waste_page(a_week()))
    assert "drain" in text
    assert "filter paper" in text


def test_what_no_script_assigns_is_a_row_of_its_own() -> None:
    lines = TABLES["practical_lines"].replace("0 %,non-halogenated solvent", "0 %,")
    assert "NOT ASSIGNED" in texts_of(waste_page(a_week(practical_lines=lines)))


def test_what_no_script_assigns_has_its_days_on_the_screen_alone() -> None:
    lines = TABLES["practical_lines"].replace("0 %,non-halogenated solvent", "0 %,")
    page = waste_page(a_week(practical_lines=lines))
    days = [row.values for row in printed_rows(page) if row.values[0] == "Day"]
    assert days == [("Day", "aqueous acid")]
    on_screen = [row.values for block in page.on_screen for row in block if row.values]
    assert ("Day", "not assigned") in on_screen


def test_levels_by_day_stand_above_a_chart_of_each_stream() -> None:
    rows = rows_of(waste_page(a_week()))
    at = next(at for at, row in enumerate(rows) if row.values[:1] == ("By the end of",))
    assert rows[at].values == ("By the end of", "aqueous acid", "non-halogenated solvent")
    levels = rows[at + 1 : at + 4]
    assert [row.values[0] for row in levels] == ["at first", "Tue 2", "Thu 4"]
    acid = [round(float(str(row.values[1])), 3) for row in levels]
    assert acid == [0.667, 1.211, 1.444]
    assert rows[at + 4].charts == (
        Chart("aqueous acid", 1, rows=3, above=1, top=2),
        Chart("non-halogenated solvent", 2, rows=3, above=1, top=1),
    )


def test_a_stream_that_fills_a_container_has_its_chart_on_paper(tmp_path: Path) -> None:
    """Its bars are what stands below for the screen."""
    (row,) = (row for row in waste_page(a_week()).if_room if row.charts)
    assert [chart.title for chart in row.charts] == ["aqueous acid"]
    write_pages([waste_page(a_week())], tmp_path / "w.xlsx", "Waste", ("planned", "caution"))
    sheet: Any = openpyxl.load_workbook(tmp_path / "w.xlsx")["Waste"]
    first = min(sheet._charts, key=lambda chart: chart.anchor._from.row)  # noqa: SLF001
    (series,) = first.series
    bars = [cell.value for (cell,) in sheet[series.val.numRef.f.split("!")[1]]]
    assert [round(bar, 3) for bar in bars] == [0.667, 1.211, 1.444]
    last = int(sheet.print_area.rpartition("$")[2])
    assert last == first.anchor._from.row + 1  # noqa: SLF001


def test_charts_of_many_full_streams_each_find_their_bars_below() -> None:
    names = [f"stream {number}" for number in range(12)]
    streams = "\n".join(f"{name},volume,50 mL" for name in names)
    lines = "\n".join(
        f"ESTER,ethyl acetate,{10 + number} mL,group,{name}" for number, name in enumerate(names)
    )
    page = waste_page(
        a_week(
            waste_streams=f"stream,measure,container\n{streams}",
            practical_lines=f"practical,item,amount,per,to\n{lines}",
            replacements="",
        )
    )
    printed = [*printed_rows(page), *page.if_room]
    rows = [*printed, *(row for block in page.on_screen for row in block)]
    found = [
        (chart, at + 1 - chart.above) for at, row in enumerate(printed) for chart in row.charts
    ]
    assert [chart.title for chart, _ in found] == names
    for chart, last in found:
        of_bars = rows[last - chart.rows : last]
        head = rows[last - chart.rows - 1]
        assert head.values[chart.column] == chart.title
        assert [row.values[0] for row in of_bars] == ["at first", "Tue 2", "Thu 4"]


def test_what_nobody_works_from_at_the_containers_is_for_the_screen() -> None:
    page = waste_page(a_week())
    printed = "\n".join(str(row.values) for row in printed_rows(page))
    assert "Not included" in printed
    for words in ("What is in it", "Ends elsewhere", "By the end of"):
        assert words not in printed
    text = texts_of(waste_page(a_week()))
    assert "Not included" in printed
    for words in ("What is in it", "Ends elsewhere", "By the end of"):
        assert words in text


def test_a_week_in_which_nothing_is_to_be_done_with_waste_takes_no_paper() -> None:
    assert not waste_page(an_empty_week()).takes_paper
    assert waste_page(a_week()).takes_paper


def test_a_week_that_collects_nothing_has_no_chart() -> None:
    assert not any(row.charts for row in rows_of(waste_page(an_empty_week())))


def test_more_streams_than_one_row_holds_go_on_below() -> None:
    names = [f"stream {number}" for number in range(6)]
    streams = "\n".join(f"{name},volume,5 L" for name in names)
    lines = "\n".join(f"ESTER,ethyl acetate,10 mL,group,{name}" for name in names)
    plan = a_week(
        waste_streams=f"stream,measure,container\n{streams}",
        practical_lines=f"practical,item,amount,per,to\n{lines}",
        replacements="",
    )
    page = waste_page(plan)
    assert page.if_room == ()
    first, second = [row.charts for block in page.on_screen for row in block if row.charts]
    assert [chart.title for chart in (*first, *second)] == names
    assert (len(first), first[0].above, second[0].above) == (4, 1, 2)
    assert [chart.column for chart in second] == [5, 6]


LEAD = TABLES["settings"].rstrip() + "\ncollection_lead,5"


def test_collections_to_call_stand_with_their_days() -> None:
    rows = printed_rows(waste_page(a_week(settings=LEAD)))
    text = "\n".join(str(row.values) for row in rows)
    assert "Call a collection by Tue 26 Jan 2027: on Tue 2 Feb 2027 the last container" in text
    streams = TABLES["waste_streams"].replace("90 %,0,600 mL", "90 %,9,600 mL")
    assert "Call a collection" not in texts_of(
        waste_page(a_week(settings=LEAD, waste_streams=streams))
    )


def test_the_empty_ones_are_those_that_are_held_and_not_those_of_the_row() -> None:
    plan = a_week()
    held = replace(plan.stores.containers["aqueous acid"], empty=7)
    streams = [
        replace(one, container=held) if one.name == "aqueous acid" else one
        for one in plan.waste.streams
    ]
    plan = replace(plan, waste=replace(plan.waste, streams=tuple(streams)))
    assert rows_of(waste_page(plan))[0].values[8] == 7
