"""Plugs pulled, disks full, files that may not be written: nothing is lost, one sentence each."""

import os
import random
import sqlite3
import tempfile
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.ledger import store_file, waiting
from prepstore.ledger.copies import back_up
from prepstore.ledger.errors import StoreError
from prepstore.ledger.load import written_rows
from prepstore.ledger.lots import balances
from prepstore.ledger.movements import Asked, recorded
from prepstore.ledger.schema import STEPS
from prepstore.ledger.soundness import faults
from prepstore.ledger.store_file import reading, writing
from prepstore.movements import What
from tests.ledger.faults import (
    IS_ADMINISTRATOR,
    LOTS,
    NOBODY,
    back_up_for_ever,
    child,
    fill,
    killed,
    record_for_ever,
    refused,
    restore_for_ever,
    signed,
    small_disk,
)
from tests.ledger.rows_of import book, movement, put, row, store_with_lots

KILLS = int(os.environ.get("KILLS", "4"))
"""How often each kind of work is cut off; a long run sets the environment variable KILLS."""

pytestmark = pytest.mark.skipif(
    not hasattr(os, "fork"), reason="the children of these tests are forked, which Windows cannot"
)


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", **LOTS)


def _is_sound(path: Path) -> None:
    with reading(path) as connection:
        assert list(faults(connection)) == []


def _nothing_is_left(folder: Path) -> None:
    """Fail where something lies in a folder that a killed process had in the making."""
    assert [file.name for file in folder.iterdir() if file.name.startswith(".")] == []


def _moments(seed: int) -> Iterator[float]:
    yield from (random.Random(seed + turn).uniform(0.0, 0.06) for turn in range(KILLS))


def test_every_movement_that_was_confirmed_is_there_once_and_none_is_there_in_half(
    store: Path,
) -> None:
    for turn, moment in enumerate(_moments(1)):
        by = f"turn {turn}"
        confirmed = killed(lambda out, by=by: record_for_ever(store, out, by), moment)  # type: ignore[misc]
        with reading(store) as connection:
            found = [one.entry for one in recorded(connection, Asked(by=by))]
        kept = sorted(set(found))
        assert all(found.count(entry) == 2 for entry in kept)
        # The last one may be kept and not told: the plug was pulled in between.
        assert confirmed == kept[: len(confirmed)]
        assert len(kept) - len(confirmed) <= 1
        _is_sound(store)


def test_a_backup_that_is_cut_off_is_the_earlier_one_or_the_new_one(
    store: Path, tmp_path: Path
) -> None:
    target = tmp_path / "backup.db"
    back_up(store, target)
    for moment in _moments(2):
        book(store, movement("L1", "-1", What.USED))
        killed(lambda out: back_up_for_ever(store, out, target), moment)
        _is_sound(target)
    _is_sound(store)
    back_up(store, target)
    _nothing_is_left(tmp_path)


def test_a_first_backup_that_is_cut_off_is_whole_or_not_there(store: Path, tmp_path: Path) -> None:
    def back_up_to_new_ones(out: int) -> None:
        for turn in range(10**6):
            back_up(store, target.with_name(f"{turn}-{target.name}"))
            os.write(out, f"{turn}\n".encode())

    for number, moment in enumerate(_moments(6)):
        target = tmp_path / f"backup {number}.db"
        done = killed(back_up_to_new_ones, moment)
        found = list(tmp_path.glob(f"*-{target.name}"))
        assert len(found) - len(done) in (0, 1)
        for copy in found:
            _is_sound(copy)
    book(store, movement("L1", "-1", What.USED))
    _nothing_is_left(tmp_path)


def test_a_restore_that_is_cut_off_leaves_the_one_or_the_other(store: Path, tmp_path: Path) -> None:
    backups = tmp_path / "first.db", tmp_path / "second.db"
    back_up(store, backups[0])
    book(store, movement("L1", "-1", What.USED))
    back_up(store, backups[1])
    for moment in _moments(3):
        killed(lambda out: restore_for_ever(store, out, backups), moment)
        with reading(store) as connection:
            assert balances(connection, "l1")["l1"] // 10**9 in (1_000_000, 999_999)
        _is_sound(store)
    book(store, movement("L1", "-1", What.USED))
    _nothing_is_left(tmp_path)


def _load_for_ever(path: Path, out: int) -> None:
    turn = 0
    while True:
        rows = [row("items", item=f"item {number}", notes=str(turn)) for number in range(200)]
        with writing(path) as connection:
            put(connection, {"items": rows, "packs": [row("packs", pack=str(turn))]})
        os.write(out, f"{turn}\n".encode())
        turn += 1


