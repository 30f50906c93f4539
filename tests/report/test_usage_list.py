from decimal import Decimal

from prepstore.amounts import Kind
from prepstore.report.usage_list import USAGE_COLUMNS, usage_lines, usage_rows
from prepstore.shelf.usage import Usage


def _usage(planned: int, used: int, cut_short: int = 0, lacked: int = 0) -> Usage:
    return Usage(
        "P", "acetone", Kind.VOLUME, 2, Decimal(planned), Decimal(used), cut_short, Decimal(lacked)
    )


def test_planned_and_used_stand_beside_each_other() -> None:
    assert list(usage_lines([_usage(1600, 1500), _usage(20, 20), _usage(0, 5)])) == [
        "practical  item     sessions  planned  used   difference",
        "P          acetone  2         1.6 L    1.5 L  -6.3 %",
        "P          acetone  2         20 mL    20 mL  as planned",
        "P          acetone  2         0 mL     5 mL   not planned",
    ]
    assert "No session is booked out yet" in next(usage_lines([]))


def test_rows_for_other_programs_are_numbers() -> None:
    (row,) = usage_rows([_usage(1600, 1500)])
    assert tuple(row) == USAGE_COLUMNS
    assert (row["planned"], row["used"], row["difference"], row["percent"]) == (
        1600,
        1500,
        -100,
        -6.3,
    )


def test_sessions_that_were_cut_short_stand_beside_the_others() -> None:
    lines = list(usage_lines([_usage(1600, 1500, 1, 150), _usage(20, 20)]))
    assert lines[0].endswith("cut short")
    assert lines[1].endswith("-6.3 %      1 session, 150 mL not there")
    (row,) = usage_rows([_usage(1600, 1500, 2, 150)])
    assert (row["cut_short"], row["lacked"]) == (2, 150)
