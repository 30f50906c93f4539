from datetime import date
from pathlib import Path

import pytest

from prepstore.amounts import settle
from prepstore.planning.calendar import Period
from prepstore.planning.make_plan import plan_period
from prepstore.planning.plan import Plan
from prepstore.report.totals import waste_by_day, waste_by_day_lines
from prepstore.tables.crosscheck import checked
from prepstore.tables.read import read_set

SAMPLE = Path(__file__).parents[2] / "sample_inventory"


@pytest.fixture(scope="module")
def plan() -> Plan:
    rows, _ = read_set(SAMPLE)
    return plan_period(checked(rows).inventory, Period.of_week("2027-W10"), date(2027, 3, 3))


def test_days_and_totals_agree_with_the_plan_exactly(plan: Plan) -> None:
    frame = waste_by_day(plan)
    for stream in plan.waste.streams:
        total = frame.loc[(stream.name, stream.kind), "all"]
        assert settle(total) == settle(stream.total.allow_for), stream.name


def test_the_lines_name_every_stream(plan: Plan) -> None:
    text = "\n".join(waste_by_day_lines(plan))
    assert all(stream.name in text for stream in plan.waste.streams)


def test_a_period_without_sessions_has_streams_and_no_days(plan: Plan) -> None:
    empty = plan_period(plan.inventory, Period.of_week("2027-W40"), date(2027, 9, 1))
    assert list(waste_by_day(empty).columns) == ["all"]
