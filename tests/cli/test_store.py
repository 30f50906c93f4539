import json
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
    assert "prepstore.db now holds what kept.db held" in result.stdout
    (aside,) = Path().glob("prepstore.db.before-restore-*Z")
    assert f"prepstore restore {aside}" in result.stdout
    assert "1.4 L" in store("stock", "list", "--item", "acetone").stdout
    store("restore", str(aside))
    assert "1.399 L" in store("stock", "list", "--item", "acetone").stdout


def test_a_sound_store_says_so(store: Run) -> None:
    result = store("check")
    assert result.exit_code == 0
    assert result.stdout.startswith("prepstore.db is sound: ")


@pytest.mark.parametrize(
    ("statement", "says"),
    [
        ("UPDATE balances SET billionths = 1 WHERE lot = 'l0236'", "Lot l0236: its movements come"),
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


def test_what_a_backup_overwrites_is_kept_and_how_to_have_it_back_is_told(store: Run) -> None:
    store("backup", "kept.db")
    store("stock", "use", "L0236", "1 mL")
    said = store("backup", "kept.db").stdout
    (aside,) = Path().glob("kept.db.before-backup-*Z")
    assert f"What was there is kept as {aside}." in said
    hint = said.split("To get it back: prepstore ")[1].splitlines()[0]
    assert hint == f"--db kept.db restore {aside}"
    assert store(*hint.split()).exit_code == 0
    assert "1.4 L" in store("--db", "kept.db", "stock", "list", "--item", "acetone").stdout


def test_a_backup_to_a_new_name_says_nothing_of_what_was_there(store: Run) -> None:
    assert "What was there" not in store("backup", "kept.db").stdout


SPOILT = "UPDATE balances SET billionths = 1 WHERE lot = 'l0236'"


@pytest.mark.parametrize("statement", [SPOILT, "UPDATE items SET unit = 'bucket'"])
def test_a_backup_with_faults_is_refused_with_each_of_them(statement: str, store: Run) -> None:
    store("backup", "kept.db")
    with closing(sqlite3.connect("kept.db")) as ledger, ledger:
        ledger.execute(statement)
    before, names = Path("prepstore.db").read_bytes(), set(Path().iterdir())
    result = store("restore", "kept.db")
    assert result.exit_code == 1
    *faults, last, nothing = result.stderr.splitlines()
    assert faults == store("--db", "kept.db", "check").stderr.splitlines()[:-1]
    count = "1 fault." if len(faults) == 1 else f"{len(faults)} faults."
    assert last == (f"The backup kept.db has {count} To put it in place anyway: --with-faults.")
    assert nothing == "Nothing was changed."
    assert Path("prepstore.db").read_bytes() == before
    assert set(Path().iterdir()) == names


def test_a_backup_with_faults_is_put_in_place_where_that_is_asked_for(store: Run) -> None:
    store("backup", "kept.db")
    with closing(sqlite3.connect("kept.db")) as ledger, ledger:
        ledger.execute(SPOILT)
    result = store("restore", "kept.db", "--with-faults")
    assert result.exit_code == 0
    assert result.stderr.startswith("Lot l0236: its movements come to")
    assert "What was there is kept as prepstore.db.before-restore-" in result.stdout
    assert store("check").exit_code == 1


def test_a_store_of_another_name_is_told_how_to_have_back_what_was_there(store: Run) -> None:
    shutil.copy("prepstore.db", "other.db")
    said = store("--db", "other.db", "restore", "prepstore.db").stdout
    assert "To get it back: prepstore --db other.db restore other.db.before-restore-" in said


@pytest.mark.parametrize(
    "words", [("stock", "list"), ("check",), ("backup", "kept.db"), ("load", "tables")]
)
def test_a_store_that_is_a_link_to_itself_is_a_sentence(words: tuple[str, ...], run: Run) -> None:
    Path("loop.db").symlink_to("loop.db")
    Path("tables").mkdir()
    Path("tables/settings.csv").write_text("setting,value\n", "utf-8")
    result = run("--db", "loop.db", *words)
    assert result.exit_code == 1
    assert result.stderr == "loop.db cannot be used: it is a link that leads back to itself.\n"


@pytest.mark.parametrize(
    "words", [("backup", "loop"), ("export", "loop"), ("restore", "loop"), ("template", "loop")]
)
def test_a_target_that_is_a_link_to_itself_is_a_sentence(
    words: tuple[str, ...], store: Run
) -> None:
    Path("loop").symlink_to("loop")
    result = store(*words)
    assert result.exit_code == 1
    assert result.stderr == "loop cannot be used: it is a link that leads back to itself.\n"


@pytest.mark.parametrize("words", [("backup", "."), ("restore", ".."), ("backup", "/")])
def test_what_is_no_file_is_wrong_usage(words: tuple[str, ...], store: Run) -> None:
    told = store(*words)
    assert told.exit_code == 2
    assert "is not a file" in told.stderr


@pytest.mark.parametrize("path", ["", ".", "/"])
def test_a_store_without_a_name_is_wrong_usage(path: str, run: Run) -> None:
    assert run("--db", path, "stock", "list").exit_code == 2


def test_what_a_lot_holds_is_its_movements_whatever_its_row_says(store: Run) -> None:
    before = store("stock", "list", "--item", "acetone", "--json").stdout
    with closing(sqlite3.connect("prepstore.db")) as connection:
        connection.execute("UPDATE stock SET amount = '7 L' WHERE key = 'l0236'")
        connection.commit()
    (was,) = (lot for lot in json.loads(before) if lot["lot"] == "L0236")
    now = json.loads(store("stock", "list", "--item", "acetone", "--json").stdout)
    (lot,) = (lot for lot in now if lot["lot"] == "L0236")
    assert lot["number"] == was["number"]
    assert lot["amount"] == f"{was['number']} mL"
