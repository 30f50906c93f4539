from prepstore.amounts import Kind
from prepstore.report.waste_comparison_list import (
    COMPARED_COLUMNS,
    compared_lines,
    compared_rows,
)
from prepstore.shelf.waste_compared import Compared, Comparison
from tests.builders import number


def _row(allow_for: int, recorded: int, cut_short: int = 0) -> Compared:
    amounts = (number(1200), number(allow_for), number(recorded))
    return Compared("P", "acid", Kind.VOLUME, 2, *amounts, cut_short)


def test_forecast_and_record_stand_beside_each_other() -> None:
    rows = (_row(1600, 1500), _row(20, 20), _row(0, 5), _row(20, 25))
    assert list(compared_lines(Comparison(rows, ()))) == [
        "practical  stream  sessions  expected  allow for  recorded  difference",
        "P          acid    2         1.2 L     1.6 L      1.5 L     -100 mL (-6.3 %)",
        "P          acid    2         1.2 L     20 mL      20 mL     as planned",
        "P          acid    2         1.2 L     0 mL       5 mL      +5 mL (not planned)",
        "P          acid    2         1.2 L     20 mL      25 mL     +5 mL (+25.0 %)",
    ]


def test_what_was_cut_short_or_has_no_forecast_is_told() -> None:
    lines = list(compared_lines(Comparison((_row(1600, 1500, 1),), ("Gone", "Lost"))))
    assert lines[0].endswith("  cut short")
    assert lines[1].endswith("(-6.3 %)  1")
    assert lines[2] == "Not among them, since the timetable has them no longer: Gone, Lost"
    assert "No such session is booked out" in next(compared_lines(Comparison((), ())))


def test_rows_for_other_programs_are_numbers() -> None:
    (row,) = compared_rows(Comparison((_row(1600, 1500, 1),), ()))
    assert tuple(row) == COMPARED_COLUMNS
    assert [row[name] for name in COMPARED_COLUMNS[3:]] == [2, 1200, 1600, 1500, -100, -6.3, 1]
    (unplanned,) = compared_rows(Comparison((_row(0, 5),), ()))
    assert unplanned["percent"] is None
