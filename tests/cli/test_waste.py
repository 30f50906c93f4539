"""Waste on the command line: the week's, and the containers that are there."""

import csv
import io
import json
from typing import Any

import pytest

from tests.cli.conftest import Run


def containers(waste: Run, *words: str) -> list[dict[str, Any]]:
    """Return the rows of the list."""
    rows: list[dict[str, Any]] = json.loads(waste("containers", *words, "--json").stdout)
    return rows


def test_the_weeks_waste_stays_a_command_of_its_own(run_sample: Run) -> None:
    week = ("--week", "2027-W10", "--today", "2027-03-03")
    result = run_sample("waste", *week)
    assert result.exit_code == 0
    assert "container filled to" in result.stdout
    rows = json.loads(run_sample("waste", *week, "--json").stdout)
    assert {"stream", "expected", "allow_for", "containers"} <= set(rows[0])
    assert "halogenated" in run_sample("waste", *week, "--by-day").stdout
    assert run_sample("waste").exit_code == 2


def test_options_of_a_list_stand_behind_it(run_sample: Run) -> None:
    result = run_sample("waste", "--csv", "containers")
    assert result.exit_code == 2
    assert "Options of containers stand behind it" in result.stderr


def test_containers_are_listed_with_what_is_in_them(waste: Run, stock: Run) -> None:
    stock("discard", "L0255", "--stream", "non-halogenated solvent", "--reason", "old")
    (row,) = containers(waste, "--stream", "Non-halogenated solvent")
    assert (row["state"], row["amount"], row["filling"], row["percent"], row["empty"]) == (
        "open", 3900, 4500, 87, 1,
    )  # fmt: skip
    assert [(one["item"], one["amount"]) for one in row["contents"]] == [
        ("petroleum ether 40-60", 300),
        (None, 3600),
    ]
    text = waste("containers").stdout
    assert "3.9 L (87 %)" in text
    assert "aqueous organic washings             none open" in text
    assert "Not in these figures, since they are over and not booked out: W09-Tue-1" in text
    assert "prepstore stock use --until" in text
    rows = list(csv.DictReader(io.StringIO(waste("containers", "--csv").stdout)))
    assert len(rows) == 10
    assert rows[1]["contents"] == "3.6 L not known; 300 mL petroleum ether 40-60"


def test_what_each_session_sends_is_text_json_and_csv(run_sample: Run) -> None:
    week = ("--week", "2027-W10", "--today", "2027-03-03", "--by-session")
    text = run_sample("waste", *week).stdout
    assert "W10-Mon-1" in text
    assert "left of iron standard 20 ppm" in text
    rows = json.loads(run_sample("waste", *week, "--json").stdout)
    by_day: dict[tuple[str, str], float] = {}
    for row in rows:
        key = row["stream"], row["date"]
        by_day[key] = by_day.get(key, 0) + row["allow_for"]
    for stream in json.loads(run_sample("waste", *week[:4], "--json").stdout):
        for of_day in stream["by_day"] if stream["stream"] != "not assigned" else ():
            assert by_day[stream["stream"], of_day["date"]] == pytest.approx(of_day["allow_for"])
    cells = list(csv.DictReader(io.StringIO(run_sample("waste", *week, "--csv").stdout)))
    assert cells[0]["session"] == "W10-Mon-1"
    assert len(cells) > len(rows)
    assert run_sample("waste", *week, "--by-day").exit_code == 2
    assert run_sample("waste", "--by-session", "containers").exit_code == 2


def test_a_solution_in_a_container_is_listed_by_what_it_is_made_of(waste: Run) -> None:
    """By hand: 0.6 mol of HCl (36.46 g/mol) are 21.88 g, 59.1 g of 37 %, 50.1 mL at 1.18 g/mL."""
    waste("add", "aqueous acid", "300 mL", "--item", "hydrochloric acid 2 mol/L")
    (row,) = containers(waste, "--stream", "aqueous acid")
    water, acid, unknown = row["contents"]
    assert (unknown["item"], unknown["measured"]) == (None, 4500)
    assert (water["item"], acid["item"]) == ("deionised water", "hydrochloric acid, concentrated")
    assert acid["amount"] == pytest.approx(50.1, abs=0.05)
    assert water["measured"] + acid["measured"] == pytest.approx(300, abs=1e-6)
    text = waste("containers", "--csv", "--stream", "aqueous acid").stdout
    assert "4.5 L not known; 249.9 mL deionised water; 50.1 mL hydrochloric acid" in text
