from pathlib import Path

import pytest

from tests.journeys.college import CORRECTED, done


@pytest.fixture
def store(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The path of a store that is not there yet; the work goes on beside it."""
    path = tmp_path / "college.db"
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_DB", str(path))
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-31")  # no day of the tests lies ahead
    return path


@pytest.fixture
def loaded(store: Path) -> Path:
    """A store that holds the corrected set."""
    done("load", str(CORRECTED))
    return store
