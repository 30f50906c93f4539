import json
from pathlib import Path
from typing import Any

import pytest

from tests.cli.conftest import SIGN, Run

FENNICK = ("--supplier", "Fennick Trade Solvents")


def _rows(stock: Run, *words: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(stock("spending", *words, "--json").stdout)
    return rows


@pytest.fixture
def spent(stock: Run) -> Run:
    """Acetone bought in February and March, some of it used for a session."""
    for on, lot, price in (("2027-02-26", "L1", "24.90"), ("2027-03-08", "L2", "26.10")):
        words = ("--lot", lot, "--price", price, *FENNICK, "--on", on)
        stock("receive", "acetone", "5 L", *words)
    stock("use", "L1", "1 L", "--session", "W10-Mon-4", "--on", "2027-03-08")
    return stock


def test_spending_is_told_by_month_and_supplier_with_its_sum(spent: Run) -> None:
    assert spent("spending").stdout.splitlines() == [
        "month    supplier                cost       known",
        "2027-02  Fennick Trade Solvents  24.90 EUR  paid",
        "2027-03  Fennick Trade Solvents  26.10 EUR  paid",
        "51.00 EUR in all: paid",
    ]


@pytest.mark.parametrize(
    ("words", "costs"),
    [
        (("--from", "2027-02-26", "--to", "2027-03-08"), [24.9, 26.1]),
        (("--from", "2027-02-27"), [26.1]),
        (("--to", "2027-03-07"), [24.9]),
        (("--from", "2027-03-09"), []),
    ],
)
def test_only_the_days_that_are_asked_for_count(
    words: tuple[str, ...], costs: list[float], spent: Run
) -> None:
    assert [row["cost"] for row in _rows(spent, *words)] == costs


def test_what_was_bought_before_the_days_still_says_what_was_paid(spent: Run) -> None:
    (session,) = _rows(spent, "--by", "session", "--from", "2027-03-01")
    assert (session["session"], session["practical"]) == ("W10-Mon-4", "PHY-04")
    assert (session["cost"], session["known"]) == (4.98, "paid")


def test_what_came_after_the_last_day_changes_no_price(spent: Run) -> None:
    spent("receive", "L1", "5 L", "--price", "100", "--on", "2027-03-20")
    assert _rows(spent, "--by", "practical", "--to", "2027-03-19")[0]["cost"] == 4.98
    assert _rows(spent, "--by", "practical")[0]["cost"] == 12.49


def test_what_was_undone_later_is_not_spent(spent: Run) -> None:
    entries = json.loads(spent("history", "L2", "--json").stdout)
    spent("undo", str(entries[0]["entry"]), "--on", "2027-03-20")
    assert [row["cost"] for row in _rows(spent, "--to", "2027-03-19")] == [24.9]


def test_a_renamed_supplier_is_one_supplier(spent: Run) -> None:
    spent("rename", "Fennick Trade Solvents", "Fennick", "--on", "2027-03-09")
    words = ("--lot", "L3", "--price", "9", "--supplier", "Fennick", *SIGN)
    spent("receive", "acetone", "1 L", *words)
    assert {row["supplier"] for row in _rows(spent)} == {"Fennick"}


def test_a_workbook_is_written_beside_the_list(spent: Run) -> None:
    result = spent("spending", "--out", "spending.xlsx")
    assert result.stderr == "Wrote spending.xlsx\n"
    assert Path("spending.xlsx").exists()
    assert "51.00 EUR in all" in result.stdout


@pytest.mark.parametrize(
    "words",
    [
        ("--by", "room"),
        ("--out", "spending.csv"),
        ("--from", "2027-03-09", "--to", "2027-03-08"),
        ("--json", "--csv"),
    ],
)
def test_what_no_list_has_is_wrong_usage(words: tuple[str, ...], stock: Run) -> None:
    assert stock("spending", *words).exit_code == 2


def test_an_estimate_goes_by_what_was_sold_up_to_the_last_day(stock: Run, run: Run) -> None:
    stock("receive", "acetone", "1 L", "--lot", "L1", "--on", "2027-03-08")
    assert run("order", "cancel", "PO 27-047", "--reason", "moved").exit_code == 0
    retired = stock("retire", "Fennick Trade Solvents", "--on", "2027-03-20")
    assert retired.exit_code == 0, retired.stderr
    # the others sell it dearer
    assert [row["estimated"] for row in _rows(stock, "--to", "2027-03-19")] == [5.3]
    assert _rows(stock)[0]["estimated"] > 5.3
