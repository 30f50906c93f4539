import sqlite3
import threading
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.columns import TABLES
from prepstore.ledger import schema
from prepstore.ledger.rows import Movement
from prepstore.ledger.schema import STEPS, NewerStoreError, NotAStoreError, bring_up_to_date


def _ask(path: Path, question: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as ledger:
        return ledger.execute(question).fetchall()


def _columns(path: Path, table: str) -> list[object]:
    return [name for _, name, *_ in _ask(path, f'PRAGMA table_info("{table}")')]


def _tables(path: Path) -> set[object]:
    return {name for (name,) in _ask(path, "SELECT name FROM sqlite_master WHERE type = 'table'")}


def test_steps_from_nothing_give_the_columns_of_the_tables(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    assert _tables(path) == {*TABLES, "movements"}
    for name, table in TABLES.items():
        assert _columns(path, name) == ["position", "key", *table.columns]
    assert _columns(path, "movements") == list(Movement.model_fields)
    assert _ask(path, "PRAGMA user_version") == [(len(STEPS),)]


def test_the_steps_again_change_nothing(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    before = path.read_bytes()
    bring_up_to_date(path, may_begin=True)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_has_had_the_first_step_only_is_copied_and_brought_up_to_date(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    with monkeypatch.context() as old:
        old.setattr(schema, "STEPS", STEPS[:1])
        bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger, ledger:
        ledger.execute("INSERT INTO items (position, item) VALUES (2, 'salt')")
    bring_up_to_date(path, may_begin=True)
    assert _ask(path, "SELECT position, item FROM items") == [(2, "salt")]
    assert "movements" in _tables(path)
    copy = tmp_path / "prepstore.db.before-step-2"
    assert _ask(copy, "PRAGMA user_version") == [(1,)]
    assert _ask(copy, "SELECT item FROM items") == [("salt",)]
    assert "movements" not in _tables(copy)


def test_a_step_that_fails_leaves_no_trace(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def fails_half_way(ledger: sqlite3.Connection) -> None:
        ledger.execute("CREATE TABLE half (a TEXT)")
        ledger.execute("INSERT INTO items (position, item) VALUES (2, 'half')")
        raise sqlite3.IntegrityError("half way")

    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    monkeypatch.setattr(schema, "STEPS", (*STEPS, fails_half_way))
    with pytest.raises(sqlite3.IntegrityError, match="half way"):
        bring_up_to_date(path, may_begin=True)
    assert _tables(path) == {*TABLES, "movements"}
    assert _ask(path, "SELECT count(*) FROM items") == [(0,)]
    assert _ask(path, "PRAGMA user_version") == [(len(STEPS),)]


def test_a_newer_file_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute(f"PRAGMA user_version = {len(STEPS) + 1}")
    before = path.read_bytes()
    with pytest.raises(NewerStoreError):
        bring_up_to_date(path, may_begin=True)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("makes", "begins"),
    [("CREATE TABLE items (name TEXT)", "may"), ("PRAGMA page_count", "may not")],
)
def test_a_file_that_is_no_store_is_refused_and_left_alone(
    makes: str, begins: str, tmp_path: Path
) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as other:
        other.execute(makes)
    before = path.read_bytes()
    with pytest.raises(NotAStoreError):
        bring_up_to_date(path, may_begin=begins == "may")
    assert path.read_bytes() == before


def test_several_at_once_may_make_one_store(tmp_path: Path) -> None:
    failed: list[Exception] = []

    def make(path: Path) -> None:
        try:
            bring_up_to_date(path, may_begin=True)
        except (sqlite3.Error, NotAStoreError) as error:
            failed.append(error)

    for attempt in range(50):
        path = tmp_path / f"{attempt}.db"
        makers = [threading.Thread(target=make, args=(path,)) for _ in range(4)]
        for maker in makers:
            maker.start()
        for maker in makers:
            maker.join()
        assert _tables(path) == {*TABLES, "movements"}, failed
    assert failed == []


@pytest.mark.parametrize("change", ["UPDATE movements SET number = '1'", "DELETE FROM movements"])
def test_movements_are_only_added(change: str, tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger:
        ledger.execute(
            "INSERT INTO movements (lot, what, number, unit, written, on_day, at_utc, by) "
            "VALUES ('L1', 'used', '-5', 'g', '5 g', '2027-01-25', '', 'somebody')"
        )
        ledger.commit()
        with pytest.raises(sqlite3.IntegrityError, match="movements are only added"):
            ledger.execute(change)
        assert ledger.execute("SELECT number FROM movements").fetchall() == [("-5",)]
