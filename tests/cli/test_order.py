import csv
import json
import shutil
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

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


@pytest.fixture
def order(run: Run, sample_store: Path) -> Run:
    """Run `prepstore order` on a store that may be changed."""
    shutil.copy(sample_store, "prepstore.db")
    return lambda *words: run("order", *words)


def _on_order(order: Run, *words: str) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(
        order("list", "--today", "2027-03-03", "--json", *words).stdout
    )
    return rows


def test_orders_are_placed_once_and_plans_count_them(order: Run, run: Run) -> None:
    before = {row["pack"]: row["packs"] for row in _on_order(order)}
    planned = json.loads(run("plan", *WEEK, "--json", "-").stdout)["orders"]
    result = order("place", *WEEK, "--by", "Kim")
    assert result.exit_code == 0
    after = {(row["pack"], row["reference"]): row for row in _on_order(order)}
    for row in planned:
        if row["pack"] in before and row["late"]:
            continue  # as many are on their way already
        found = after[row["pack"], f"{row['supplier']} 2027-03-03"]
        assert (found["packs"], found["price"]) == (row["packs"], row["price"])
    again = order("place", *WEEK)
    assert "There is nothing to order." in again.stdout
    assert "Nothing was recorded." in again.stdout


def test_orders_of_one_supplier_are_placed_or_only_shown(order: Run) -> None:
    before = _on_order(order)
    shown = order("place", *WEEK, "--supplier", "brackmere consumables", "--dry-run")
    assert shown.stdout.startswith("Brackmere Consumables, ")
    assert _on_order(order) == before
    order("place", *WEEK, "--supplier", "Brackmere Consumables", "--reference", "PO 27-050")
    new = [row for row in _on_order(order) if row["reference"] == "PO 27-050"]
    assert {row["supplier"] for row in new} == {"Brackmere Consumables"}
    assert len(_on_order(order)) == len(before) + len(new)
    unknown = order("place", *WEEK, "--supplier", "Fenick")
    assert unknown.exit_code == 1
    assert "is not a known supplier" in unknown.stderr


def test_what_is_on_order_is_put_off_cancelled_and_told(order: Run, run: Run) -> None:
    sign = ("--by", "Kim", "--on", "2027-03-04")
    order("due", "PO 27-036", "--to", "2027-03-19", "--reason", "supplier rang", *sign)
    assert {row["due"] for row in _on_order(order) if row["reference"] == "PO 27-036"} == {
        "2027-03-19"
    }
    order("cancel", "PO 27-045", "--packs", "1", *sign)
    assert [row["packs"] for row in _on_order(order) if row["pack"] == "OW-1373"] == [1]
    order("cancel", "--pack", "OW-1373", *sign)
    assert not [row for row in _on_order(order) if row["pack"] == "OW-1373"]
    rows = json.loads(order("history", "--pack", "OW-1373", "--json").stdout)
    assert [(row["what"], row["packs"]) for row in rows] == [
        ("placed", 2),
        ("cancelled", -1),
        ("cancelled", -1),
    ]
    run("stock", "undo", "4")
    assert [row["packs"] for row in _on_order(order) if row["pack"] == "OW-1373"] == [1]
    told = order("history", "PO 27-036").stdout
    assert told.count("due changed") == 2
    assert "supplier rang" in told
    assert run("check").exit_code == 0


def test_what_is_overdue_can_be_listed_alone(order: Run) -> None:
    assert [row["pack"] for row in _on_order(order, "--overdue")] == ["BC-1024"]
    assert "OVERDUE" in order("list", "--overdue", "--today", "2027-03-03").stdout
    assert "reference" in order("list", "--csv").stdout


def test_an_order_must_be_named(order: Run) -> None:
    assert order("cancel").exit_code == 2
    assert order("due", "--to", "2027-03-19").exit_code == 2
    unknown = order("cancel", "PO 1")
    assert unknown.exit_code == 1
    assert "Nothing is on order as 'PO 1'" in unknown.stderr


def test_orders_for_a_year_that_is_far_off_are_told(
    run: Run, sample_store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-03")
    shutil.copy(sample_store, "prepstore.db")
    far = run("order", "place", "--week", "2072-W10", "--today", "2072-02-28", "--by", "Kim")
    assert "2072-02-28 is more than a year ahead of today" in far.stderr
    near = run("order", "place", "--week", "2027-W10", "--today", "2027-03-03", "--by", "Kim")
    assert "more than a year ahead" not in near.stderr


def test_a_pack_that_has_come_already_is_not_another_pack(stock: Run) -> None:
    first = stock("receive", "LF-1008", "--by", "Kim")
    assert first.exit_code == 0
    told = stock("receive", "LF-1008", "--by", "Kim")
    assert told.exit_code == 1
    assert "Nothing of LF-1008 is on order: it has come already" in told.stderr
    assert "Did you mean" not in told.stderr
