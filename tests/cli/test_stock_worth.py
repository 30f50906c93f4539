import csv
import json
from pathlib import Path
from typing import Any

import pytest
from openpyxl import load_workbook

from tests.cli.conftest import SIGN, Run

NEW = ("--lot", "L0500", "--price", "25", "--supplier", "Fennick Trade Solvents")


def _rows(stock: Run, *words: str) -> dict[str, dict[str, Any]]:
    rows = json.loads(stock("list", *words, "--json").stdout)
    return {row["lot"]: row for row in rows}


def test_lots_are_worth_what_was_paid_else_the_cheapest_pack_and_the_total_says_which(
    stock: Run,
) -> None:
    stock("receive", "acetone", "5 L", *NEW, *SIGN)
    lines = stock("list", "--item", "acetone", "--value").stdout.splitlines()
    # 5 L for 26.50 is the cheapest pack a litre
    assert [line.split()[-4:] for line in lines[1:4]] == [
        ["EUR/L", "7.42", "EUR", "estimated"],
        ["EUR/L", "13.25", "EUR", "estimated"],
        ["EUR/L", "25.00", "EUR", "paid"],
    ]
    assert lines[4] == "3 lots, 45.67 EUR: paid 55 %, estimated 45 %"


def test_a_day_that_is_past_shows_its_lots_amounts_cells_and_values(stock: Run) -> None:
    today = _rows(stock, "--item", "acetone")
    stock("receive", "acetone", "5 L", *NEW, *SIGN)
    then = stock("list", "--value").stdout
    stock("use", "L0500", "1 L", "--on", "2027-03-09")
    stock("receive", "L0500", "1 L", "--price", "100", "--on", "2027-03-09")
    stock("move", "L0236", "bench 3", "--on", "2027-03-09")
    stock("open", "L0241", "--on", "2027-03-09")
    assert stock("list", "--value", "--on", "2027-03-08").stdout == then
    moved = _rows(stock, "--item", "acetone", "--on", "2027-03-08")
    assert moved["L0236"] == today["L0236"]
    none = stock("list", "--place", "bench 3", "--on", "2027-03-08")
    assert "'bench 3' is not a known place." in none.stderr
    assert list(_rows(stock, "--place", "bench 3")) == ["L0236"]


def test_today_and_later_days_are_listed_as_they_are_now(stock: Run) -> None:
    stock("use", "L0236", "1 L", "--on", "2027-03-31")
    now = stock("list").stdout
    assert stock("list", "--on", "2027-03-31").stdout == now
    assert stock("list", "--on", "2027-04-05").stdout == now


def test_what_goes_out_of_date_is_told_of_the_lots_of_that_day(stock: Run) -> None:
    # gone since, so that only the list of that day can name it
    words = ("--expiring", "0", "--on", "2027-03-30", "--item", "sodium hydroxide 2 mol/L")
    stock(
        "receive", "sodium hydroxide 2 mol/L", "1 L", "--lot", "S1", "--expiry", "2027-03-20", *SIGN
    )
    assert list(_rows(stock, *words)) == ["S1"]
    stock("discard", "S1", "--reason", "old", "--on", "2027-03-31")
    assert list(_rows(stock, *words)) == ["S1"]
    now = ("--expiring", "0", "--item", "sodium hydroxide 2 mol/L")
    assert _rows(stock, *now) == {}
    for entry in ("3", "2"):  # not even its row is left
        assert stock("undo", entry, "--on", "2027-03-31").exit_code == 0
    assert list(_rows(stock, *words)) == ["S1"]


def test_groups_add_up_to_the_same_whatever_they_are_by(stock: Run) -> None:
    sums = set()
    for by in ("item", "storage", "place"):
        rows = list(csv.DictReader(stock("list", "--by", by, "--csv").stdout.splitlines()))
        sums.add(round(sum(float(row["value"] or 0) for row in rows), 2))
        (total,) = [
            line for line in stock("list", "--by", by).stdout.splitlines() if " lots, " in line
        ]
        assert total.startswith(f"{sum(int(row['lots']) for row in rows)} lots, ")
    assert len(sums) == 1


def test_a_list_is_written_to_print_and_says_what_it_comes_to(stock: Run) -> None:
    result = stock("list", "--on", "2027-03-08", "--by", "place", "--out", "y.xlsx")
    assert result.stdout == ""
    assert result.stderr.startswith("Wrote y.xlsx\n14")
    sheet: Any = load_workbook("y.xlsx").active
    assert sheet["A1"].value == "Stock on Mon 8 Mar 2027, by place"
    both = stock("list", "--value", "--out", "z.xlsx", "--json")
    assert json.loads(both.stdout)[0]["value"]
    assert Path("z.xlsx").exists()


@pytest.mark.parametrize(
    "words",
    [("--by", "shelf"), ("--out", "list.csv"), ("--value", "--json", "--csv")],
)
def test_what_no_list_has_is_wrong_usage(words: tuple[str, ...], stock: Run) -> None:
    assert stock("list", *words).exit_code == 2


def test_what_is_below_its_minimum_is_told_beside_the_values(stock: Run) -> None:
    words = ("list", "--below-minimum", "--item", "acetone")
    stock("use", "acetone", "3.9 L", *SIGN)
    told = stock(*words).stdout.splitlines()[-1]
    assert told.startswith("acetone: 0 mL, minimum")
    assert stock(*words, "--value").stdout.splitlines()[-1] == told
