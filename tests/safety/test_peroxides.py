from collections.abc import Sequence

import pytest

from prepstore.safety.peroxides import (
    due_for_test,
    forms_peroxides,
    has_no_known_day,
    reckoned_from,
)
from tests.builders import item, lot, plan_of, warnings_about

ETHER = item("ether", unit="mL", peroxide_test="90", peroxide_test_sealed="540")


@pytest.mark.parametrize(
    ("cells", "start", "due"),
    [
        ({"opened": "2027-01-04"}, "2027-01-04", "2027-04-04"),
        ({"opened": "2027-01-04", "tested": "2027-02-01"}, "2027-02-01", "2027-05-02"),
        ({"opened": "2027-02-01", "tested": "2027-01-04"}, "2027-02-01", "2027-05-02"),
        ({"received": "2027-01-04"}, "2027-01-04", "2028-06-27"),
        ({"opened": "2027-02-01", "received": "2027-01-04"}, "2027-02-01", "2027-05-02"),
        ({}, "None", "None"),
    ],
)
def test_a_test_is_due_after_the_last_one_the_opening_or_the_receipt(
    cells: dict[str, str], start: str, due: str
) -> None:
    held = lot("E1", "1 L", item="ether", **cells)
    assert str(reckoned_from(held)) == start
    assert str(due_for_test(held, ETHER)) == due


def test_an_item_without_a_time_is_not_tested() -> None:
    assert not forms_peroxides(item("acetone"))
    assert due_for_test(lot("A1", opened="2027-01-04"), item("acetone")) is None


@pytest.mark.parametrize(
    ("cells", "unknown"),
    [
        ({}, True),
        ({"received": "2027-01-04"}, False),
        ({"opened": "2027-01-04"}, False),
        ({"tested": "2027-01-04"}, False),
    ],
)
def test_the_age_of_a_lot_without_any_day_is_not_known(
    cells: dict[str, str], *, unknown: bool
) -> None:
    held = lot("E1", "1 L", item="ether", **cells)
    assert has_no_known_day(held, ETHER) is unknown
    assert not has_no_known_day(held, item("acetone"))


def _warnings(dates: Sequence[str], days: str = "2027-01-04,") -> list[str]:
    """Return what a plan says of peroxides where a lot is used on some days."""
    sessions = "\n".join(f"S{number},P,{date},1" for number, date in enumerate(dates))
    plan = plan_of(
        items="item,kind,unit,peroxide_test\nether,solvent,mL,30",
        stock=f"lot,item,amount,opened,tested\nE1,ether,1 L,{days}",
        practical_lines="practical,item,amount,per\nP,ether,10 mL,session",
        timetable=f"session,practical,date,students\n{sessions}",
    )
    return [one for one in warnings_about(plan, "ether") if one.startswith("Lot E1")]


@pytest.mark.parametrize(
    ("dates", "warned"),
    [
        (["2027-02-03"], []),
        (["2027-02-04"], ["Thu 4 Feb 2027"]),
        (["2027-02-01", "2027-02-05", "2027-02-06"], ["Fri 5 Feb 2027"]),
    ],
)
def test_a_plan_names_the_first_day_on_which_a_lot_is_used_after_its_test_was_due(
    dates: list[str], warned: list[str]
) -> None:
    assert _warnings(dates) == [
        "Lot E1 (opened Mon 4 Jan 2027) must be tested for peroxides by Wed 3 Feb 2027, before it "
        f"is used on {day}, or be discarded."
        for day in warned
    ]


def test_a_plan_says_when_the_lot_was_last_tested() -> None:
    assert _warnings(["2027-02-04"], "2026-11-20,2027-01-04")[0].startswith(
        "Lot E1 (opened Fri 20 Nov 2026, last tested Mon 4 Jan 2027) must be tested"
    )


def test_a_plan_that_draws_on_a_lot_of_unknown_age_says_so() -> None:
    (message,) = _warnings(["2027-02-01"], ",")
    assert "If not, its age is not known: leave it closed and ask the competent person." in message
