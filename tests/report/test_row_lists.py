import json
from decimal import Decimal

from prepstore.report.row_lists import as_csv, as_json, number_in_json

ROWS = [
    {"stream": "=cmd", "expected": 1.5, "full_on": ["2027-03-08", "2027-03-09"]},
    {"stream": "acid, dilute", "expected": 2, "full_on": []},
]


def test_json_is_a_list_of_the_rows() -> None:
    assert json.loads("\n".join(as_json(ROWS))) == ROWS


def test_csv_has_a_heading_quotes_commas_and_guards_formulas() -> None:
    assert list(as_csv(ROWS, ("stream", "expected", "full_on"))) == [
        "stream,expected,full_on",
        "'=cmd,1.5,2027-03-08; 2027-03-09",
        '"acid, dilute",2,',
    ]


def test_no_rows_are_an_empty_list_and_a_heading() -> None:
    assert list(as_json([])) == ["[]"]
    assert list(as_csv([], ("stream",))) == ["stream"]


def test_a_number_is_whole_in_json_where_it_is_whole() -> None:
    assert (number_in_json(Decimal("2.00")), number_in_json(Decimal("2.50"))) == (2, 2.5)


def test_yes_and_no_stand_in_csv_as_words() -> None:
    assert list(as_csv([{"late": True}, {"late": False}], ["late"])) == ["late", "yes", "no"]
