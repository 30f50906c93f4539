import io
from pathlib import Path

import openpyxl
import pytest

from prepstore.columns import SETTING_FIELD, TABLES
from prepstore.tables.crosscheck import checked
from prepstore.tables.read import read_set
from prepstore.tables.template import template_bytes, write_template


def test_every_heading_has_a_note_with_what_it_holds() -> None:
    book = openpyxl.load_workbook(io.BytesIO(template_bytes()))
    for name, table in TABLES.items():
        for cell, column in zip(book[name][1], table.columns.values(), strict=True):
            assert cell.value == column.name
            assert cell.comment is not None
            assert column.about in cell.comment.text


def test_fixed_words_and_names_of_other_tables_have_drop_down_lists() -> None:
    book = openpyxl.load_workbook(io.BytesIO(template_bytes()))
    lists = {
        (sheet.title, str(choice.sqref).partition("2:")[0]): choice.formula1
        for sheet in book.worksheets
        for choice in sheet.data_validations.dataValidation
    }
    assert lists["items", "B"] == '"reagent,solvent,consumable,apparatus"'
    assert lists["items", "C"] == '"g,mL,each"'
    assert lists["practical_lines", "E"] == '"student,group,session"'
    assert lists["timetable", "B"].startswith("practicals!$A$2")
    assert lists["packs", "C"].startswith("suppliers!$A$2")


def test_formats_keep_text_text_and_dates_iso() -> None:
    book = openpyxl.load_workbook(io.BytesIO(template_bytes()))
    assert book["stock"].column_dimensions["A"].number_format == "@"
    assert book["timetable"].column_dimensions["C"].number_format == "yyyy-mm-dd"


def test_every_setting_is_named() -> None:
    book = openpyxl.load_workbook(io.BytesIO(template_bytes()))
    named = [cell.value for cell in book["settings"]["A"][1:]]
    assert named == list(SETTING_FIELD)


def test_a_filled_in_template_loads(tmp_path: Path) -> None:
    file = tmp_path / "tables.xlsx"
    write_template(file)
    book = openpyxl.load_workbook(file)
    for row in (["salt", "reagent", "g"], ["water", "solvent", "mL"]):
        book["items"].append(row)
    book["stock"].append(["00123", "salt", "500 g"])
    book.save(file)
    rows, problems = read_set(file)
    assert not [*problems, *checked(rows).problems]
    assert rows["stock"][0].text["lot"] == "00123"


def test_what_the_lists_take_their_words_from_is_passed_over_without_a_word(
    tmp_path: Path,
) -> None:
    write_template(tmp_path / "tables.xlsx")
    own: list[str] = []
    _, problems = read_set(tmp_path / "tables.xlsx", own)
    assert (own, problems) == ([], [])


def test_a_filled_in_set_is_never_written_over(tmp_path: Path) -> None:
    (tmp_path / "items.csv").write_text("item\n")
    with pytest.raises(FileExistsError):
        write_template(tmp_path)
    assert (tmp_path / "items.csv").read_text() == "item\n"


def test_a_folder_has_headings_only(tmp_path: Path) -> None:
    write_template(tmp_path / "set")
    rows, problems = read_set(tmp_path / "set")
    assert not problems
    assert not any(rows.values())
