from prepstore.report.workbook.page import Look, Value
from prepstore.report.workbook.set_out import set_out_page
from tests.report.workbook.a_week import a_week, rows_of, values_of


def first_of(item: str) -> dict[str, Value]:
    return next(
        row for row in values_of(set_out_page(a_week())) if row.get("Item or solution") == item
    )


def test_a_session_is_headed_by_when_where_and_how_many() -> None:
    heads = [row.values[0] for row in rows_of(set_out_page(a_week())) if row.look is Look.BAND]
    assert heads[0] == (
        "Tue 2 Feb 2027 · 09:00–12:00 · Lab 1 · Tue am · ESTER Washing an ester · "
        "12 students, 6 groups, 7 sets · LATE"
    )


def test_sets_that_share_are_rounded_up_to_whole_containers() -> None:
    row = first_of("hydrogencarbonate wash")
    assert row["In all, with spare"] == "350 mL"
    assert row["Set out in"] == "3 × 250 mL bottle, one for 3 sets"
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
