"""Workbooks and folders that are not what they say; built here, since they are bytes."""

import datetime
import io
import time
import zipfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Literal

import pytest
from openpyxl import Workbook
from openpyxl.chart import BarChart
from openpyxl.worksheet.worksheet import Worksheet

from tests.bad_input.small_set import BASE, folder_of, problems_of, saved, sentences_of, workbook_of

Value = str | float | datetime.date | datetime.time
_DOCTYPE = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'


@cache
def _content_of_the_base() -> bytes:
    file = io.BytesIO()
    workbook_of(BASE).save(file)
    return file.getvalue()


def _book(folder: Path) -> Path:
    path = folder / "set.xlsx"
    path.write_bytes(_content_of_the_base())
    return path


def _with_part(path: Path, part: str, change: Callable[[bytes], bytes]) -> Path:
    """Rewrite one part of a workbook."""
    with zipfile.ZipFile(path) as book:
        parts = {name: book.read(name) for name in book.namelist()}
    assert part in parts
    parts[part] = change(parts[part])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in parts.items():
            book.writestr(name, content)
    return path


def _only_sentence(path: Path) -> str:
    (sentence,) = sentences_of(path)
    assert sentence.isprintable()
    return sentence


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"", "not an .xlsx workbook"),
        (b"item,kind,unit\n", "not an .xlsx workbook, whatever its name says"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(512), "password, or is an old .xls"),
        (b"%PDF-1.7", "not an .xlsx workbook"),
        (b"PK\x03\x04" + bytes(100), "cut off"),
        (b"PK\x05\x06" + bytes(18), "not a workbook that can be read"),
        (bytes(4096), "not an .xlsx workbook"),
    ],
)
def test_a_file_that_is_not_what_its_name_says(content: bytes, word: str, tmp_path: Path) -> None:
    path = tmp_path / "set.xlsx"
    path.write_bytes(content)
    assert word in _only_sentence(path)


@pytest.mark.parametrize("tenths", range(1, 10))
def test_a_workbook_that_is_cut_off(tenths: int, tmp_path: Path) -> None:
    path = _book(tmp_path)
    whole = path.read_bytes()
    path.write_bytes(whole[: len(whole) * tenths // 10])
    assert "cut off" in _only_sentence(path)


def test_a_workbook_of_which_a_part_is_damaged(tmp_path: Path) -> None:
    path = _book(tmp_path)
    with zipfile.ZipFile(path) as book:
        at = book.getinfo("xl/worksheets/sheet1.xml").header_offset
    damaged = bytearray(path.read_bytes())
    damaged[at + 60 : at + 120] = b"\xff" * 60
    path.write_bytes(damaged)
    assert "set.xlsx: is not a w" in _only_sentence(path)


def test_a_workbook_whose_parts_are_encrypted(tmp_path: Path) -> None:
    path = _book(tmp_path)
    content = bytearray(path.read_bytes())
    at = content.index(b"PK\x01\x02")
    content[at + 8] |= 1
    path.write_bytes(content)
    assert "password" in _only_sentence(path)


SAID_TO_BE_A_GIBIBYTE = 1_234_567


def test_a_workbook_that_unpacks_to_two_gibibytes_is_refused_at_once(tmp_path: Path) -> None:
    path = _book(tmp_path)
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED, compresslevel=1) as book:
        for number in range(2):
            book.writestr(f"xl/media/{number}.bin", bytes(SAID_TO_BE_A_GIBIBYTE))
    content = path.read_bytes()
    small = SAID_TO_BE_A_GIBIBYTE.to_bytes(4, "little")
    assert content.count(small) >= 4, "both parts say it twice"
    path.write_bytes(content.replace(small, (1 << 30).to_bytes(4, "little")))
    begin = time.perf_counter()
    sentence = _only_sentence(path)
    assert time.perf_counter() - begin < 2
    assert "unpacks to more than 256 MiB" in sentence


def test_a_part_that_lies_about_its_size_is_not_unpacked(tmp_path: Path) -> None:
    path = _with_part(
        _book(tmp_path), "xl/worksheets/sheet1.xml", lambda part: part + b" " * 50_000_000
    )
    with zipfile.ZipFile(path) as book:
        size = book.getinfo("xl/worksheets/sheet1.xml").file_size
    path.write_bytes(path.read_bytes().replace(size.to_bytes(4, "little"), b"\x00\x10\x00\x00"))
    begin = time.perf_counter()
    assert "is not a w" in _only_sentence(path)
    assert time.perf_counter() - begin < 2


@pytest.mark.parametrize(
    "part",
    ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/worksheets/sheet9.xml", "xl/styles.xml",
     "[Content_Types].xml", "_rels/.rels"],
)  # fmt: skip
@pytest.mark.parametrize(
    ("before", "encoding"),
    [
        ("", "utf-8"),
        (" " * 100_000, "utf-8"),
        ("<!-- <a> -->" * 1000, "utf-8"),
        ('<?xml version="1.0" encoding="UTF-16"?>', "utf-16"),
    ],
    ids=["at once", "behind blanks", "behind comments", "in UTF-16"],
)
def test_a_document_type_is_refused_wherever_it_stands(
    part: str, before: str, encoding: str, tmp_path: Path
) -> None:
    def declared(content: bytes) -> bytes:
        text = content.decode("utf-8")
        root = text[text.index("?>") + 2 :] if text.startswith("<?xml") else text
        return f"{before}{_DOCTYPE}{root}".encode(encoding)

    assert "XML entities" in _only_sentence(_with_part(_book(tmp_path), part, declared))


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/worksheets/sheet3.xml", "[Content_Types].xml"]
)
@pytest.mark.parametrize("content", [b"", b"<", b"\0\1\2", b"<a/>", b"<worksheet><sheetData>"])
def test_a_part_that_is_no_xml(part: str, content: bytes, tmp_path: Path) -> None:
    path = _with_part(_book(tmp_path), part, lambda _: content)
    assert sentences_of(path)


