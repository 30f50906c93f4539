"""One week is planned, then the next as of the same day: no lot is promised twice."""

from pathlib import Path
from typing import Any

import pytest

from prepstore.ledger.place import Place
from tests.journeys.college import TODAY, W16, done, plan, row_of, write_set

W17 = ("--week", "2027-W17", *TODAY)
BOTH = ("--from", "2027-04-19", "--to", "2027-05-02", *TODAY)
HEAD = "session practical date start end room students group_size demonstrator_sets leave_out"
NEXT_WEEK = [
    HEAD.split(),
    ["Mon-17A", "A1", "2027-04-26", "09:00", "11:00", "Fenton Lab", "20", "", "", ""],
    ["Tue-17B", "A4", "2027-04-27", "13:00", "16:00", "Quay Lab", "16", "", "", "filter"],
    ["Thu-17C", "A2", "2027-04-29", "13:30", "15:30", "Quay Lab", "16", "", "", ""],
]
# Its parts are drawn by a batch that serves both weeks, which each week's plan lists whole.
SHARED = {"phenolphthalein", "ethanol 96 %", "hydrochloric acid 37 %"}

Weeks = tuple[dict[str, Any], dict[str, Any], dict[str, Any]]


@pytest.fixture
def weeks(loaded: Place) -> Weeks:  # noqa: ARG001 - it is where the work goes on
    done("load", str(write_set({"timetable": NEXT_WEEK}, Path("next"))))
    return plan(*W16), plan(*W17), plan(*BOTH)


def drawn(made: dict[str, Any]) -> dict[str, float]:
    return {
        lot["lot"]: lot["amount"]
        for row in made["stock"]
        if row["item"] not in SHARED
        for lot in row["lots"]
    }


# What each lot that is drawn low holds.
HELD = {
    "H-004": 35.0,
    "H-006": 310.0,
    "H-007": 12.5,
    "H-012": 75.0,
    "H-003": 400.0,
    "H-014": 1200.0,
    "H-016": 300.0,
    "H-017": 1000.0,
    "H-019": 20.0,
    "H-010": 90.0,
    "H-005": 250.0,
    "M-101": 600.0,
    "M-102": 15.0,
    "M-103": 400.0,
}


def test_no_lot_gives_more_than_it_holds(weeks: Weeks) -> None:
    first, second, _ = (drawn(made) for made in weeks)
    assert set(first) | set(second) == set(HELD)
    for lot, held in HELD.items():
        assert first.get(lot, 0) + second.get(lot, 0) <= held + 1e-9, lot


def test_the_two_plans_draw_what_one_plan_of_both_weeks_draws(weeks: Weeks) -> None:
    first, second, both = (drawn(made) for made in weeks)
    sums = {lot: first.get(lot, 0) + second.get(lot, 0) for lot in first | second}
    assert sums == pytest.approx(both)


def test_the_second_week_finds_what_the_first_leaves(weeks: Weeks) -> None:
    _, second, _ = weeks
    # 75 g less 3 g x 15 sets x 1.1 = 49.5 g leaves 25.5 g; 3 g x 8 x 1.1 = 26.4 g are wanted.
    zinc = row_of(second["stock"], item="zinc powder")
    assert zinc["promised"] == pytest.approx(49.5)
    assert zinc["usable"] == pytest.approx(25.5)
    assert zinc["short"] == pytest.approx(0.9)
    # 310 g less 0.75 mol x 249.677 g/mol = 187.25775 g leaves 122.74225 g. 100 mL x 8 x 1.2 =
    # 960 mL, made as 1 L, wants 0.5 mol: 124.8385 g.
    salt = row_of(second["stock"], item="copper(II) sulfate pentahydrate")
    assert salt["promised"] == pytest.approx(187.25775)
    assert salt["short"] == pytest.approx(2.09625)
    # 20 here and 25 on order, less 34, are 11; 2 x 8 x 1.1 = 17.6, so 18 are wanted.
    cups = row_of(second["stock"], item="polystyrene cup")
    assert (cups["promised"], cups["short"]) == (34, 7)


@pytest.mark.usefixtures("loaded")
def test_the_first_week_takes_no_notice_of_the_second() -> None:
    alone = plan(*W16)
    done("load", str(write_set({"timetable": NEXT_WEEK}, Path("next"))))
    assert plan(*W16) == alone


def test_a_batch_for_both_weeks_is_listed_whole_and_drawn_once(weeks: Weeks) -> None:
    _, second, both = weeks
    # Wednesday wants 4.5 mL of it beyond the lot, the Monday after 10 mL: one batch of 100 mL.
    batch = row_of(second["making_up"], solution="phenolphthalein 1 % w/v")
    assert (batch["volume_mL"], batch["sessions"]) == (100, ["Wed-12C", "Mon-17A"])
    for made in (second, both):
        assert row_of(made["stock"], item="phenolphthalein")["lots"] == [
            {"lot": "H-011", "amount": 1}
        ]
    assert row_of(second["stock"], item="phenolphthalein")["promised"] == 0
