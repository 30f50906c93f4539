import sqlite3
from pathlib import Path

import pytest
from sqlalchemy.exc import OperationalError

from prepstore.ledger.errors import NewerStoreError, NotAStoreError, StoreError
from prepstore.ledger.sentences import code_of, sentences

PATH = Path("prepstore.db")


def _error(code: int) -> sqlite3.OperationalError:
    error = sqlite3.OperationalError("what SQLite says")
    error.sqlite_errorcode = code
    return error


def _said(error: Exception) -> str:
    with pytest.raises(StoreError) as raised, sentences(PATH):
        raise error
    said = str(raised.value)
    assert said.endswith(".")
    assert "prepstore.db" in said
    return said


@pytest.mark.parametrize(
    ("code", "says"),
    [
        (sqlite3.SQLITE_BUSY, "is in use by another program"),
        (sqlite3.SQLITE_BUSY_RECOVERY, "is in use by another program"),
        (sqlite3.SQLITE_FULL, "has no room left on its disk"),
        (sqlite3.SQLITE_IOERR_WRITE, "(what SQLite says)"),
        (sqlite3.SQLITE_READONLY, "can be read by you but not written"),
        (sqlite3.SQLITE_NOTADB, "is not a prepstore file"),
        (sqlite3.SQLITE_CORRUPT, "is damaged"),
        (sqlite3.SQLITE_CANTOPEN, "cannot be opened"),
        (sqlite3.SQLITE_CONSTRAINT, "cannot be used: what SQLite says. To see what is wrong"),
    ],
)
def test_what_sqlite_says_is_a_sentence(code: int, says: str) -> None:
    assert says in _said(_error(code))
    assert says in _said(OperationalError("SELECT", {}, _error(code)))


def test_a_file_of_another_program_or_version_is_a_sentence() -> None:
    assert "is not a prepstore store" in _said(NotAStoreError("a"))
    assert "newer prepstore" in _said(NewerStoreError("a"))


def test_any_other_mistake_is_left_as_it_is() -> None:
    with pytest.raises(KeyError), sentences(PATH):
        raise KeyError
    assert code_of(KeyError()) == sqlite3.SQLITE_ERROR
