from pathlib import Path

from prepstore.columns import TABLES
from prepstore.tables.read import read_set
from prepstore.tables.write import csv_text, write_set
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