def _changed(folder: Path, table: str, change: Callable[[Worksheet], None]) -> Path:
    book = workbook_of(BASE)
    change(book[table])
    return saved(book, folder)


def _put(cell: str, value: Value, number_format: str = "") -> Callable[[Worksheet], None]:
    def change(sheet: Worksheet) -> None:
        sheet[cell] = value
        sheet[cell].number_format = number_format or sheet[cell].number_format

    return change


_DAY = datetime.datetime(2027, 2, 1)  # noqa: DTZ001 - a spreadsheet's days have no zone


@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("timetable", _put("C2", _DAY, "dd/mm/yyyy")),
        ("timetable", _put("C2", datetime.date(2027, 2, 1))),
        ("timetable", _put("D2", datetime.time(9, 0))),
        ("timetable", _put("D2", 9 / 24, "hh:mm")),
        ("timetable", _put("D2", 9.5 / 24, "[h]:mm")),
        ("timetable", _put("E2", (11 + 59 / 60) / 24, "hh:mm")),
        ("timetable", _put("G2", 24)),
        ("timetable", _put("G2", 24.0)),
        ("practical_lines", _put("F2", 0.15, "0%")),
        ("practical_lines", _put("G4", value=True)),
        ("items", _put("G3", 1.18)),
        ("packs", _put("E2", 12.4, '"€"#,##0.00')),
    ],
)
def test_a_cell_of_a_spreadsheets_own_kind_is_read(
    table: str, change: Callable[[Worksheet], None], tmp_path: Path
) -> None:
    assert sentences_of(_changed(tmp_path, table, change)) == []


