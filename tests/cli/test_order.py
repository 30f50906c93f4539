import csv
from decimal import Decimal
from pathlib import Path

from tests.cli.conftest import WEEK, Run


def test_orders_are_one_file_a_supplier(run_sample: Run) -> None:
    result = run_sample("order", "export", *WEEK, "--out", "orders")
    assert result.exit_code == 0
    files = sorted(Path("orders").glob("*.csv"))
    rows = [row for file in files for row in csv.DictReader(file.read_text("utf-8").splitlines())]
    assert len(files) == len({row["supplier"] for row in rows})
    assert all(Decimal(row["price"]) * int(row["packs"]) == Decimal(row["cost"]) for row in rows)
    assert [row["stops"] for row in rows if row["late"]] == ["W10-Fri-1"]


def test_a_week_without_sessions_has_nothing_that_falls_short(run_sample: Run) -> None:
    options = ("--week", "2027-W30", "--today", "2027-07-20", "--out", "orders")
    assert run_sample("order", "export", *options).exit_code == 0