def test_a_load_that_is_cut_off_is_there_whole_or_not_at_all(tmp_path: Path) -> None:
    path = tmp_path / "prepstore.db"
    for moment in _moments(4):
        confirmed = killed(lambda out: _load_for_ever(path, out), moment + 0.02)
        if not path.exists():
            assert confirmed == []
            continue
        with writing(path) as connection:
            rows = written_rows(connection)
        turns = {found.text["notes"] for found in rows["items"]}
        assert turns == {found.text["pack"] for found in rows["packs"]}
        assert len(turns) <= 1
        assert not confirmed or int(turns.pop()) >= confirmed[-1]
        _is_sound(path)
        _nothing_is_left(tmp_path)
        path.unlink()


def test_steps_that_are_cut_off_leave_an_old_store_or_a_new_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    old = tmp_path / "old.db"
    with monkeypatch.context() as before:
        before.setattr(store_file, "STEPS", STEPS[:2])
        store_file.bring_up_to_date(old, may_begin=True)
    with closing(sqlite3.connect(old)) as ledger, ledger:
        for number in range(500):
            cells = (number + 2, f"l{number}", f"L{number}", "salt", "5 g")
            ledger.execute(
                "INSERT INTO stock (position, key, lot, item, amount) VALUES (?, ?, ?, ?, ?)", cells
            )
            ledger.execute(
                "INSERT INTO movements (lot, what, number, unit, written, on_day, at_utc, by) "
                "VALUES (?, 'opening amount', '5', 'g', '5 g', '2027-01-25', 'then', 'somebody')",
                (f"L{number}",),
            )
    content = old.read_bytes()
    path = tmp_path / "prepstore.db"
    for moment in _moments(5):
        path.write_bytes(content)
        killed(lambda _: store_file.bring_up_to_date(path, may_begin=False), moment / 2)
        with reading(path) as connection:
            assert set(balances(connection).values()) == {5 * 10**9}
        _is_sound(path)
        for beside in tmp_path.glob("prepstore.db*"):
            beside.unlink()


def test_four_at_once_lose_nothing_and_see_no_error(store: Path) -> None:
    each, lots = 50, list(LOTS)

    def work(out: int) -> None:
        by = str(os.getpid())
        for turn in range(each):
            what, change = (What.USED, "-3") if turn % 2 else (What.RECEIVED, "2")
            book(store, movement(lots[turn % 50], change, what), signed=signed(by))
        os.write(out, b"done")

    children = [child(work) for _ in range(4)]
    for pid, told in children:
        with os.fdopen(told) as lines:
            assert lines.read() == "done"
        os.waitpid(pid, 0)
    with reading(store) as connection:
        assert sum(balances(connection).values()) == (50 * 10**6 - 4 * 25) * 10**9
        assert len(recorded(connection, Asked(first_day=signed("").on_day))) == 4 * each
    _is_sound(store)


def _uses(path: Path) -> Callable[[], object]:
    return lambda: [book(path, movement("L1", "-1", What.USED)) for _ in range(2000)]


def test_a_full_disk_is_one_sentence_and_nothing_is_lost(store: Path) -> None:
    said = refused(_uses(store), largest_file=60_000)
    assert said.startswith(f"The store {store} ")
    assert "disk" in said
    assert "Make room" in said
    with reading(store) as connection:
        kept = len(recorded(connection, Asked(lots=("l1",)))) - 1
        assert balances(connection, "l1")["l1"] == (10**6 - kept) * 10**9
    assert kept > 0
    _is_sound(store)
    book(store, movement("L1", "-1", What.USED))


def _reads(path: Path) -> Callable[[], object]:
    def read() -> None:
        with reading(path) as connection:
            wrong = list(faults(connection))
            found = len(recorded(connection, Asked())), balances(connection, "l1")["l1"] // 10**9
        raise StoreError(f"read {found}, {wrong}")

    return read


def _left_in_the_log(path: Path) -> None:
    """Record something and die before it is taken from the log into the file."""

    def die(_: int) -> None:
        with reading(path):
            book(path, movement("L1", "-1", What.USED))
            os._exit(9)

    pid, told = child(die)
    os.close(told)
    os.waitpid(pid, 0)
    assert path.with_name(f"{path.name}-wal").stat().st_size


