"""The limit of a peroxide test against what others publish; the list is in tests/shelf."""

from prepstore.settings import Settings
from prepstore.shelf.peroxides import PeroxideTest
from prepstore.tables.units import read_concentration
from tests.builders import day
from tests.published.rows import rows_of


def test_without_a_setting_the_strictest_published_limit_holds() -> None:
    """Source: each row of the table names its own; they disagree, so the least is taken."""
    published = [read_concentration(row["limit"]) for row in rows_of("peroxide_limits")]
    limit = Settings().peroxide_limit
    assert min(one.number for one in published) == limit.number
    above = [PeroxideTest(day("02-03"), one).is_above(limit) for one in published]
    assert sorted(above) == [False, True]