@pytest.mark.parametrize(
    ("cell", "value", "number_format", "words"),
    [
        ("timetable!C2 date", _DAY.replace(hour=9), "", ["not a date", "T09:00"]),
        ("timetable!C2 date", -5, "yyyy-mm-dd", ["years 1900"]),
        ("timetable!C2 date", 1e12, "yyyy-mm-dd", ["'#VALUE!' is an error"]),
        ("timetable!C2 date", 46419, "General", ["'46419' is not a date"]),
        ("timetable!D2 start", 0.375, "General", ["'0.375' is not a time"]),
        ("timetable!G2 students", 1e30, "General", ["whole number"]),
        ("timetable!G2 students", 24.5, "General", ["'24.5'"]),
        ("timetable!G2 students", True, "General", ["'yes' is not a whole"]),
        ("timetable!G2 students", "=A1", "General", ["without a stored result"]),
        ("items!A7 item", "=A1", "General", ["without a stored result"]),
        ("stock!C2 amount", "#REF!", "General", ["'#REF!'"]),
        ("stock!C2 amount", 25, "General", ["'25' has no unit"]),
        ("stock!C2 amount", 0.15, "0%", ["'15 %'", "25 mL"]),
        ("items!F3 strength", 0.37, "0%", ["'37 %' does not say"]),
    ],
)
def test_a_wrong_cell_of_a_workbook_is_told_with_its_place(
    cell: str, value: Value, number_format: str, words: list[str], tmp_path: Path
) -> None:
    table, _, at_column = cell.partition("!")
    at, column = at_column.split()
    path = _changed(tmp_path, table, _put(at, value, number_format))
    (problem,) = problems_of(path)
    place = problem.place
    assert (place.source, place.table) == (f"set.xlsx, sheet {table}", table)
    assert (place.row, place.column) == (int(at[1:]), column)
    assert [word for word in words if word not in problem.sentence] == []


def test_merged_cells_leave_the_others_blank(tmp_path: Path) -> None:
    (sentence,) = sentences_of(
        _changed(tmp_path, "suppliers", lambda sheet: sheet.merge_cells("A2:A3"))
    )
    assert "table suppliers, row 3, column supplier: supplier is blank" in sentence


@pytest.mark.parametrize("state", ["hidden", "veryHidden"])
def test_a_hidden_sheet_is_read_as_any_other(
    state: Literal["hidden", "veryHidden"], tmp_path: Path
) -> None:
    def hide(sheet: Worksheet) -> None:
        sheet.sheet_state = state
        sheet["B2"] = "1 g"

    (sentence,) = sentences_of(_changed(tmp_path, "suppliers", hide))
    assert "'1 g' is not a whole number" in sentence


@pytest.mark.parametrize(
    ("title", "word"),
    [("itmes", "Did you mean items?"), ("Sheet1", "'Sheet1'"), ("practical lines", "Did you mean")],
)
def test_a_sheet_of_another_name_is_told_and_nothing_that_follows(
    title: str, word: str, tmp_path: Path
) -> None:
    name = {"itmes": "items", "Sheet1": "packs", "practical lines": "practical_lines"}[title]

    def rename(sheet: Worksheet) -> None:
        sheet.title = title

    sentence = _only_sentence(_changed(tmp_path, name, rename))
    assert f"there is no table '{title}'" in sentence
    assert word in sentence


def test_a_blank_sheet_of_another_name_does_no_harm(tmp_path: Path) -> None:
    book = workbook_of(BASE)
    book.create_sheet("Sheet1")
    assert sentences_of(saved(book, tmp_path)) == []


def test_a_sheet_of_charts_does_no_harm(tmp_path: Path) -> None:
    book = workbook_of(BASE)
    book.create_chartsheet("Chart1").add_chart(BarChart())
    assert sentences_of(saved(book, tmp_path)) == []


def test_a_blank_first_row_of_a_sheet(tmp_path: Path) -> None:
    path = _changed(tmp_path, "items", lambda sheet: sheet.insert_rows(1))
    assert "table items, row 1: is blank." in _only_sentence(path)


def test_two_sheets_of_one_table(tmp_path: Path) -> None:
    book = workbook_of(BASE)
    book.create_sheet(" items")["A1"] = "item"
    assert "table items: gives the table items, which the set has already" in _only_sentence(
        saved(book, tmp_path)
    )


def _rows_xml(rows: str) -> Callable[[bytes], bytes]:
    def change(part: bytes) -> bytes:
        return part.replace(b"</sheetData>", f"{rows}</sheetData>".encode())

    return change


