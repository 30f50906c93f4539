"""A full disk: every command that reads still reads, and every one that writes ends with a word."""

import os
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from typer.testing import Result

from prepstore.ledger.errors import StoreError
from tests.cli.conftest import WEEK, Run
from tests.ledger.faults import fill, refused, small_disk

BY = ("--by", "Kim", "--on", "2027-03-03")

WRITING: dict[str, tuple[str, ...]] = {
    "load": ("load", "more"),
    "receive": ("stock", "receive", "acetone", "1 L", "--lot", "N1", "--expiry", "2029-01-31", *BY),
    "receive an order": ("stock", "receive", "BC-1170", *BY),
    "use a lot": ("stock", "use", "L0236", "1 mL", *BY),
    "use for a session": ("stock", "use", "--session", "W10-Wed-1", "--as-far-as-there-is", *BY),
    "make": ("stock", "make", "acetone-water 1:1", "--volume", "100 mL", *BY),
    "count": ("stock", "count", "L0236", "1 L", "--reason", "spilt", *BY),
    "open": ("stock", "open", "L0237", *BY),
    "move": ("stock", "move", "L0236", "cabinet A", *BY),
    "state": ("stock", "state", "L0236", "quarantine", *BY),
    "discard": ("stock", "discard", "L0236", "--reason", "old", *BY),
    "undo": ("stock", "undo", "2", *BY),
    "rename": ("stock", "rename", "acetone", "propanone", *BY),
    "retire": ("stock", "retire", "ANA-05", "--by", "Kim", "--on", "2027-04-01"),
    "test": ("stock", "test", "L0243", "--result", "5 mg/L", *BY),
    "place": ("order", "place", *WEEK, "--by", "Kim"),
    "due": ("order", "due", "PO 27-044", "--to", "2027-03-20", "--by", "Kim"),
    "cancel": ("order", "cancel", "PO 27-044", "--by", "Kim"),
}
"""Every command that writes, on a store in which 1 mL of acetone was used."""

READING: dict[str, tuple[str, ...]] = {
    "list": ("stock", "list"),
    "history": ("stock", "history"),
    "usage": ("stock", "usage"),
    "expiry": ("stock", "expiry"),
    "names": ("stock", "names"),
    "orders": ("order", "list"),
    "what happened to orders": ("order", "history"),
    "plan": ("plan", *WEEK, "--json", "-"),
    "trace": ("trace", "acetone", *WEEK),
    "check": ("check",),
    "a trial": ("stock", "use", "L0236", "1 mL", "--dry-run"),
    "a load that is only checked": ("load", "more", "--check"),
}


@pytest.fixture
def own_store(run: Run, sample_store: Path, tmp_path: Path) -> Path:
    path = tmp_path / "prepstore.db"
    shutil.copy(sample_store, path)
    assert run("stock", "use", "L0236", "1 mL", *BY).exit_code == 0
    more = tmp_path / "more"
    more.mkdir()
    lots = "".join(f"N{number},acetone,1 L\n" for number in range(200))
    (more / "stock.csv").write_text(f"lot,item,amount\n{lots}", "utf-8")
    return path


@pytest.fixture
def disk(own_store: Path) -> Iterator[Path]:
    """A small disk with the store on it."""
    with small_disk(3000) as disk:
        shutil.copy(own_store, disk / "prepstore.db")
        yield disk


def _held(path: Path) -> list[str]:
    with closing(sqlite3.connect(path)) as ledger:
        return list(ledger.iterdump())


def _names(folder: Path) -> set[str]:
    return {file.name for file in folder.iterdir()}


def _is_one_sentence(result: Result) -> None:
    assert result.exit_code == 1, result.output
    (sentence,) = result.stderr.splitlines()
    assert sentence.startswith("The store ")
    assert "Make room" in sentence
    assert sentence.endswith(".")


@pytest.mark.slow
@pytest.mark.parametrize("name", WRITING)
def test_wherever_the_disk_is_full_the_store_is_as_it_was(name: str, run: Run, disk: Path) -> None:
    store = disk / "prepstore.db"
    before = _held(store)
    room = 0
    filling = fill(disk)
    while (result := run("--db", str(store), *WRITING[name])).exit_code:
        _is_one_sentence(result)
        filling.unlink()
        assert _held(store) == before
        assert _names(disk) == {"prepstore.db"}
        room += 4 if room > 32 else 12
        filling = fill(disk, but_kibibytes=room)
    filling.unlink()
    assert _held(store) != before
    assert room > 30
    assert run("--db", str(store), "check").exit_code == 0


@pytest.mark.parametrize("name", READING)
def test_a_full_disk_is_read(name: str, run: Run, disk: Path, own_store: Path) -> None:
    expected = run("--db", str(own_store), *READING[name])
    assert expected.exit_code == 0, expected.output
    fill(disk)
    found = run("--db", str(disk / "prepstore.db"), *READING[name])
    assert found.exit_code == 0, found.output
    assert found.stdout == expected.stdout.replace(str(own_store), str(disk / "prepstore.db"))


def test_a_full_disk_is_backed_up_to_another(run: Run, disk: Path) -> None:
    fill(disk)
    before = _names(disk)
    assert "checked." in run("--db", str(disk / "prepstore.db"), "backup", "copy.db").stdout
    assert _names(disk) - {"prepstore.db-shm"} == before
    assert _held(Path("copy.db")) == _held(Path("prepstore.db"))


def test_a_plan_on_a_full_disk_is_shown_all_the_same(run: Run, disk: Path) -> None:
    fill(disk)
    workbook = str(disk / "plan.xlsx")
    result = run("--db", str(disk / "prepstore.db"), "plan", *WEEK, "--out", workbook)
    assert result.exit_code == 1
    assert result.stdout.startswith("Week 2027-W10")
    assert result.stderr == f"{workbook} cannot be written: No space left on device.\n"
    assert not (disk / "plan.xlsx").exists()


@pytest.mark.skipif(not hasattr(os, "fork"), reason="Windows has no fork")
@pytest.mark.parametrize(
    "largest_file", [0, *(pytest.param(size, marks=pytest.mark.slow) for size in (33_000, 45_000))]
)
@pytest.mark.parametrize("name", WRITING)
def test_a_limit_on_the_size_of_files_is_a_full_disk_for_anybody(
    name: str, largest_file: int, run: Run, own_store: Path
) -> None:
    before = _held(own_store)

    def work() -> None:
        result = run(*WRITING[name])
        raise StoreError("done" if result.exit_code == 0 else result.stderr)

    said = refused(work, largest_file=largest_file)
    if said != "done":
        assert said.startswith("The store ")
        assert "Make room" in said
        assert said.count("\n") == 1
    assert (_held(own_store) == before) == (said != "done")
    assert largest_file > 30_000 or said != "done"
    assert {name for name in _names(own_store.parent) if name.startswith(".")} == set()
