import shutil
from pathlib import Path

import pytest

from tests.journeys.college import CORRECTED, done

TODAY = "2027-03-31"
"""No day of the tests lies ahead of it."""


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The path of a store that is not there yet; the work goes on beside it."""
    path = tmp_path / "college.db"
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_DB", str(path))
    monkeypatch.setenv("PREPSTORE_TODAY", TODAY)
    return path


@pytest.fixture(scope="session")
def corrected_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store that holds the corrected set, to be copied."""
    path = tmp_path_factory.mktemp("college") / "college.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PREPSTORE_TODAY", TODAY)
        done("--db", str(path), "load", str(CORRECTED))
    return path


@pytest.fixture
def loaded(store: Path, corrected_store: Path) -> Path:
    """A store of its own that holds the corrected set."""
    shutil.copy(corrected_store, store)
    return store
