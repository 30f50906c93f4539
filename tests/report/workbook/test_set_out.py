from prepstore.report.workbook.page import Look, Value
from prepstore.report.workbook.set_out import set_out_page
from tests.report.workbook.a_week import TABLES, a_week, rows_of, values_of


def first_of(item: str, **tables: str) -> dict[str, Value]:
    page = set_out_page(a_week(**tables))
    return next(row for row in values_of(page) if row.get("Item or solution") == item)


def test_a_session_is_headed_by_when_where_and_how_many() -> None:
    heads = [row.values[0] for row in rows_of(set_out_page(a_week())) if row.look is Look.BAND]
    assert heads[0] == (
        "Tue 2 Feb 2027 · 09:00–12:00 · Lab 1 · Tue am · ESTER Washing an ester · "
        "12 students, 6 groups, 7 sets · LATE"
    )


def test_sets_that_share_are_rounded_up_to_whole_containers() -> None:
    row = first_of("hydrogencarbonate wash")
    assert row["In all, with spare"] == "350 mL"
    assert row["Set out in"] == "3 × 250 mL bottle, 116.7 mL in each, one for 3 sets"
    assert row["As the script has it"] == "wash: 2 x 25 mL a group"
    assert row["From lot (place): amount"] == "batch made up on Mon 1 Feb"
    assert row["Instead of, why; notes"] == "vent"


def test_what_replaces_what_is_said_with_the_reason() -> None:
    row = first_of("ethyl acetate")
    assert row["Instead of, why; notes"] == "instead of dichloromethane: less harmful"
    assert (row["Alert"], row["In all, with spare"]) == ("SHORT 215 mL", "315 mL")


def test_apparatus_is_set_out_too() -> None:
    assert first_of("separating funnel")["In all, with spare"] == "7"


def test_counted_things_are_whole() -> None:
    assert first_of("filter paper")["In all, with spare"] == "47"


def test_several_lines_that_share_each_have_their_own_containers() -> None:
    lines = TABLES["practical_lines"].rstrip()
    lines += "\n        ESTER,rinse,hydrogencarbonate wash,6 mL,group,0 %,aqueous acid,7,jar,\n"
    assert first_of("hydrogencarbonate wash", practical_lines=lines)["Set out in"] == (
        "wash: 3 × 250 mL bottle, 116.7 mL in each, one for 3 sets\n"
        "rinse: 1 × jar, 42 mL in each, one for 7 sets"
    )