@pytest.mark.parametrize("largest_file", [0, 4096, 20_000])
def test_a_store_on_a_full_disk_is_read_with_what_was_recorded_last(
    largest_file: int, store: Path, tmp_path: Path
) -> None:
    _left_in_the_log(store)
    assert refused(_reads(store), largest_file=largest_file) == "read (51, 999999), []"
    _is_sound(store)
    _nothing_is_left(tmp_path)


def test_several_who_read_on_a_full_disk_wait_for_one_another() -> None:
    with small_disk(1000) as disk:
        path = store_with_lots(disk / "prepstore.db", **LOTS)
        _left_in_the_log(path)
        fill(disk)
        before = path.read_bytes()

        def read(out: int) -> None:
            for _ in range(10):
                os.write(out, f"{refused(_reads(path))}\n".encode())

        readers = [child(read) for _ in range(3)]
        for pid, told in readers:
            with os.fdopen(told) as lines:
                assert lines.read().splitlines() == ["read (51, 999999), []"] * 10
            os.waitpid(pid, 0)
        assert path.read_bytes()[:4096] == before[:4096]


def test_a_backup_from_a_full_disk_to_another(tmp_path: Path) -> None:
    with small_disk(1000) as disk:
        path = store_with_lots(disk / "prepstore.db", **LOTS)
        _left_in_the_log(path)
        fill(disk)
        back_up(path, tmp_path / "backup.db")
        with reading(tmp_path / "backup.db") as connection:
            assert balances(connection, "l1")["l1"] // 10**9 == 999_999


def test_a_new_store_on_a_full_disk_is_whole_or_not_there() -> None:
    # So many that the log has room, and then the file itself has none.
    lots = {f"L{number}": "1" for number in range(1500)}
    with small_disk(3000) as disk:
        path = disk / "prepstore.db"
        room, said = 0, "not yet"
        while said:
            filling = fill(disk, but_kibibytes=room)
            said = refused(lambda: store_with_lots(path, **lots))
            assert not said or "Make room" in said or "cannot be opened" in said
            assert {file.name for file in disk.iterdir()} - {"filling"} == (
                set() if said else {"prepstore.db"}
            )
            filling.unlink()
            room += 40
        with reading(path) as connection:
            assert len(balances(connection)) == 1500
        _is_sound(path)


def test_a_backup_on_a_full_disk_leaves_the_earlier_one(store: Path, tmp_path: Path) -> None:
    target = tmp_path / "backup.db"
    back_up(store, target)
    before = target.read_bytes()
    book(store, movement("L1", "-1", What.USED))
    names = {file.name for file in tmp_path.iterdir()}
    said = refused(lambda: back_up(store, target), largest_file=50_000)
    assert "Make room" in said
    assert target.read_bytes() == before
    assert {file.name for file in tmp_path.iterdir()} == names


@pytest.fixture
def shared() -> Iterator[Path]:
    """A store in a folder that others may look into."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        path = store_with_lots(Path(folder) / "prepstore.db", L1="500")
        path.chmod(0o644)
        yield path


@pytest.mark.skipif(not IS_ADMINISTRATOR, reason="only an administrator can become another user")
def test_who_may_only_read_reads_and_is_told_why_nothing_can_be_written(shared: Path) -> None:
    def read() -> None:
        with reading(shared) as connection:
            raise StoreError(str(balances(connection)["l1"] // 10**9))

    before = shared.read_bytes()
    assert refused(read, user=NOBODY) == "500"
    said = refused(lambda: book(shared, movement("L1", "-1", What.USED)), user=NOBODY)
    assert "can be read by you but not written. Ask for permission to write" in said
    assert shared.read_bytes() == before
    assert {file.name for file in shared.parent.iterdir()} == {"prepstore.db"}


@pytest.mark.skipif(not IS_ADMINISTRATOR, reason="only an administrator can become another user")
def test_who_may_only_read_sees_what_somebody_else_has_just_written(shared: Path) -> None:
    def read() -> None:
        with reading(shared) as connection:
            raise StoreError(str(balances(connection)["l1"] // 10**9))

    with reading(shared):  # keeps the log beside the file
        book(shared, movement("L1", "-100", What.USED))
        for beside in shared.parent.iterdir():
            beside.chmod(0o644)
        assert refused(read, user=NOBODY) == "400"


def test_a_store_that_another_program_holds_is_one_sentence(
    store: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(waiting, "WAIT_SECONDS", 0.05)
    with closing(sqlite3.connect(store, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(StoreError, match="is in use by another program"):
            book(store, movement("L1", "-1", What.USED))
        other.execute("ROLLBACK")
    book(store, movement("L1", "-1", What.USED))
