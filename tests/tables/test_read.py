import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.formula_guard import guarded, unguarded
from prepstore.history import HISTORY
from prepstore.tables.cell_text import LONGEST_CELL, cell_text
from prepstore.tables.read import read_set
from prepstore.tables.write import write_set
from prepstore.written import WrittenRow


def _items(content: str | bytes, folder: Path) -> list[WrittenRow]:
    raw = content if isinstance(content, bytes) else content.encode("utf-8")
    (folder / "items.csv").write_bytes(raw)
    rows, problems = read_set(folder)
    assert problems == []
    return rows["items"]


@pytest.mark.parametrize(
    "content",
    [
        "item,kind,unit\nsalt,reagent,g\n",
        "item,kind,unit\r\nsalt,reagent,g\r\n",
        "item,kind,unit\rsalt,reagent,g",
        "\ufeffitem,kind,unit\nsalt,reagent,g",
        "unit,item,kind\ng,salt,reagent\n",
        " ITEM ,Kind,unit\n  salt ,reagent\u00a0,\tg\n",
        "item,kind,unit,,\nsalt,reagent,g,,,,\n",
        '"item","kind","unit"\n"salt","reagent","g"\n',
        "item,kind,unit\n,,\nsalt,reagent,g\n\n\n",
        "item,kind,unit,cas\nsalt,reagent,g\n",
    ],
)
def test_ways_to_save_one_table_are_equal(content: str, tmp_path: Path) -> None:
    (row,) = _items(content, tmp_path)
    assert dict(row.text) == {"item": "salt", "kind": "reagent", "unit": "g"}
    assert (row.table, row.source) == ("items", "items.csv")


def test_a_row_knows_the_columns_of_its_table_blank_ones_too(tmp_path: Path) -> None:
    (row,) = _items("item,kind,unit,notes\nsalt,reagent,g,\n", tmp_path)
    assert row.columns == {"item", "kind", "unit", "notes"}
    assert row.told == frozenset()


def test_a_row_has_the_number_that_a_spreadsheet_gives_it(tmp_path: Path) -> None:
    content = (
        'item,kind,unit,notes\n\na,reagent,g,"one\ntwo"\nb,reagent,g,"x\r\ny"\n\nc,reagent,g,\n'
    )
    rows = _items(content, tmp_path)
    assert [(row.text["item"], row.number) for row in rows] == [("a", 3), ("b", 4), ("c", 6)]
    assert rows[1].text["notes"] == "x\ny"


@pytest.mark.parametrize("word", ["None", "NA", "nan", "NULL", "00123", "1e5", "TRUE", "1.50", "-"])
def test_a_text_stays_as_it_was_typed(word: str, tmp_path: Path) -> None:
    (row,) = _items(f"item,kind,unit,notes\n{word},reagent,g,{word}\n", tmp_path)
    assert row.text["item"] == row.text["notes"] == word


def test_a_text_is_kept_in_the_composed_form(tmp_path: Path) -> None:
    (row,) = _items("item,kind,unit\nCafe\u0301,reagent,g\n", tmp_path)
    assert row.text["item"] == "Caf\u00e9"


def test_the_longest_cell_of_a_spreadsheet_is_read(tmp_path: Path) -> None:
    (row,) = _items(f"item,kind,unit,notes\na,reagent,g,{'n' * LONGEST_CELL}\n", tmp_path)
    assert len(row.text["notes"]) == LONGEST_CELL


def test_a_header_alone_is_a_table_without_rows(tmp_path: Path) -> None:
    assert _items("item,kind,unit\n", tmp_path) == []


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-20 freezer", "@x", "'=x", "''", "'\tx", "'tis", "a'b"]
)
def test_a_guarded_text_is_read_as_it_was(text: str, tmp_path: Path) -> None:
    (row,) = _items(f"item,kind,unit,notes\na,reagent,g,{guarded(text)}\n", tmp_path)
    assert row.text["notes"] == text