@pytest.mark.parametrize(
    ("rows", "is_right"),
    [
        ('<row r="1048576"><c r="A1048576" s="0"/></row>', True),
        ('<row r="99999999999"><c r="A99999999999"/></row>', False),
        ("".join(f'<row r="{n}"><c r="XFD{n}" s="0"/></row>' for n in range(99, 1000)), False),
        ('<row r="99"><c r="ZZZZZZ99"/></row>', False),
        ('<row r="99"><c r="A99" t="s"><v>999999</v></c></row>', False),
        (f'<row r="99"><c r="A99"><v>{"9" * 5000}</v></c></row>', False),
        ('<row r="99"><c r="A99" t="d"><v>x</v></c></row>', False),
        ('<row r="x"><c r="y"/></row>', False),
    ],
    ids=["a million blank rows", "rows beyond any sheet", "columns beyond any table",
         "a column beyond any sheet", "a text that is not there", "a number of 5,000 digits",
         "a date that is none", "no numbers"],
)  # fmt: skip
def test_a_sheet_without_measure_is_read_or_refused_soon(
    rows: str, is_right: bool, tmp_path: Path  # noqa: FBT001 - a case
) -> None:  # fmt: skip
    path = _with_part(_book(tmp_path), "xl/worksheets/sheet14.xml", _rows_xml(rows))
    begin = time.perf_counter()
    sentences = sentences_of(path)
    assert time.perf_counter() - begin < 8
    assert len(sentences) == (0 if is_right else 1)


def test_a_sheet_that_states_a_wrong_size_is_read_whole(tmp_path: Path) -> None:
    path = _changed(tmp_path, "suppliers", lambda sheet: sheet.append(["Third", "x"]))
    _with_part(
        path,
        "xl/worksheets/sheet9.xml",
        lambda part: part.replace(b'<dimension ref="A1:D4"', b'<dimension ref="A1"'),
    )
    assert "row 4, column lead_days: (Third) 'x'" in _only_sentence(path)


def test_a_formula_that_comes_to_an_empty_text_is_a_blank_cell(tmp_path: Path) -> None:
    path = _changed(tmp_path, "stock", _put("H2", "=IF(1,A1,A2)"))
    _with_part(
        path,
        "xl/worksheets/sheet8.xml",
        lambda part: part.replace(b'<c r="H2"><f>', b'<c r="H2" t="str"><f>'),
    )
    assert sentences_of(path) == []


def test_a_path_that_is_not_there(tmp_path: Path) -> None:
    assert "is not there" in _only_sentence(tmp_path / "no such folder")


def test_a_folder_without_tables_names_those_that_are_known(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("x")
    sentence = _only_sentence(tmp_path)
    assert "there is no table in it" in sentence
    assert "practical_lines" in sentence


@pytest.mark.parametrize("name", ["set.xls", "set.ods", "set.txt", "set", "set.csv"])
def test_a_file_of_another_kind(name: str, tmp_path: Path) -> None:
    (tmp_path / name).write_bytes(b"x")
    sentence = _only_sentence(tmp_path / name)
    assert "folder" in sentence


def test_a_csv_file_of_another_name_is_told_and_nothing_that_follows(tmp_path: Path) -> None:
    texts = {("itmes" if name == "items" else name): text for name, text in BASE.items()}
    sentence = _only_sentence(folder_of(texts, tmp_path / "set"))
    assert "itmes.csv: there is no table 'itmes'. Did you mean items?" in sentence


def test_names_of_files_are_compared_without_case(tmp_path: Path) -> None:
    folder = folder_of(BASE, tmp_path / "set")
    (folder / "stock.csv").rename(folder / "Stock.CSV")
    (folder / "Stock.CSV").write_text(BASE["stock"].replace("1.5 kg", "1.5"))
    assert "table stock, row 2" in _only_sentence(folder)


def test_two_files_of_one_table(tmp_path: Path) -> None:
    folder = folder_of(BASE, tmp_path / "set")
    (folder / "Stock.csv").write_text(BASE["stock"])
    assert "which the set has already" in _only_sentence(folder)


def test_a_folder_named_like_a_table_is_told(tmp_path: Path) -> None:
    folder = folder_of(BASE, tmp_path / "set")
    (folder / "packs.csv").unlink()
    (folder / "packs.csv").mkdir()
    assert "packs.csv: cannot be read" in _only_sentence(folder)


def test_a_systems_own_files_do_no_harm(tmp_path: Path) -> None:
    folder = folder_of(BASE, tmp_path / "set")
    (folder / "._items.csv").write_bytes(b"\0\5\x16\7")
    (folder / ".~lock.items.csv#").write_text("x")
    assert sentences_of(folder) == []


def test_an_empty_workbook_has_no_table(tmp_path: Path) -> None:
    assert "there is no table in it" in _only_sentence(saved(Workbook(), tmp_path))
