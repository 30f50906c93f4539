"""Commands that change waste containers."""

import json
from typing import Any

import pytest

from tests.cli.conftest import SIGN, WEEK, Run, history_of
from tests.cli.test_waste import containers


def row_of(waste: Run, stream: str = "aqueous acid") -> dict[str, Any]:
    """Return the last container of a stream."""
    return containers(waste, "--stream", stream)[-1]


def test_what_is_poured_in_without_a_session_is_recorded_with_who_when_and_why(
    waste: Run, stock: Run
) -> None:
    words = ("add", "aqueous acid", "300 mL", "--item", "acetone", "--reason", "rinsings", *SIGN)
    result = waste(*words)
    assert "aqueous acid: filled 300 mL of acetone, 4.8 L in it" in result.stdout
    assert "Recorded as entry 2" in result.stdout
    row = history_of(stock)[-1]
    assert (row["by"], row["day"], row["reason"], row["written"], row["item"]) == (
        "Kim", "2027-03-08", "rinsings", "300 mL", "acetone",
    )  # fmt: skip
    assert stock("undo", "2", *SIGN).exit_code == 0
    assert row_of(waste)["amount"] == 4500


def test_a_level_that_was_read_corrects_what_is_in_there(waste: Run, stock: Run) -> None:
    result = waste("measure", "aqueous acid", "60 %", *SIGN)
    assert "measured 1.5 L more, 6 L in it" in result.stdout
    assert row_of(waste)["amount"] == 6000
    result = waste("measure", row_of(waste)["container"], "5.2 L", "--reason", "dip stick", *SIGN)
    assert "measured 800 mL less, 5.2 L in it" in result.stdout
    full = waste("measure", "aqueous acid", "9.5 L")
    assert "is filled to its limit, 9 L: prepstore waste seal" in full.stdout
    assert stock("undo", "4", *SIGN).exit_code == 0
    assert row_of(waste)["amount"] == 5200


def test_what_was_poured_in_after_the_day_stands_on_what_was_read(waste: Run) -> None:
    waste("add", "aqueous acid", "300 mL", "--on", "2027-03-20")
    result = waste("measure", "aqueous acid", "4 L", "--on", "2027-03-10")
    assert "After 2027-03-10 another 300 mL was poured in, which stands on it." in result.stdout
    assert row_of(waste)["amount"] == 4300


def test_one_that_is_sealed_makes_room_for_the_next(waste: Run) -> None:
    label = row_of(waste)["container"]
    assert f"{label} aqueous acid: sealed, 4.5 L in it" in waste("seal", "aqueous acid").stdout
    assert row_of(waste)["container"] is None
    assert "is sealed already" in waste("seal", label).stderr
    assert "No container of aqueous acid is open" in waste("seal", "aqueous acid").stderr
    assert "can 9 aqueous acid: opened" in waste("open", "aqueous acid", "--as", "can 9").stdout
    assert (row_of(waste)["container"], row_of(waste)["empty"]) == ("can 9", 1)


def test_empty_ones_are_counted_and_told_where_they_are_lacking(waste: Run) -> None:
    assert "aqueous acid: counted 3 more empty" in waste("empty", "aqueous acid", "5").stdout
    waste("empty", "aqueous acid", "0")
    result = waste("add", "aqueous acid", "5 L")
    assert "No empty container of aqueous acid was left by the record" in result.stdout
    assert waste("empty", "aqueous acid", "-1").exit_code == 2


@pytest.mark.parametrize(
    "words",
    [
        ("add", "aqueous acid", "300 mL"),
        ("measure", "aqueous acid", "5 L"),
        ("seal", "aqueous acid"),
        ("open", "aqueous organic washings"),
        ("empty", "aqueous acid", "7"),
    ],
)
def test_a_trial_shows_and_records_nothing(words: tuple[str, ...], waste: Run) -> None:
    before = containers(waste)
    result = waste(*words, "--dry-run")
    assert "Nothing was recorded." in result.stdout
    assert containers(waste) == before
    assert waste(*words).exit_code == 0
    assert containers(waste) != before


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("measure", "aqueous acid", "150 %"), "150 %"),
        (("measure", "aqueous acid", "much"), "'much'"),
        (("add", "aqueous acid", "300 g"), "is not a volume"),
        (("add", "aqueous acids", "300 mL"), "Did you mean aqueous acid?"),
        (("measure", "aqueous organic washings", "50 %"), "No container of aqueous organic"),
    ],
)
def test_what_is_wrong_is_said_in_a_sentence(words: tuple[str, ...], says: str, waste: Run) -> None:
    result = waste(*words)
    assert result.exit_code == 1
    assert says in result.stderr


