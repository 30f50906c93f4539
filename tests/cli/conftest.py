from collections.abc import Callable
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from prepstore.cli.main import app

SAMPLE = Path(__file__).parents[2] / "sample_inventory"
WEEK = ("--week", "2027-W10", "--today", "2027-03-03")

Run = Callable[..., Result]


@pytest.fixture(scope="session")
def sample_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("store") / "prepstore.db"
    result = CliRunner().invoke(app, ["--db", str(path), "load", str(SAMPLE)])
    assert result.exit_code == 0, result.output
    return path


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run a command in a folder of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("PREPSTORE_DB", raising=False)

    def invoke(*words: str) -> Result:
        return CliRunner().invoke(app, list(words))

    return invoke


@pytest.fixture
def run_sample(run: Run, sample_store: Path) -> Run:
    """Run a command on a store that holds the sample inventory."""

    def invoke(*words: str) -> Result:
        return run("--db", str(sample_store), *words)

    return invoke
