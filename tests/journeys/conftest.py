from pathlib import Path

import pytest

from prepstore.ledger.place import Place
from tests.conftest import Places
from tests.journeys.college import CORRECTED, done


@pytest.fixture
def store(tmp_path: Path, places: Places, monkeypatch: pytest.MonkeyPatch) -> Place:
    """The place of a store that is not there yet; the work goes on in a folder of its own."""
    place = places("college.db")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("PREPSTORE_DB", str(place))
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-31")  # no day of the tests lies ahead
    return place


@pytest.fixture
def loaded(store: Place) -> Place:
    """A store that holds the corrected set."""
    done("load", str(CORRECTED))
    return store