def test_a_count_of_empty_ones_is_undone_once_and_brought_back(waste: Run, stock: Run) -> None:
    waste("empty", "aqueous acid", "5", *SIGN)
    assert stock("undo", "2", *SIGN).exit_code == 0
    assert row_of(waste)["empty"] == 2
    again = stock("undo", "2", *SIGN)
    assert "Entry 2 was undone by entry 3 already" in again.stderr
    assert stock("undo", "3", *SIGN).exit_code == 0
    assert row_of(waste)["empty"] == 5


def test_a_call_is_recorded_shown_and_undone(waste: Run, stock: Run) -> None:
    words = ("call", "aqueous acid", "silver residues", "--expected", "2027-03-19", *SIGN)
    result = waste(*words)
    assert result.stdout.splitlines()[:2] == [
        "aqueous acid: collection called for 2027-03-19",
        "silver residues: collection called for 2027-03-19",
    ]
    row = row_of(waste)
    assert (row["called_on"], row["expected_on"]) == ("2027-03-08", "2027-03-19")
    listed = "Collection called on 2027-03-08, expected on 2027-03-19: aqueous acid, silver"
    assert listed in waste("containers").stdout
    row = history_of(stock)[-1]
    assert (row["what"], row["stream"], row["by"]) == (
        "collection called", "silver residues", "Kim",
    )  # fmt: skip
    assert "recorded already" in waste(*words).stderr
    assert stock("undo", "2", *SIGN).exit_code == 0
    assert row_of(waste)["called_on"] is None
    assert stock("undo", "3", *SIGN).exit_code == 0
    assert row_of(waste)["called_on"] == "2027-03-08"


def test_a_collection_ends_a_call_and_its_undoing_brings_it_back(waste: Run, stock: Run) -> None:
    waste("call", "aqueous acid", *SIGN)
    waste("seal", "aqueous acid", *SIGN)
    assert waste("collect", "--yes", "--on", "2027-03-12").exit_code == 0
    assert row_of(waste)["called_on"] is None
    assert stock("undo", "4", *SIGN).exit_code == 0
    assert row_of(waste)["called_on"] == "2027-03-08"
    assert row_of(waste)["expected_on"] is None


def test_a_call_that_is_expected_before_it_is_made_is_refused(waste: Run) -> None:
    result = waste("call", "aqueous acid", "--expected", "2027-03-01", *SIGN)
    assert result.exit_code == 1
    assert "is not expected on 2027-03-01, before that" in result.stderr


def test_a_plan_warns_of_what_was_poured_where_it_will_meet_something(waste: Run, run: Run) -> None:
    """EPA-600/2-80-076: nitric acid is in group 2, acetone in 19; heat and fire."""
    stream = "non-halogenated solvent"
    waste("add", stream, "20 mL", "--item", "nitric acid 70 %", *SIGN)
    plan = json.loads(run("plan", *WEEK, "--json", "-").stdout)
    pair = ["acetone", "nitric acid 70 %"]
    (found,) = [
        one for one in plan["incompatible"] if (one["name"], one["substances"]) == (stream, pair)
    ]
    assert (found["codes"], found["already_there"]) == (["H", "F"], ["nitric acid 70 %"])
    assert found["sessions"]
    (warned,) = [
        one["message"]
        for one in plan["warnings"]
        if (one["code"], one["about"]) == ("must-not-meet", stream)
    ]
    assert "nitric acid 70 % (group 2, already in the container)" in warned
    # What the container held at the load is not known all the same.
    unchecked = [(one["name"], one["substance"]) for one in plan["unchecked"]]
    assert unchecked.count((stream, "unknown")) == 1
    waste("measure", stream, "0 mL", *SIGN)
    plan = json.loads(run("plan", *WEEK, "--json", "-").stdout)
    assert not [one for one in plan["incompatible"] if one["already_there"]]
    assert (stream, "unknown") not in {(one["name"], one["substance"]) for one in plan["unchecked"]}
