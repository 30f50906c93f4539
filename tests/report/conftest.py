from datetime import date
from pathlib import Path

import pytest

from prepstore.planning.calendar import Period
from prepstore.planning.make_plan import plan_period
from prepstore.planning.plan import Plan
from prepstore.tables.crosscheck import checked
from prepstore.tables.read import read_set
from tests.builders import department_of

SAMPLE = Path(__file__).parents[2] / "sample_inventory"


@pytest.fixture(scope="session")
def sample_plan() -> Plan:
    rows, _ = read_set(SAMPLE)
    return department_of(checked(rows)).plan(Period.of_week("2027-W10"), date(2027, 3, 3))


@pytest.fixture(scope="session")
def empty_plan(sample_plan: Plan) -> Plan:
    """A week in which nothing is timetabled."""
    one = sample_plan
    period = Period.of_week("2027-W40")
    return plan_period(one.catalogue, one.timetable, one.stores, period, date(2027, 9, 1))
