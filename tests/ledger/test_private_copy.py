import os
import signal
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, closing
from pathlib import Path

import pytest

from prepstore.ledger import private_copy as private_copy_of
from prepstore.ledger.errors import StoreError
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import Asked, recorded
from prepstore.ledger.private_copy import barred, may_write, private_copy
from prepstore.ledger.soundness import faults
from prepstore.ledger.store_file import reading
from prepstore.movements import What
from tests.ledger.faults import (
    IS_ADMINISTRATOR,
    LOTS,
    NOBODY,
    ORDINARY_USER,
    child,
    record_for_ever,
    refused,
)
from tests.ledger.rows_of import book, movement, store_with_lots

OWNER = 65533

pytestmark = pytest.mark.skipif(
    not hasattr(os, "fork"), reason="the children of these tests are forked, which Windows cannot"
)
among_users = pytest.mark.skipif(
    not IS_ADMINISTRATOR, reason="only an administrator can become another user"
)


@pytest.fixture
def shared(monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A store in a folder where others may look, and a folder for everybody's temporary files."""
    with tempfile.TemporaryDirectory() as name:
        folder, temporary = Path(name) / "store", Path(name) / "temporary"
        for made, mode in ((Path(name), 0o755), (folder, 0o755), (temporary, 0o1777)):
            made.mkdir(exist_ok=True)
            made.chmod(mode)
        monkeypatch.setattr(tempfile, "tempdir", str(temporary))
        yield store_with_lots(folder / "prepstore.db", L1="500")
        assert list(temporary.iterdir()) == []
        folder.chmod(0o755)


def _names(path: Path) -> set[str]:
    return {file.name for file in path.parent.iterdir()}


def _tells(path: Path) -> None:
    with reading(path) as connection:
        raise StoreError(str(balances(connection)["l1"] // 10**9))


@pytest.mark.parametrize(("of_file", "of_folder"), [(0o444, 0o777), (0o666, 0o555), (0o444, 0o555)])
def test_who_may_only_read_reads_and_leaves_nothing(
    of_file: int, of_folder: int, shared: Path
) -> None:
    shared.chmod(of_file)
    shared.parent.chmod(of_folder)
    before = shared.read_bytes()
    assert refused(lambda: _tells(shared), user=ORDINARY_USER) == "500"
    use = movement("L1", "-1", What.USED)
    said = refused(lambda: book(shared, use), user=ORDINARY_USER)
    assert said == (
        f"The store {shared} can be read by you but not written. Ask for permission to write the "
        "file and its folder."
    )
    assert shared.read_bytes() == before
    assert _names(shared) == {"prepstore.db"}
    shared.chmod(0o644)
    shared.parent.chmod(0o755)
    book(shared, use)


def _let_write(path: Path, user: int) -> None:
    path.parent.chmod(0o777)
    os.chown(path, user, user)


@among_users
@pytest.mark.parametrize("end", ["-wal", "-shm", "-journal"])
def test_a_file_of_a_stranger_beside_the_store_is_named_to_its_owner(
    end: str, shared: Path
) -> None:
    _let_write(shared, OWNER)
    left = shared.with_name(shared.name + end)
    left.write_bytes(b"")
    left.chmod(0o600)
    assert refused(lambda: _tells(shared), user=OWNER) == "500"
    said = refused(lambda: book(shared, movement("L1", "-1", What.USED)), user=OWNER)
    assert said == (
        f"{left} is in the folder of the store {shared} and you cannot write it, so the store "
        "cannot be used. Delete it when nobody works with the store, or ask root to."
    )
    left.unlink()
    assert refused(lambda: book(shared, movement("L1", "-1", What.USED)), user=OWNER) == ""


@among_users
def test_a_log_of_a_stranger_that_holds_something_is_not_to_be_deleted(shared: Path) -> None:
    _let_write(shared, OWNER)
    log = shared.with_name(f"{shared.name}-wal")
    log.write_bytes(b"what was recorded last")
    log.chmod(0o600)
    said = refused(lambda: book(shared, movement("L1", "-1", What.USED)), user=OWNER)
    assert said.endswith("so do not delete it: ask root for permission to write it.")
    said = refused(lambda: _tells(shared), user=OWNER)
    assert said.startswith(f"You can read the store {shared} here only through a copy in ")
    assert said.endswith("Permission denied.")


@among_users
def test_who_may_not_even_read_is_told_so(shared: Path) -> None:
    shared.chmod(0o600)
    said = refused(lambda: _tells(shared), user=NOBODY)
    assert "cannot be made: Permission denied." in said


def test_a_store_that_is_all_ones_own_may_be_written(shared: Path) -> None:
    assert may_write(shared)
    assert barred(shared) is None


def test_a_copy_has_what_lies_in_the_log(shared: Path) -> None:
    with reading(shared):  # keeps the log beside the file
        book(shared, movement("L1", "-100", What.USED))
        with private_copy(shared) as copy, reading(copy) as connection:
            assert balances(connection)["l1"] == 400 * 10**9
        assert not copy.parent.exists()


def test_a_copy_is_of_one_moment_even_if_somebody_records_while_it_is_made(
    shared: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with ExitStack() as reader:
        reader.enter_context(reading(shared))  # keeps the first movement in the log
        book(shared, movement("L1", "-1", What.USED))
        copy_one = private_copy_of._copy_one  # noqa: SLF001 - what comes after it is the case

        def copy_one_and_let_others_record(source: Path, target: Path) -> None:
            copy_one(source, target)
            if source == shared and not seen:
                seen.append(source)
                reader.close()
                book(shared, movement("L1", "-2", What.USED))
                reader.enter_context(reading(shared))
                book(shared, movement("L1", "-4", What.USED))

        seen: list[Path] = []
        monkeypatch.setattr(private_copy_of, "_copy_one", copy_one_and_let_others_record)
        with private_copy(shared) as copy, reading(copy) as connection:
            assert balances(connection)["l1"] == 493 * 10**9
            assert [one.entry for one in recorded(connection, Asked())] == [1, 2, 3, 4]
        assert seen


def test_where_somebody_writes_all_the_time_the_answer_is_a_sentence(
    shared: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(private_copy_of, "_TRIES", 3)
    monkeypatch.setattr(private_copy_of, "_is_same", lambda _one, _other: False)
    written = pytest.raises(StoreError, match="somebody writes to it all the time")
    with written, private_copy(shared):
        pass


def test_what_a_writer_had_not_finished_when_the_plug_was_pulled_is_not_in_a_copy(
    shared: Path,
) -> None:
    with closing(sqlite3.connect(shared, isolation_level=None)) as writer:
        writer.execute("PRAGMA journal_mode = DELETE")
        for number in range(200):
            cells = (number + 9, str(number), "p" * 1000)
            writer.execute("INSERT INTO stock (position, key, place) VALUES (?, ?, ?)", cells)
        writer.execute("PRAGMA cache_size = 1")
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("UPDATE stock SET place = place || 'q'")
        assert b"pq" in shared.read_bytes()
        with private_copy(shared) as copy, closing(sqlite3.connect(copy)) as ledger:
            assert ledger.execute("SELECT * FROM stock WHERE place LIKE '%q'").fetchall() == []


def test_a_device_is_no_store() -> None:
    null = Path(os.devnull)
    with pytest.raises(StoreError, match="null is not a plain file"), private_copy(null):
        pass


def test_copies_made_while_somebody_records_are_sound(tmp_path: Path) -> None:
    store = store_with_lots(tmp_path / "prepstore.db", **LOTS)
    pid, told = child(lambda out: record_for_ever(store, out, "kim"))
    seen: list[int] = []
    for _ in range(20):
        with private_copy(store) as copy, reading(copy) as connection:
            assert list(faults(connection)) == []
            found = [one.entry for one in recorded(connection, Asked(by="kim"))]
        assert all(found.count(entry) == 2 for entry in set(found))
        seen.append(len(found))
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    os.close(told)
    assert seen == sorted(seen)
    assert seen[-1] > seen[0]
