import shutil
from pathlib import Path

import pytest

from prepstore.ledger.place import Place
from tests.conftest import Places
from tests.journeys.college import CORRECTED, done

TODAY = "2027-03-31"
"""No day of the tests lies ahead of it."""


@pytest.fixture
def store(tmp_path: Path, places: Places, monkeypatch: pytest.MonkeyPatch) -> Place:
    """The place of a store that is not there yet; the work goes on in a folder of its own."""
    place = places("college.db")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_DB", str(place))
    monkeypatch.setenv("PREPSTORE_TODAY", TODAY)
    return place


@pytest.fixture(scope="session")
def corrected_store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A store in a file that holds the corrected set, to be copied."""
    path = tmp_path_factory.mktemp("college") / "college.db"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PREPSTORE_TODAY", TODAY)
        done("--db", str(path), "load", str(CORRECTED))
    return path


@pytest.fixture
def loaded(store: Place, corrected_store: Path) -> Place:
    """A store of its own that holds the corrected set."""
    if isinstance(store, Path):
        shutil.copy(corrected_store, store)
    else:
        done("load", str(CORRECTED))
    return store
