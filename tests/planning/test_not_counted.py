"""Lots that do not count, and why. Salt is used on 1 and 3 February."""

import pytest

from prepstore.planning.not_counted import all_not_counted, not_counted
from tests.builders import plan_of


def _found(cells: str, opened_life: str = "") -> list[tuple[str, str, str | None]]:
    plan = plan_of(
        items=f"item,kind,unit,opened_life\nsalt,reagent,g,{opened_life}\nsand,reagent,g,",
        practical_lines="practical,item,amount,per\nP,salt,1 g,session",
        timetable="""
            session, practical, date,       students
            S,       P,         2027-02-01, 1
            T,       P,         2027-02-03, 1""",
        stock=f"lot,item,amount,expiry,opened,state\nL,{cells}",
    )
    found = all_not_counted(plan)
    assert found == (*not_counted(plan, "salt"), *not_counted(plan, "sand"))
    return [(one.holding.label, str(one.why), one.last_day and str(one.last_day)) for one in found]  # type: ignore[misc]


@pytest.mark.parametrize(
    ("cells", "opened_life", "why"),
    [
        ("salt,5 g,,,", "", None),
        ("salt,5 g,,,quarantine", "", ("in quarantine", None)),
        ("salt,5 g,,,reserved", "", ("reserved", None)),
        ("salt,5 g,2027-02-03,,", "", None),
        ("salt,5 g,2027-02-02,,", "", ("out of date", "2027-02-02")),
        ("salt,5 g,2028-01-01,2027-01-25,", "7", ("opened too long", "2027-02-01")),
        ("salt,5 g,2027-01-30,2027-01-25,", "7", ("out of date", "2027-01-30")),
        ("salt,0 g,,,quarantine", "", None),
        ("sand,5 g,2027-02-06,,", "", ("out of date", "2027-02-06")),  # the week ends on the 7th
    ],
)
def test_a_lot_that_does_not_count_to_the_end_says_why(
    cells: str, opened_life: str, why: tuple[str, str | None] | None
) -> None:
    assert _found(cells, opened_life) == ([("L", *why)] if why else [])
