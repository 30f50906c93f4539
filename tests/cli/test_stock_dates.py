import csv
import json
import shutil
from pathlib import Path

import pytest

from prepstore.report.expiry_list import CAUTION
from tests.cli.conftest import Run

ON = ("--on", "2027-03-03")


@pytest.fixture
def own(run: Run, sample_store: Path) -> Run:
    """Run a command on a copy of the store, to be changed."""
    shutil.copy(sample_store, "prepstore.db")
    return run


def test_what_will_be_lost_is_listed_with_its_value(run_sample: Run) -> None:
    lines = run_sample("stock", "expiry", *ON).stdout.splitlines()
    # 650 mL of ether, which no session may use any more, at 38.00 for 2.5 L: 9.88
    (ether,) = (line for line in lines if "L0243" in line)
    assert ether.startswith("2027-02-16")
    assert "9.88 EUR" in ether
    assert lines[-1].endswith(
        "goes out of date up to 2027-06-01, at the price of the cheapest pack of each item."
    )


def test_what_the_timetable_takes_of_a_lot_is_not_lost(run_sample: Run) -> None:
    rows = json.loads(run_sample("stock", "expiry", *ON, "--json").stdout)
    (sachets,) = (row for row in rows if row["lot"] == "L0287")
    # 24 there, 9 groups of PHY-02 take 2 each, and 20 are sold for 13.00
    assert (sachets["amount"], sachets["taken"], sachets["left"]) == (24, 18, 6)
    assert sachets["value"] == 3.9


def test_a_shorter_look_shows_less_and_csv_has_the_same_lots(run_sample: Run) -> None:
    far = run_sample("stock", "expiry", *ON, "--json").stdout
    near = run_sample("stock", "expiry", *ON, "--within", "7", "--csv").stdout
    lots = [row["lot"] for row in csv.DictReader(near.splitlines())]
    assert "S27-054" in lots  # last day 9 March
    assert "S27-025" not in lots  # 18 April
    assert set(lots) < {row["lot"] for row in json.loads(far)}


def test_peroxide_formers_stand_with_the_day_of_their_test(run_sample: Run) -> None:
    lines = run_sample("stock", "peroxides", *ON).stdout.splitlines()
    assert [line.split()[:2] for line in lines[1:4]] == [
        ["2027-03-24", "L0243"],  # tested 22 February, 30 days
        ["2027-03-24", "L0244"],
        ["2028-05-02", "L0247"],  # received 9 November 2026, 540 days
    ]
    assert lines[-1] == CAUTION
    late = run_sample("stock", "peroxides", "--on", "2027-03-25").stdout
    assert late.count("OVERDUE") == 2


@pytest.mark.parametrize(("within", "lots"), [("20", []), ("21", ["L0243", "L0244"])])
def test_only_what_is_due_soon_where_that_is_asked(
    run_sample: Run, within: str, lots: list[str]
) -> None:
    shown = run_sample("stock", "peroxides", *ON, "--within", within, "--json").stdout
    assert [row["lot"] for row in json.loads(shown)] == lots


def test_a_test_is_recorded_with_its_result_and_moves_the_day(own: Run) -> None:
    result = own(
        "stock", "test", "L0244", "--result", "5 mg/L", "--reason", "strip", "--by", "Kim", *ON
    )
    assert result.stdout.startswith("L0244 diethyl ether: tested on 2027-03-03\n")
    again = "Test it again, or discard it, by 2027-04-02."  # 30 days
    assert result.stdout.endswith(f"{again}\n{CAUTION}\n")
    rows = json.loads(own("stock", "peroxides", *ON, "--json").stdout)
    assert {row["lot"]: row["due"] for row in rows}["L0244"] == "2027-04-02"
    (told,) = (
        row
        for row in json.loads(own("stock", "history", "L0244", "--json").stdout)
        if row["what"] == "tested"
    )
    assert (told["reason"], told["by"], told["day"]) == (
        "peroxides: 5 mg/L; strip", "Kim", "2027-03-03",
    )  # fmt: skip


def test_a_test_above_the_limit_of_the_setting_is_quarantine_and_says_what_to_do(own: Run) -> None:
    # The sample's setting is 10 mg/L, below the 20 mg/L that hold without one.
    result = own("stock", "test", "L0243", "--result", "15 mg/L", "--by", "Kim", *ON)
    assert "L0243 diethyl ether: state changed from usable to quarantine" in result.stdout
    assert "again" not in result.stdout
    assert result.stdout.splitlines()[-1].startswith("Above the limit of 10 mg/L. Do not open")
    listed = own("stock", "list", "--state", "quarantine", "--item", "diethyl ether", "--json")
    assert [row["lot"] for row in json.loads(listed.stdout)] == ["L0243"]
    assert own("stock", "undo", "2", "--by", "Kim").exit_code == 0
    (lot,) = (
        row for row in json.loads(own("stock", "list", "--json").stdout) if row["lot"] == "L0243"
    )
    assert (lot["state"], lot["tested"]) == ("", "2027-02-22")


@pytest.mark.parametrize("word", ["negative", "None", "0 mg/L"])
def test_a_test_that_found_nothing_is_recorded_as_negative(own: Run, word: str) -> None:
    assert own("stock", "test", "L0243", "--result", word, "--by", "Kim", *ON).exit_code == 0
    assert "peroxides: negative" in own("stock", "history", "L0243").stdout


def test_a_trial_of_a_test_records_nothing(own: Run) -> None:
    assert (
        "Nothing was recorded."
        in own("stock", "test", "L0243", "--result", "negative", "--dry-run", *ON).stdout
    )
    assert own("stock", "undo", "2").exit_code == 1


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("L0243", "--result", "much"), "Write it like 5 mg/L, or: negative."),
        (("L0243", "--result", "1 mmol/L", *ON), "cannot be compared with the limit of 10 mg/L"),
        (("L0243", "--result", "5 mg/L", "--on", "2027-02-21"), "was tested on 2027-02-22, after"),
        (("L9999", "--result", "5 mg/L"), "'L9999' is not a known lot"),
    ],
)
def test_a_test_that_cannot_be_recorded_is_answered_with_a_sentence(
    own: Run, words: tuple[str, ...], says: str
) -> None:
    result = own("stock", "test", *words)
    assert result.exit_code == 1
    assert says in result.stderr
    assert "Nothing was changed." in result.stderr
