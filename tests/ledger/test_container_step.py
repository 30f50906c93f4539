"""The step that gives waste containers a history, on stores that older versions made."""

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from prepstore.amounts import in_billionths
from prepstore.ledger import store_file
from prepstore.ledger.containers import containers_held
from prepstore.ledger.schema import STEPS
from prepstore.ledger.store_file import bring_up_to_date, reading
from prepstore.tables.units import CARD, unit_word
from tests.builders import figures

BEFORE = STEPS[: [step.__name__ for step in STEPS].index("waste_containers")]


def _old_store(
    path: Path, monkeypatch: pytest.MonkeyPatch, *streams: tuple[str, str, str | None, str | None]
) -> None:
    with monkeypatch.context() as old:
        old.setattr(store_file, "STEPS", BEFORE)
        bring_up_to_date(path, may_begin=True)
    with closing(sqlite3.connect(path)) as ledger, ledger:
        ledger.executemany(
            "INSERT INTO waste_streams (stream, measure, part_full, empty_containers) "
            "VALUES (?, ?, ?, ?)",
            streams,
        )


def _ask(path: Path, question: str) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(path)) as ledger:
        return ledger.execute(question).fetchall()


def test_what_part_full_says_is_how_the_open_container_begins(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    _old_store(
        path,
        monkeypatch,
        ("solvent", "volume", "2 x 1.5 L + 200 mL", "2"),
        ("solids", "mass", "0 g", None),
        ("tank", "volume", None, None),
        ("acid", "Volume", None, "0"),
    )
    bring_up_to_date(path, may_begin=True)
    with reading(path) as connection:
        held = containers_held(connection)
    assert [figures(one.stream, one.filled, one.state) for one in held.containers] == [
        ("solvent", 3200, "open"),
        ("solids", 0, "open"),
    ]
    assert held.empty == {"solvent": 2, "acid": 0}
    assert _ask(path, "SELECT entry, by, reason FROM entries") == [
        (1, "prepstore", "waste containers before")
    ]
    written = _ask(path, "SELECT written FROM container_changes WHERE billionths > 0")
    assert written == [("2 x 1.5 L + 200 mL",)]


def test_a_store_that_says_nothing_of_containers_gets_no_entry(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    _old_store(path, monkeypatch, ("tank", "volume", None, None))
    bring_up_to_date(path, may_begin=True)
    assert _ask(path, "SELECT count(*) FROM entries") == [(0,)]


@pytest.mark.parametrize("word", [word for word in CARD if word not in ("each",)])
def test_every_unit_word_of_the_card_is_read_as_the_card_reads_it(
    word: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    of_word = unit_word(word)
    assert of_word is not None
    size, kind = of_word
    if kind not in ("g", "mL"):
        return
    path = tmp_path / "prepstore.db"
    measure = "volume" if kind == "mL" else "mass"
    _old_store(path, monkeypatch, ("waste", measure, f"2 x 1.25 {word}", None))
    bring_up_to_date(path, may_begin=True)
    expected = in_billionths(size * 5 / 2)
    assert _ask(path, "SELECT billionths FROM containers") == [(expected,)]


@pytest.mark.parametrize("cell", ["5 each", "about 3 L", "3 kg", "", "3"])
def test_what_cannot_be_read_is_left_out(
    cell: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    _old_store(path, monkeypatch, ("solvent", "volume", cell, "1"))
    bring_up_to_date(path, may_begin=True)
    assert _ask(path, "SELECT count(*) FROM containers") == [(0,)]
    assert _ask(path, "SELECT stream, number FROM empty_containers") == [("solvent", 1)]


def test_portions_may_be_written_the_other_way_round(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "prepstore.db"
    _old_store(path, monkeypatch, ("solvent", "volume", "15 mL x 3", None))
    bring_up_to_date(path, may_begin=True)
    assert _ask(path, "SELECT billionths FROM containers") == [(45 * 10**9,)]
