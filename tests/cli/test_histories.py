from pathlib import Path

import pytest

from prepstore.cli.histories import looked_through, move_in, rows_with_history
from prepstore.cli.rooms import stored_rows
from prepstore.history import HISTORY
from prepstore.ledger.errors import StoreError
from prepstore.ledger.store_file import writing
from prepstore.problems import ProblemsError, RefusedError
from tests.ledger.rows_of import store_with_lots
from tests.tables.small_history import SET, changed
from tests.tables.written_rows import written


def test_the_rows_of_a_store_come_with_its_history(tmp_path: Path) -> None:
    store = store_with_lots(tmp_path / "prepstore.db", L1="500")
    rows = rows_with_history(store)
    assert {name: rows[name] for name in rows if name not in HISTORY} == stored_rows(store)
    assert len(rows["movements"]) == 1


def test_a_history_moves_into_a_store_that_is_not_there_or_holds_nothing(tmp_path: Path) -> None:
    empty = tmp_path / "empty.db"
    with writing(empty):
        pass
    for path in (tmp_path / "new.db", empty):
        looked_through(path, written(**SET), [])
        move_in(path, written(**SET), [])
        assert len(rows_with_history(path)["movements"]) == 11


@pytest.mark.parametrize("load", [move_in, looked_through])
def test_a_store_that_holds_anything_is_refused_before_anything_is_checked(
    load: object, tmp_path: Path
) -> None:
    store = store_with_lots(tmp_path / "prepstore.db")
    before = store.read_bytes()
    with pytest.raises(RefusedError, match="Name a new file with --db, or load the tables without"):
        load(store, written(**changed("stock", "480 g", "some")), [])  # type: ignore[operator]
    assert store.read_bytes() == before


def test_a_mistake_leaves_no_store_behind(tmp_path: Path) -> None:
    with pytest.raises(ProblemsError):
        move_in(tmp_path / "new.db", written(**changed("stock", "480 g", "481 g")), [])
    assert list(tmp_path.iterdir()) == []


def test_looking_leaves_no_store_behind(tmp_path: Path) -> None:
    looked_through(tmp_path / "new.db", written(**SET), [])
    assert list(tmp_path.iterdir()) == []


def test_a_store_that_is_not_there_has_no_rows(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="There is no store"):
        rows_with_history(tmp_path / "none.db")
