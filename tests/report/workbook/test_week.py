from dataclasses import replace

import pytest

from prepstore.planning.plan import Plan
from prepstore.report.warning_sentences import warning_in_words
from prepstore.report.workbook.page import Look, Told
from prepstore.report.workbook.prepare import prepare_page
from prepstore.report.workbook.stock import stock_page
from prepstore.report.workbook.waste import waste_page
from prepstore.report.workbook.week import week_page
from prepstore.report.workbook.workbook import pages_of
from tests.report.workbook.a_week import (
    TABLES,
    a_week,
    an_empty_week,
    printed_rows,
    rows_of,
    texts_of,
    values_of,
)


def test_a_late_session_says_so_in_a_word_and_stands_out() -> None:
    page = week_page(a_week())
    late = [row for row in rows_of(page) if row.values[0] == "LATE"]
    assert [row.values[2] for row in late] == ["Tue am\nLab 1", "Thu pm\nLab 2"]
    assert {row.look for row in late} == {Look.ALERT}


SESSION = "Session, room"
WAY = "What is missing, and what to do"


def test_what_stands_in_the_way_is_named_with_amount_and_reason() -> None:
    rows = list(values_of(week_page(a_week())))
    way = next(row for row in rows if str(row.get(SESSION)).startswith("Tue am"))[WAY]
    assert isinstance(way, Told)
    word, missing = way.parts[0]
    assert word.startswith("LATE, needed by Mon 1 Feb")
    assert missing == "ethyl acetate 215 mL"


def test_a_session_lists_the_batches_made_for_it() -> None:
    text = texts_of(week_page(a_week()))
    assert "Make up: on Mon 1 Feb hydrochloric acid 2 mol/L, hydrogencarbonate wash" in text


def test_a_session_without_students_is_covered_and_says_why() -> None:
    timetable = "session,practical,date,students\nEmpty,ESTER,2027-02-02,0"
    row = next(row for row in values_of(week_page(a_week(timetable=timetable))) if row.get(SESSION))
    assert (row["Stands"], row[WAY]) == ("covered", "no students")


def test_warnings_stand_below_the_sessions() -> None:
    plan = a_week()
    text = texts_of(week_page(plan))
    assert plan.warnings
    assert all(f"{one.about}: {warning_in_words(one)}" in text for one in plan.warnings)


def test_a_warning_is_printed_once_on_the_page_where_somebody_works_on_it() -> None:
    plan = a_week()
    week, elsewhere = week_page(plan), "separating funnel: 7 are in use at the same time"
    printed = "\n".join(str(row.values) for row in printed_rows(week))
    on_screen = [row for block in week.on_screen for row in block]
    assert elsewhere not in printed
    assert "must be bought" not in printed
    assert elsewhere in "\n".join(str(row.values) for row in on_screen)
    assert str(on_screen[0].values[0]).startswith("For the screen, and not printed here")
    assert "7 in use at once" in "\n".join(
        str(row.values) for row in printed_rows(stock_page(plan))
    )
    assert "Not included in the mass" not in printed
    assert "Not included: no density" in "\n".join(
        str(row.values) for row in printed_rows(waste_page(plan))
    )


@pytest.mark.parametrize(
    "code",
    [
        "apparatus-not-computed",
        "apparatus-short",
        "container-too-small",
        "mostly-left-over",
        "must-not-meet",
        "not-booked-out",
        "waste-containers-short",
        "waste-not-included",
    ],
)
def test_these_warnings_are_printed_elsewhere(sample_plan: Plan, code: str) -> None:
    warned = next(one for one in sample_plan.warnings if one.code == code)
    page = week_page(replace(sample_plan, warnings=(warned,)))
    assert "Look at these as well" not in [row.values[0] for row in printed_rows(page)]
    _, told = [row for block in page.on_screen for row in block]
    assert str(told.values[1]).startswith(f"{warned.about}: ")


def test_a_peroxide_test_is_printed_on_prepare() -> None:
    stock = TABLES["stock"].replace("expiry\n", "expiry,opened\n")
    tables = {
        "stock": stock.replace("cabinet B,", "cabinet B,,2026-10-01"),
        "items": TABLES["items"]
        .replace("hazards\n", "hazards,peroxide_test\n")
        .replace("H225", "H225,90"),
    }
    plan = a_week(**tables)
    assert "must be tested for peroxides" in texts_of(week_page(plan))
    printed = "\n".join(str(row.values) for row in printed_rows(week_page(plan)))
    assert "must be tested for peroxides" not in printed
    assert "for peroxides by" in texts_of(prepare_page(plan))


def test_sheets_that_take_no_paper_are_named_with_the_reason() -> None:
    first = rows_of(week_page(an_empty_week(), pages_of(an_empty_week())[1:]))[0]
    assert str(first.values[0]) == (
        "No session falls in this period. Nothing on these is to be done this time, so they are "
        "not printed: Prepare, Make up, Set out, Stock, Order, Waste. For the screen, so they are "
        "not printed: Apparatus, Workings."
    )


def test_what_is_to_be_done_is_said_once_for_all_that_wait_for_the_same() -> None:
    items = (
        TABLES["items"].replace("1 kg", "20 kg").rstrip() + "\n        acetone,solvent,mL,,,,,,,,\n"
    )
    lines = TABLES["practical_lines"].rstrip() + "\n        ESTER,,acetone,1 mL,group,,,,,\n"
    packs = TABLES["packs"].rstrip() + "\n        AC-1,acetone,Slow Solvents,1 L,5\n"
    rows = values_of(week_page(a_week(items=items, practical_lines=lines, packs=packs)))
    ways = [row[WAY] for row in rows if row.get(SESSION)]
    assert [way.parts[0][1] for way in ways if isinstance(way, Told)] == [
        "ethyl acetate 215 mL, acetone 8.4 mL",
        "ethyl acetate 135 mL, acetone 3.6 mL",
    ]
