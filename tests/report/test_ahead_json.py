import json

from prepstore.report.ahead_json import ahead_json, ahead_rows
from tests.planning.ahead.terms import ahead


def test_a_term_has_the_keys_of_the_contract() -> None:
    found = json.loads(ahead_json(ahead(first="2027-W06", weeks=2)))
    assert found["from"] == "2027-W06"
    assert found["weeks"] == ["2027-W05", "2027-W06", "2027-W07"]
    assert (found["contract"], found["today"]) == (2, "2027-02-01")
    acetone = found["items"][0]
    assert acetone["weeks"][1] == {
        "week": "2027-W06", "use": 1000, "arrives": 0, "expires": 0, "balance": -1000,
    }  # fmt: skip
    assert {
        key: acetone[key] for key in ("item", "unit", "opening", "first_short", "order_by")
    } == {
        "item": "acetone",
        "unit": "mL",
        "opening": 1000,
        "first_short": "2027-W06",
        "order_by": "2027-02-05",
    }
    assert found["orders"] == [
        {
            "place_in": "2027-W05", "place_on": "2027-02-01", "supplier": "North",
            "item": "acetone", "pack": "N1", "packs": 2, "price": 10, "cost": 20,
            "arrives": "2027-02-03",
        }
    ]  # fmt: skip
    assert found["cost"] == {
        "goods": 20, "charges": 8, "holding": 0, "total": 28, "bound": 28, "proven": True,
    }  # fmt: skip
    assert found["waste"] == [
        {
            "stream": "organic",
            "unit": "mL",
            "weeks": [
                {"week": week, "expected": 1000, "allow_for": 1000} for week in found["weeks"]
            ],
        }
    ]


def test_an_item_that_is_never_short_has_no_week_and_no_last_day() -> None:
    salt = ahead_rows(ahead(stock="3 L"))["items"][0]
    assert (salt["first_short"], salt["order_by"]) == (None, None)
