from pathlib import Path

import pytest
from sqlalchemy import text

from prepstore.cli.loading import looked_through, take_in
from prepstore.cli.rooms import stored_rows
from prepstore.ledger.store_file import writing
from prepstore.problems import ProblemsError
from prepstore.tables.read import read_set
from tests.cli.conftest import SAMPLE


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "prepstore.db"
    take_in(path, *read_set(SAMPLE), count=False)
    return path


def test_a_trial_tells_the_same_as_the_load_and_makes_no_store(tmp_path: Path) -> None:
    path = tmp_path / "new.db"
    tried = looked_through(path, *read_set(SAMPLE), count=False)
    assert not path.exists()
    loaded = take_in(path, *read_set(SAMPLE), count=False)
    assert tried.changes == loaded.changes
    assert sum(tried.changes.added.values()) == sum(map(len, stored_rows(path).values()))


def test_a_set_loaded_again_changes_nothing(store: Path) -> None:
    again = take_in(store, *read_set(SAMPLE), count=False)
    assert not any(again.changes.changed.values())
    assert again.entry is None


def test_a_load_may_mend_what_the_store_has_wrong_and_ignores_the_rest(
    store: Path, tmp_path: Path
) -> None:
    with writing(store) as connection:
        for lot in ("L0236", "L0237"):
            connection.execute(
                text("update stock set expiry = '3027-01-31' where lot = :lot"), {"lot": lot}
            )
    folder = tmp_path / "mend"
    folder.mkdir()
    cells = "lot,item,amount,expiry\nL0236,acetone,1.4 L,2028-12-31\n"
    (folder / "stock.csv").write_text(cells, "utf-8")
    rows, problems = read_set(folder)
    assert take_in(store, rows, problems, count=False).changes.changed["stock"] == 1
    wrong = cells.replace("2028-12-31", "4028-12-31")
    (folder / "stock.csv").write_text(wrong, "utf-8")
    rows, problems = read_set(folder)
    with pytest.raises(ProblemsError) as told:
        take_in(store, rows, problems, count=False)
    assert [one.place.source for one in told.value.problems] == ["stock.csv"]
