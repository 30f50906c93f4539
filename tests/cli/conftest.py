import json
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from prepstore.cli.main import app

SAMPLE = Path(__file__).parents[2] / "sample_inventory"
WEEK = ("--week", "2027-W10", "--today", "2027-03-03")

TODAY = "2027-03-31"
"""No day of the tests lies ahead of it."""

Run = Callable[..., Result]


@pytest.fixture(scope="session")
def sample_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a store that holds the sample inventory, to be read or copied."""
    path = tmp_path_factory.mktemp("store") / "prepstore.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PREPSTORE_TODAY", TODAY)
        result = CliRunner().invoke(app, ["--db", str(path), "load", str(SAMPLE)])
    assert result.exit_code == 0, result.output
    return path


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("PREPSTORE_DB", raising=False)
    monkeypatch.setenv("PREPSTORE_TODAY", TODAY)

    def invoke(*words: str) -> Result:
        return CliRunner().invoke(app, list(words))

    return invoke


@pytest.fixture
def run_sample(run: Run, sample_store: Path) -> Run:
    """Run a command on a store that holds the sample inventory."""

    def invoke(*words: str) -> Result:
        return run("--db", str(sample_store), *words)

    return invoke


@pytest.fixture
def run_own(run: Run, sample_store: Path) -> Run:
    """Run a command on a store of its own that holds the sample inventory."""
    shutil.copy(sample_store, "prepstore.db")
    return run


@pytest.fixture
def stock(run_own: Run) -> Run:
    """Run `prepstore stock` on a store that may be changed."""
    return lambda *words: run_own("stock", *words)


@pytest.fixture
def waste(run: Run, stock: Run) -> Run:  # noqa: ARG001 - it puts the store in its place
    """Run `prepstore waste` on a store that may be changed."""
    return lambda *words: run("waste", *words)


@pytest.fixture
def own(run: Run, sample_store: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command on a copy of the sample's store, on the day before its week is prepared."""
    shutil.copy(sample_store, "prepstore.db")
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-03")
    return run


SIGN = ("--by", "Kim", "--on", "2027-03-08")


def amount_of(stock: Run, lot: str) -> str | None:
    """Return what a lot holds as its row says it; None where there is no such lot."""
    rows = json.loads(stock("list", "--json").stdout)
    return next((row["amount"] for row in rows if row["lot"] == lot), None)


def history_of(stock: Run, *words: str) -> list[dict[str, Any]]:
    """Return the rows of a history."""
    rows: list[dict[str, Any]] = json.loads(stock("history", *words, "--json").stdout)
    return rows
