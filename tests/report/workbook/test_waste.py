from prepstore.report.workbook.page import Look
from prepstore.report.workbook.waste import waste_page
from tests.builders import stream_of
from tests.report.workbook.a_week import TABLES, a_week, rows_of, texts_of


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


def test_each_day_of_each_stream_has_a_row() -> None:
    rows = [row.values for row in rows_of(waste_page(a_week()))]
    assert ("Tue 2 Feb", "aqueous acid", None, "490 mL", "490 mL") in [row[:5] for row in rows]
    assert ("Thu 4 Feb", "aqueous acid", None, "210 mL", "210 mL") in [row[:5] for row in rows]


def test_what_ends_elsewhere_and_what_is_counted_as_nothing_is_shown() -> None:
    text = texts_of(waste_page(a_week()))
    assert "drain" in text
    assert "filter paper" in text


def test_what_no_script_assigns_is_a_row_of_its_own() -> None:
    lines = TABLES["practical_lines"].replace("0 %,non-halogenated solvent", "0 %,")
    assert "NOT ASSIGNED" in texts_of(waste_page(a_week(practical_lines=lines)))
