"""A collection: the list that goes with the carrier, and what is taken away."""

import csv
from pathlib import Path

from tests.cli.conftest import SIGN, Run
from tests.cli.test_waste import containers
from tests.report.labels_on_paper import Paper


def _label(waste: Run, stream: str) -> str:
    return str(containers(waste, "--stream", stream)[-1]["container"])


def test_what_is_sealed_is_listed_for_the_carrier_and_gone(waste: Run, stock: Run) -> None:
    label = _label(waste, "aqueous acid")
    waste("add", "aqueous acid", "200 mL", "--item", "acetone", *SIGN)
    waste("seal", "aqueous acid", *SIGN)
    result = waste("collect", "--reason", "monthly round", *SIGN)
    assert "Wrote collection-2027-03-08.xlsx and collection-2027-03-08.csv" in result.stdout
    assert "aqueous acid (06 01 06*): 1 container, 4.7 L" in result.stdout
    assert "Recorded as entry 4" in result.stdout
    with Path("collection-2027-03-08.csv").open(encoding="utf-8", newline="") as file:
        (row,) = csv.DictReader(file)
    assert (row["container"], row["composition"], row["sealed_on"]) == (
        label,
        "% by volume: not known 96; acetone 4",
        "2027-03-08",
    )
    assert all(one["container"] != label for one in containers(waste))
    (gone,) = [one for one in containers(waste, "--all") if one["container"] == label]
    assert (gone["state"], gone["collected_on"], gone["amount"]) == (
        "collected", "2027-03-08", 4700,
    )  # fmt: skip
    assert "was collected" in waste("measure", label, "1 L").stderr
    assert "is collected now. Undo entry 4 first" in stock("undo", "2", *SIGN).stderr
    assert stock("undo", "4", *SIGN).exit_code == 0
    assert _label(waste, "aqueous acid") in (label, "None")


def test_an_open_one_goes_where_it_is_named_and_a_stream_stands_for_its_sealed_ones(
    waste: Run,
) -> None:
    assert "There is nothing to collect" in waste("collect", "aqueous acid").stderr
    label = _label(waste, "aqueous acid")
    result = waste("collect", label, "--out", "carrier.xlsx", "--yes", *SIGN)
    assert result.exit_code == 0
    assert Path("carrier.csv").exists()
    assert containers(waste, "--stream", "aqueous acid")[-1]["container"] is None


def test_a_trial_writes_the_list_and_records_nothing(waste: Run) -> None:
    waste("seal", "aqueous acid", *SIGN)
    before = containers(waste)
    result = waste("collect", "--dry-run", *SIGN)
    assert "Nothing was recorded." in result.stdout
    assert Path("collection-2027-03-08.xlsx").exists()
    assert containers(waste) == before


def test_a_list_that_cannot_be_written_records_nothing(waste: Run) -> None:
    waste("seal", "aqueous acid", *SIGN)
    before = containers(waste)
    result = waste("collect", "--out", "nowhere/list.xlsx", *SIGN)
    assert result.exit_code == 1
    assert "there is no folder nowhere" in result.stderr
    assert containers(waste) == before
    assert waste("collect", "--out", "nowhere/list.pdf").exit_code == 1
    assert containers(waste) == before
    assert waste("collect", "--out", "list.txt").exit_code == 2


def test_the_list_is_written_as_a_pdf_with_a_csv_beside_it(waste: Run) -> None:
    waste("seal", "aqueous acid", *SIGN)
    result = waste("collect", "--out", "carrier.pdf", "--yes", *SIGN)
    assert "Wrote carrier.pdf and carrier.csv" in result.stdout
    assert (
        "Waste for collection on Mon 8 Mar 2027" in Paper(Path("carrier.pdf").read_bytes()).text()
    )
    assert Path("carrier.csv").exists()
    assert not Path("collection-2027-03-08.xlsx").exists()
