"""Any two at once who record, load, back up and restore: what was confirmed is somewhere.

Each works in a process of its own that pauses at random between any two calls of the real code.
"""

import itertools
import os
import random
import signal
import sys
import time
from collections.abc import Callable
from pathlib import Path
from types import FrameType

import pytest

from prepstore.ledger import copies
from prepstore.ledger.copies import back_up, restore
from prepstore.ledger.errors import StoreError
from prepstore.ledger.load import written_rows
from prepstore.ledger.movements import Asked, record, recorded
from prepstore.ledger.soundness import faults
from prepstore.ledger.store_file import reading, writing
from prepstore.movements import Booking, What
from tests.ledger.faults import child, signed
from tests.ledger.rows_of import book, movement, put, row, store_with_lots

INTERLEAVINGS = int(os.environ.get("PAIRS", "40"))
"""How many pairs are tried; a long run sets the environment variable PAIRS."""

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="Windows has no fork")

Tell = Callable[[str], None]
Work = Callable[[Path, str, Tell], None]


def _pause_now_and_then(chance: random.Random) -> None:
    """Let this process pause at random, whenever a function of ours or of SQLite's is called."""
    often, long = chance.choice([(0.001, 0.03), (0.01, 0.004), (0.0, 0.0)])

    def pause(_frame: FrameType, event: str, _what: object) -> None:
        if event in ("call", "c_call") and chance.random() < often:
            time.sleep(chance.uniform(0, long))

    sys.setprofile(pause)


def _pause_wherever_copies_are_made() -> None:
    """Let this process pause at each call in the module that overwrites, so that others come in."""

    def pause(frame: FrameType, event: str, _what: object) -> None:
        if event == "call" and frame.f_code.co_filename == copies.__file__:
            time.sleep(0.06)

    sys.setprofile(pause)


def _record(path: Path, by: str, tell: Tell) -> None:
    for turn in range(6):
        name = f"{by}-{turn}"
        book(path, movement("L1", "1", What.RECEIVED), signed=signed(name))
        tell(f"recorded {name}")


def _load(path: Path, by: str, tell: Tell) -> None:
    for turn in range(2):
        lot, name = f"{by}{turn}", f"{by}-{turn}"
        with writing(path) as connection:
            held = written_rows(connection, "stock")["stock"] or [
                row("stock", lot="L1", item="salt")
            ]
            put(connection, {"items": [row("items", item="salt", kind="reagent", unit="g")]})
            put(connection, {"stock": [*held, row("stock", lot=lot, item="salt")]})
            opening = movement(lot, "5", What.OPENING_AMOUNT)
            record(connection, Booking(movements=(opening,)), signed(name))
        tell(f"recorded {name}")


def _back_up_to_an_earlier_one(path: Path, _by: str, tell: Tell) -> None:
    _tell_of(back_up(path, path.with_name("backup.db")), tell)


def _back_up_to_a_new_one(path: Path, by: str, tell: Tell) -> None:
    _tell_of(back_up(path, path.with_name(f"new-{by}.db")), tell)


def _back_up_with_the_names_confused(path: Path, _by: str, tell: Tell) -> None:
    _tell_of(back_up(path.with_name("backup.db"), path), tell)


def _restore(path: Path, _by: str, tell: Tell) -> None:
    _tell_of(restore(path, path.with_name("backup.db")), tell)


def _tell_of(aside: Path | None, tell: Tell) -> None:
    if aside is not None:
        tell(f"kept {aside}")


WORKS: tuple[Work, ...] = (
    _record, _load, _back_up_to_an_earlier_one, _back_up_to_a_new_one,
    _back_up_with_the_names_confused, _restore,
)  # fmt: skip
PAIRS = tuple(itertools.combinations_with_replacement(WORKS, 2))


def _both(path: Path, pair: tuple[Work, Work], seed: int) -> list[str]:
    """Let two processes work at once; return what they told, and fail unless both end well."""

    def one(work: Work, by: str, out: int) -> None:
        _pause_now_and_then(random.Random(f"{seed} {by}"))
        try:
            work(path, by, lambda line: _write(out, line))
        except StoreError as error:
            _write(out, f"refused {error}")
        except BaseException as error:
            _write(out, f"failed {error!r}")
            raise

    children = [
        child(lambda out, work=work, by=by: one(work, by, out))  # type: ignore[misc]
        for work, by in zip(pair, "ab", strict=True)
    ]
    told: list[str] = []
    for pid, pipe in children:
        with os.fdopen(pipe) as lines:
            told += lines.read().splitlines()
        os.waitpid(pid, 0)
    assert not [line for line in told if line.startswith("failed")]
    return told


@pytest.mark.parametrize("overwrite", [_restore, _back_up_with_the_names_confused])
def test_nothing_is_confirmed_between_keeping_aside_and_overwriting(
    overwrite: Work, tmp_path: Path
) -> None:
    path = store_with_lots(tmp_path / "prepstore.db", L1="500")
    back_up(path, tmp_path / "backup.db")

    def record_on(out: int) -> None:
        for turn in range(10**6):
            book(path, movement("L1", "1", What.RECEIVED), signed=signed(f"turn {turn}"))
            _write(out, f"turn {turn}")

    recorder, told = child(record_on)
    kept: list[str] = []
    _pause_wherever_copies_are_made()
    try:
        overwrite(path, "a", kept.append)
    finally:
        sys.setprofile(None)
        os.kill(recorder, signal.SIGKILL)
        os.waitpid(recorder, 0)
    with os.fdopen(told) as lines:
        confirmed = set(lines.read().splitlines())
    aside = Path(kept[0].removeprefix("kept "))
    assert len(confirmed) > 3
    assert confirmed <= _recorded_in(path) | _recorded_in(aside)


def _write(out: int, line: str) -> None:
    os.write(out, f"{line}\n".encode())


def _recorded_in(path: Path) -> set[str]:
    with reading(path) as connection:
        assert list(faults(connection)) == []
        return {one.by for one in recorded(connection, Asked())}


@pytest.mark.slow
@pytest.mark.parametrize("is_there", [True, False], ids=["over a store", "where there is none"])
@pytest.mark.parametrize("part", range(4))
def test_what_was_confirmed_is_in_the_store_or_in_a_file_that_was_told(
    *, part: int, is_there: bool, tmp_path: Path
) -> None:
    for turn in range(part, INTERLEAVINGS // 2, 4):
        folder = tmp_path / str(turn)
        folder.mkdir()
        path = store_with_lots(folder / "prepstore.db", L1="500")
        back_up(path, folder / "backup.db")
        if is_there:
            book(path, movement("L1", "1", What.RECEIVED), signed=signed("before"))
        else:
            path.unlink()
        told = _both(path, PAIRS[turn % len(PAIRS)], turn)
        confirmed = {line.split()[1] for line in told if line.startswith("recorded")}
        confirmed |= {"before"} if is_there else set()
        kept = [Path(line.split(" ", 1)[1]) for line in told if line.startswith("kept")]
        found = set().union(*map(_recorded_in, [path, *kept])) if path.exists() else set()
        assert confirmed <= found, (turn, told)
        for copy in folder.glob("*.db"):
            _recorded_in(copy)
        assert not list(folder.glob(".*"))
