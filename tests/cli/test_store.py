import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.conftest import Run


@pytest.fixture
def store(run: Run, sample_store: Path) -> Run:
    shutil.copy(sample_store, "prepstore.db")
    return run


def test_a_backup_is_made_and_gone_back_to(store: Run) -> None:
    assert "lots, " in store("backup", "kept.db").stdout
    store("stock", "use", "L0236", "1 mL")
    result = store("restore", "kept.db")
    assert "prepstore.db is kept.db now" in result.stdout
    (aside,) = Path().glob("prepstore.db.before-restore-*Z")
    assert f"prepstore restore {aside}" in result.stdout
    assert "1.4 L" in store("stock", "list", "--item", "acetone").stdout
    store("restore", str(aside))
    assert "1399 mL" in store("stock", "list", "--item", "acetone").stdout


def test_a_sound_store_says_so(store: Run) -> None:
    result = store("check")
    assert result.exit_code == 0
    assert result.stdout.startswith("prepstore.db is sound: ")


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE balances SET billionths = 1 WHERE lot = 'l0236'", "Lot l0236: its movements come"),
        ("UPDATE stock SET amount = '7 L' WHERE key = 'l0236'", "Lot L0236: its row says 7 L"),
        ("UPDATE items SET unit = 'bucket' WHERE key = 'acetone'", "'bucket'"),
    ],
)
def test_what_another_program_spoilt_is_found(statement: str, says: str, store: Run) -> None:
    with closing(sqlite3.connect("prepstore.db")) as ledger, ledger:
        ledger.execute(statement)
    result = store("check")
    assert result.exit_code == 1
    assert says in result.stderr
    assert "found." in result.stderr


@pytest.mark.parametrize("words", [("backup", "kept.db"), ("check",), ("restore", "none.db")])
def test_where_there_is_nothing_the_answer_is_a_sentence(words: tuple[str, ...], run: Run) -> None:
    result = run(*words)
    assert result.exit_code == 1
    assert result.stderr.startswith("There is no ")
    assert list(Path().iterdir()) == []
