"""Numbers that are reserved by printing labels, in a copy of the sample's store."""

import json
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

from prepstore.cli import labels
from prepstore.cli.store_option import Store
from prepstore.report.labels.contents import LabelSet
from tests.cli.conftest import Run

WEEK = ("--week", "2027-W10", "--today", "2027-03-03")


def _numbers(run: Run) -> dict[str, str]:
    rows = json.loads(run("stock", "labels", "--json").stdout)
    return {row["label"]: row["solution"] for row in rows}


def _foretold(run: Run) -> list[tuple[str, str]]:
    found = json.loads(run("labels", *WEEK, "--json", "-").stdout)
    return [(one["number"], one["solution"]) for one in found["labels"]]


def test_json_alone_reserves_nothing_and_a_print_what_the_json_says(own: Run) -> None:
    foretold = _foretold(own)
    assert _numbers(own) == {}
    told = own("labels", *WEEK, "--out", "a.pdf")
    count = len(foretold)
    assert told.stdout.startswith(
        f"{count} numbers are reserved for the batches to be made.\nRecorded as entry "
    )
    assert _numbers(own) == dict(foretold)
    again = own("labels", *WEEK, "--of", "bottles", "--out", "b.pdf")
    assert "reserved" not in again.stdout
    assert _foretold(own) == foretold


def test_a_batch_gets_the_number_on_its_label_whatever_is_made_or_received_first(own: Run) -> None:
    own("labels", *WEEK)
    numbers = _foretold(own)
    day = numbers[0][0][:10]
    printed = [number for number, _ in numbers if number.startswith(day)]
    came = own("stock", "receive", "acetone", "1 L", "--on", day)
    assert f"{day}-{len(printed) + 1}" in came.stdout
    last, solution = numbers[len(printed) - 1]
    made = own("stock", "make", solution, "--week", "2027-W10", "--on", day, "--by", "Ana")
    assert last in made.stdout
    assert last not in _numbers(own)


def test_a_reserved_number_is_given_to_no_other_lot_until_it_is_free_again(own: Run) -> None:
    entry = own("labels", *WEEK).stdout.split("as entry ")[1].split(".")[0]
    number, solution = _foretold(own)[0]
    refused = own("stock", "receive", "acetone", "1 L", "--lot", number)
    assert refused.exit_code == 1
    assert f"{number} is reserved for the batch of {solution} that is made on" in refused.stderr
    freed = own("stock", "undo", entry)
    assert f"{number} is free again, no longer reserved for {solution}" in freed.stdout
    assert _numbers(own) == {}
    assert own("stock", "receive", "acetone", "1 L", "--lot", number).exit_code == 0
    undone_twice = own("stock", "undo", entry)
    assert undone_twice.exit_code == 1
    assert "reserved or freed again by entry" in undone_twice.stderr


def test_labels_that_do_not_fit_reserve_nothing(own: Run) -> None:
    refused = own("labels", *WEEK, "--size", "20x10")
    assert refused.exit_code == 1
    assert _numbers(own) == {}
    assert own("stock", "labels").stdout.strip().endswith("0 labels printed and not yet used")


def test_where_there_is_nothing_to_print_nothing_is_reserved(own: Run) -> None:
    usual = labels.label_contents
    blank = lambda store, asked: replace(usual(store, asked), contents=())  # noqa: E731
    with patch("prepstore.cli.labels.label_contents", blank):
        told = own("labels", *WEEK)
    assert told.stdout == "There is nothing to label, so no PDF is written.\n"
    assert _numbers(own) == {}


def test_a_number_that_somebody_gives_out_meanwhile_is_not_printed(own: Run) -> None:
    number, _ = _foretold(own)[0]
    usual = labels.label_contents

    def slowly(store: Store, asked: labels.AskedLabels) -> LabelSet:
        found = usual(store, asked)
        assert own("stock", "receive", "acetone", "1 L", "--lot", number).exit_code == 0
        return found

    with patch("prepstore.cli.labels.label_contents", slowly):
        refused = own("labels", *WEEK)
    assert refused.exit_code == 1
    assert f"{number} was given out in the meantime, so nothing was printed" in refused.stderr
    assert not Path("labels-2027-W10.pdf").exists()
    assert _numbers(own) == {}