@given(st.text())
def test_taking_the_guard_off_undoes_putting_it_on(text: str) -> None:
    assert unguarded(guarded(text)) == text
    assert not guarded(text).startswith(("=", "+", "-", "@", "\t", "\r"))


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (None, ""),
        (24, "24"),
        (24.0, "24"),
        (0.15, "0.15"),
        (0.1 + 0.2, "0.3"),
        (0.0000001, "0.0000001"),
        (123456789012, "123456789012"),
        (1e14, "100000000000000"),
        (-0.0, "0"),
        (1e300, "1e+300"),
        (float("inf"), "inf"),
        (True, "yes"),
        (False, "no"),
        ("  x ", "  x "),
        (datetime.date(2027, 2, 3), "2027-02-03"),
        (datetime.datetime(2027, 2, 3), "2027-02-03"),  # noqa: DTZ001 - a spreadsheet's day
        (datetime.datetime(2027, 2, 3, 9), "2027-02-03T09:00:00"),  # noqa: DTZ001
        (datetime.time(9, 30), "09:30"),
        (datetime.time(9, 30, 15), "09:30:15"),
        (datetime.timedelta(hours=9, minutes=30), "9:30:00"),
    ],
)
def test_a_cell_of_a_workbook_reads_as_people_write_it(value: object, text: str) -> None:
    assert cell_text(value) == text


@given(st.integers(-(10**14), 10**14))
def test_a_whole_number_of_a_workbook_has_no_point(number: int) -> None:
    assert cell_text(number) == cell_text(float(number)) == str(number)


WORDS = " two  spaces ", "cafe\u0301", "#N/A", "a\rb\r\nc", "bell \x07", "x" * 40_000, "'=1", "=1"


@pytest.mark.parametrize("words", WORDS, ids=range(len(WORDS)))
def test_the_words_of_a_history_are_kept_letter_for_letter(words: str, tmp_path: Path) -> None:
    cells = {"entry": "1", "day": "2027-02-03", "at_utc": "now", "by": "Kim", "reason": words}
    given: dict[str, list[WrittenRow]] = {name: [] for name in HISTORY} | {
        "entries": [WrittenRow("entries", 2, "x", cells)]
    }
    write_set(given, tmp_path)
    rows, problems = read_set(tmp_path)
    assert problems == []
    assert dict(rows["entries"][0].text) == cells


def test_other_cells_of_a_history_are_trimmed(tmp_path: Path) -> None:
    write_set({name: [] for name in HISTORY}, tmp_path)
    text = "entry,day,at_utc,by,reason\n 1 ,\t2027-02-03,now, Kim ,   \n"
    (tmp_path / "entries.csv").write_text(text, encoding="utf-8")
    (row,) = read_set(tmp_path)[0]["entries"]
    assert dict(row.text) == {"entry": "1", "day": "2027-02-03", "at_utc": "now", "by": " Kim "}


def test_half_a_history_is_a_mistake_that_names_the_rest(tmp_path: Path) -> None:
    write_set({"entries": [], "movements": [], "former_lots": []}, tmp_path)
    (problem,) = read_set(tmp_path)[1]
    assert problem.code == "history-incomplete"
    assert "lacks session_uses, order_changes, name_changes." in problem.sentence


def test_a_table_of_a_history_that_cannot_be_read_is_not_missing_too(tmp_path: Path) -> None:
    write_set({name: [] for name in HISTORY}, tmp_path)
    (tmp_path / "movements.csv").write_bytes(b"\xff")
    assert [problem.code for problem in read_set(tmp_path)[1]] == ["not-utf-8"]


def test_a_table_of_a_history_that_is_misspelt_is_told_its_name(tmp_path: Path) -> None:
    (tmp_path / "movement.csv").write_text("movement\n1\n", encoding="utf-8")
    assert "Did you mean movements?" in read_set(tmp_path)[1][0].sentence


def test_a_persons_own_sheets_and_columns_are_left_out_and_named(tmp_path: Path) -> None:
    (tmp_path / "items.csv").write_text(
        "item,My shelf,kind,unit,my \nsalt,by the window,reagent,g,x\n", encoding="utf-8"
    )
    (tmp_path / "my rota.csv").write_text("who,when\nKim,Monday\n", encoding="utf-8")
    (tmp_path / "mystery.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    own: list[str] = []
    rows, problems = read_set(tmp_path, own)
    assert dict(rows["items"][0].text) == {"item": "salt", "kind": "reagent", "unit": "g"}
    assert own == ["column 'My shelf' of items", "column 'my' of items", "'my rota'"]
    assert [problem.code for problem in problems] == ["table-unknown"]


def test_a_column_that_only_begins_alike_is_not_known(tmp_path: Path) -> None:
    (tmp_path / "items.csv").write_text("item,kind,unit,mysize\nsalt,reagent,g,1\n", "utf-8")
    _, problems = read_set(tmp_path)
    assert [problem.code for problem in problems] == ["column-unknown"]
