"""The worked example of docs/explanation/what-is-in-the-waste.md, as JSON gives it."""

from typing import Any

from prepstore.report.plan_json import plan_rows
from tests.planning.a_wash import a_wash


def _one(rows: list[dict[str, Any]], column: str, name: str) -> dict[str, Any]:
    (found,) = (row for row in rows if row[column] == name)
    return found


def test_a_stream_says_what_is_in_it() -> None:
    aqueous = _one(plan_rows(a_wash())["waste"], "stream", "aqueous")
    assert {
        key: aqueous[key]
        for key in ("mass_g", "unknown_mL", "unknown", "water_percent", "halogenated_percent")
    } == {
        "mass_g": {"expected": 110, "allow_for": 110},
        "unknown_mL": 0,
        "unknown": [],
        "water_percent": 100,
        "halogenated_percent": 0,
    }
    assert _one(aqueous["composition"], "substance", "salt") == {
        "substance": "salt",
        "mL": {"expected": 0, "allow_for": 0},
        "g": {"expected": 10, "allow_for": 10},
        "volume_percent": 0,
        "mass_percent": 1000 / 110,
        "held_back": False,
        "not_known": [],
    }


def test_what_is_held_back_is_marked() -> None:
    solid = _one(plan_rows(a_wash())["waste"], "stream", "solid")
    assert solid["expected"] == 10
    assert solid["water_percent"] == 0
    (held,) = (row for row in solid["composition"] if row["held_back"])
    assert held["substance"] == "ethyl acetate"
    assert held["mL"] == {"expected": 4.6, "allow_for": 5.3}
    assert (held["volume_percent"], held["mass_percent"]) == (None, 0)


def test_a_stream_that_gets_nothing_has_no_shares() -> None:
    solid = _one(plan_rows(a_wash("water, 1 mL, aqueous,"))["waste"], "stream", "solid")
    assert (solid["composition"], solid["water_percent"]) == ([], None)


def test_each_line_has_a_balance() -> None:
    rows = plan_rows(a_wash())["balance"]
    assert [row["item"] for row in rows] == [
        "ethyl acetate", "drying agent", "filter paper", "brine",
    ]  # fmt: skip
    assert rows[0] == {
        "session": "S",
        "item": "ethyl acetate",
        "unit": "mL",
        "expected": {
            "in": 100, "kept": 0, "streams": 85.4, "air": 10, "drain": 0, "held_back": 4.6,
        },
        "allow_for": {
            "in": 120, "kept": 0, "streams": 102.7, "air": 12, "drain": 0, "held_back": 5.3,
        },
    }  # fmt: skip


def test_what_is_left_over_says_where_it_goes() -> None:
    assert plan_rows(a_wash())["leftover"] == [
        {
            "solution": "brine",
            "date": "2027-02-01",
            "to": "aqueous",
            "expected_mL": 40,
            "allow_for_mL": 28,
        }
    ]
    shares = "solution,shelf_life,to\nbrine,0,aqueous 90 %; drain 10 %"
    (row,) = plan_rows(a_wash(solutions=shares))["leftover"]
    assert row["to"] == "aqueous 90 %; drain 10 %"
    (row,) = plan_rows(a_wash(solutions="solution,shelf_life\nbrine,0"))["leftover"]
    assert row["to"] is None
