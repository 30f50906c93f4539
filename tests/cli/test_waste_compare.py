"""Forecast against record, of sessions that were booked out."""

import csv
import io
import json
from typing import Any

from tests.cli.conftest import Run


def _rows(waste: Run, *words: str) -> dict[str, dict[str, Any]]:
    rows = json.loads(waste("compare", *words, "--json").stdout)
    return {row["stream"]: row for row in rows}


def test_a_session_that_was_booked_stands_beside_what_it_was_to_send(
    waste: Run, stock: Run
) -> None:
    assert "No such session is booked out" in waste("compare").stdout
    stock("use", "--session", "W09-Thu-2", "--used", "black tea bag=20 each")
    as_planned = _rows(waste)
    assert set(as_planned) == {
        "non-halogenated solvent", "aqueous alkaline", "contaminated solid",
        "aqueous organic washings",
    }  # fmt: skip
    for row in as_planned.values():
        assert (row["practical"], row["sessions"], row["difference"]) == ("ORG-01", 1, 0)
        assert row["expected"] < row["allow_for"] == row["recorded"]
    stock("use", "--session", "W09-Thu-2", "--back", "ethyl acetate=100 mL")
    later = _rows(waste, "--practical", "org-01")
    sent = sum(one["difference"] for one in later.values() if one["unit"] == "mL")
    # Of 100 mL that came back what had gone to streams is out again; the rest had gone elsewhere.
    assert -100 < sent < 0
    assert later["non-halogenated solvent"]["percent"] < 0
    text = waste("compare").stdout
    assert text.splitlines()[0].split()[:3] == ["practical", "stream", "sessions"]
    rows = list(csv.DictReader(io.StringIO(waste("compare", "--csv").stdout)))
    assert float(rows[0]["recorded"]) == later[rows[0]["stream"]]["recorded"]


def test_days_and_practicals_are_picked(waste: Run, stock: Run) -> None:
    stock("use", "--until", "2027-03-04", "--as-far-as-there-is")
    assert {row["practical"] for row in json.loads(waste("compare", "--json").stdout)} >= {
        "ORG-01", "ORG-04",
    }  # fmt: skip
    day = ("--from", "2027-03-02", "--to", "2027-03-02")
    assert {row["practical"] for row in _rows(waste, *day).values()} == {"ANA-02"}
    assert _rows(waste, "--from", "2027-03-05") == {}
    assert _rows(waste, "--to", "2027-03-01") == {}
    assert waste("compare", "--from", "2027-03-05", "--to", "2027-03-04").exit_code == 2
    assert "'ORG-99' is not a known practical" in waste("compare", "--practical", "ORG-99").stderr


def test_a_booking_that_is_undone_is_gone_from_both_sides(waste: Run, stock: Run) -> None:
    stock("use", "--session", "W09-Thu-2", "--used", "black tea bag=20 each")
    assert _rows(waste)
    stock("undo", "2")
    assert _rows(waste) == {}
