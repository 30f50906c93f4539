from pathlib import Path

import pytest

from prepstore.columns import TABLES
from prepstore.tables.read import read_set
from prepstore.tables.write import csv_text, write_set
from prepstore.tables.written_tables import written_columns
from prepstore.written import WrittenRow

ROW = WrittenRow(
    "items", 2, "items.csv", {"item": "salt, fine", "kind": "reagent", "unit": "g", "notes": "=1"}
)


def test_a_folder_has_a_file_a_table_with_every_heading(tmp_path: Path) -> None:
    write_set({}, tmp_path / "set")
    for name, table in TABLES.items():
        text = (tmp_path / "set" / f"{name}.csv").read_text("utf-8")
        assert text == ",".join(table.columns) + "\n"


def test_commas_are_quoted_and_formulas_guarded() -> None:
    text = csv_text(("item", "notes"), [ROW])
    assert text == 'item,notes\n"salt, fine",\'=1\n'


def test_what_is_written_reads_back_the_same_as_folder_and_as_workbook(tmp_path: Path) -> None:
    for target in (tmp_path / "set", tmp_path / "set.xlsx"):
        write_set({"items": [ROW]}, target)
        rows, problems = read_set(target)
        assert not problems
        assert [row.text for row in rows["items"]] == [ROW.text]


@pytest.mark.parametrize(
    ("rows", "last"),
    [
        ([], "batch_number"),
        ([{"lot": "L1"}], "place"),
        ([{"lot": "L1"}, {"lot": "L2", "received": "2027-02-03"}], "received"),
    ],
)
def test_a_column_of_the_stores_is_written_where_it_is_used(
    rows: list[dict[str, str]], last: str
) -> None:
    written = [WrittenRow("stock", 2, "set", text) for text in rows]
    assert written_columns(TABLES["stock"], written)[-1] == last


def test_the_tables_of_a_history_are_written_where_they_are_given(tmp_path: Path) -> None:
    row = WrittenRow("movements", 2, "x", {"movement": "1", "change": "-5", "note": "-5"})
    order = WrittenRow("order_changes", 2, "x", {"order_change": "1", "packs": "-1"})
    write_set({"movements": [row], "entries": [], "order_changes": [order]}, tmp_path)
    assert (tmp_path / "order_changes.csv").read_text("utf-8").splitlines()[1] == "1,,,,-1,,,,"
    assert (tmp_path / "entries.csv").read_text("utf-8").startswith("entry,day,")
    assert not (tmp_path / "session_uses.csv").exists()
    cells = (tmp_path / "movements.csv").read_text("utf-8").splitlines()[1].split(",")
    # A figure is no formula, though it begins with a sign; a text may be one.
    assert (cells[4], cells[14]) == ("-5", "'-5")
