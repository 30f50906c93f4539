"""All mistakes of a set in one go, and no more than there are."""

from pathlib import Path

import pytest

from prepstore.columns import TABLES
from prepstore.tables.crosscheck import checked
from prepstore.tables.read import read_set
from tests.bad_input.small_set import (
    BASE,
    folder_of,
    problems_of,
    saved,
    sentences_of,
    with_cell,
    workbook_of,
)

TEN = [
    ("items", 2, "cas", "7647-14-4"),
    ("items", 8, "kind", "aparatus"),
    ("solution_parts", 8, "amount", "2 g"),
    ("practicals", 3, "group_size", "0"),
    ("practical_lines", 2, "to", "aqueous 90 %; air 9 %"),
    ("timetable", 4, "date", "2027-02-29"),
    ("stock", 4, "item", "acid 3 mol/L"),
    ("packs", 4, "price", "22,10"),
    ("waste_streams", 4, "container", "10 kg"),
    ("settings", 3, "setting", "prep lead"),
]


def _with_ten_mistakes() -> dict[str, str]:
    texts = dict(BASE)
    for table, row, column, text in TEN:
        texts[table] = _changed(texts, table, row, column, text)
    return texts


def _changed(texts: dict[str, str], table: str, row: int, column: str, text: str) -> str:
    lines, changed = texts[table].splitlines(), with_cell(table, row, column, text)[table]
    lines[row - 1] = changed.splitlines()[row - 1]
    return "\n".join([*lines, ""])


def test_ten_mistakes_give_ten_sentences(tmp_path: Path) -> None:
    problems = problems_of(folder_of(_with_ten_mistakes(), tmp_path / "set"))
    places = {(p.place.table, p.place.row, p.place.column) for p in problems}
    assert places == {(table, row, column) for table, row, column, _ in TEN}
    assert len(problems) == len(TEN)


def test_a_workbook_gives_the_same_ten(tmp_path: Path) -> None:
    texts = _with_ten_mistakes()
    of_csv = problems_of(folder_of(texts, tmp_path / "set"))
    of_book = problems_of(saved(workbook_of(texts), tmp_path))
    assert [(p.code, p.what, p.remedy) for p in of_book] == [
        (p.code, p.what, p.remedy) for p in of_csv
    ]


def test_wrong_files_and_wrong_cells_are_told_together(tmp_path: Path) -> None:
    texts: dict[str, str | bytes] = {
        **BASE,
        "packs": BASE["packs"].replace(",", ";"),
        "suppliers": b"\xff\xfe",
        "timetable": BASE["timetable"].replace("24,,1", "-24,,1"),
    }
    codes = {problem.code for problem in problems_of(folder_of(texts, tmp_path / "set"))}
    assert codes == {"csv-separator", "not-utf-8", "count-unreadable"}


@pytest.mark.parametrize("table", TABLES)
@pytest.mark.parametrize("content", [b"\xff\xfe", b"", b'"', b"Notes\n"], ids=repr)
def test_a_table_that_cannot_be_read_is_told_once(
    table: str, content: bytes, tmp_path: Path
) -> None:
    problems = problems_of(folder_of({**BASE, table: content}, tmp_path / "set"))
    assert [(problem.place.table, problem.place.column) for problem in problems] == [(table, "")]


@pytest.mark.parametrize(
    ("table", "column"),
    [(t.name, c.name) for t in TABLES.values() for c in t.columns.values() if c.required],
)
def test_a_column_that_is_missing_is_told_once(table: str, column: str, tmp_path: Path) -> None:
    lines = [line.split(",") for line in BASE[table].splitlines()]
    at = lines[0].index(column)
    content = "\n".join(",".join(line[:at] + line[at + 1 :]) for line in lines if len(line) > at)
    problems = problems_of(folder_of({**BASE, table: content}, tmp_path / "set"))
    assert [problem.code for problem in problems] == ["column-missing"]
    assert (problems[0].place.table, problems[0].place.column) == (table, column)


def test_two_circles_of_solutions_give_two_sentences(tmp_path: Path) -> None:
    parts = (
        "solution,item,amount\na,b,1 parts\nb,a,1 parts\nc,d,1 parts\nd,c,1 parts\ne,a,1 parts\n"
    )
    texts = {"solutions": "solution\na\nb\nc\nd\ne\n", "solution_parts": parts}
    problems = problems_of(folder_of(texts, tmp_path / "set"))
    assert [problem.code for problem in problems] == ["solution-circle"] * 2
    assert {problem.place.row for problem in problems} == {2, 4}


def test_a_circle_does_not_hide_a_missing_route(tmp_path: Path) -> None:
    texts = {
        **BASE,
        "replacements": "item,replaced_by,factor,to\nwater,water,1,air\n",
        "stock": BASE["stock"].replace("20 each", "20 g"),
    }
    problems = problems_of(folder_of(texts, tmp_path / "set"))
    assert {problem.code for problem in problems} == {"replacement-circle", "no-route"}


def test_ten_thousand_solutions_in_a_row_are_no_circle(tmp_path: Path) -> None:
    count = 10_000
    solutions = "".join(f"s{number}\n" for number in range(count + 1))
    parts = "".join(f"s{number},s{number + 1},1 parts\n" for number in range(count))
    texts = {
        "solutions": f"solution\n{solutions}",
        "solution_parts": f"solution,item,amount\n{parts}",
    }
    assert problems_of(folder_of(texts, tmp_path / "set")) == ()


def test_a_mistake_in_a_part_is_not_told_again_by_what_is_made_from_it(tmp_path: Path) -> None:
    texts = {
        **BASE,
        "solution_parts": BASE["solution_parts"].replace(",2 mol/L,", ",2 mol,"),
        "practical_lines": BASE["practical_lines"].replace("3 x 25 mL", "20 mmol"),
    }
    (sentence,) = sentences_of(folder_of(texts, tmp_path / "set"))
    assert "'2 mol' is not a concentration" in sentence


def test_a_part_without_a_route_is_not_told_again_by_a_need_of_its_solution(tmp_path: Path) -> None:
    texts = {
        **BASE,
        "solution_parts": BASE["solution_parts"].replace("5 % w/v", "5 % w/w"),
        "practical_lines": BASE["practical_lines"]
        .replace("3 x 25 mL", "20 mmol")
        .replace("acid 0.1 mol/L", "salt solution"),
    }
    (sentence,) = sentences_of(folder_of(texts, tmp_path / "set"))
    assert "'5 % w/w' cannot be worked out: the solution has no density" in sentence


def test_an_unknown_practical_is_not_told_again_by_the_stages_it_leaves_out(tmp_path: Path) -> None:
    texts = {**BASE, "timetable": BASE["timetable"].replace("Tue am,ORG-01", "Tue am,XYZ-99")}
    (sentence,) = sentences_of(folder_of(texts, tmp_path / "set"))
    assert "'XYZ-99' is not a known practical" in sentence


def test_checking_alone_finds_what_stands_in_cells(tmp_path: Path) -> None:
    rows, of_files = read_set(folder_of(_with_ten_mistakes(), tmp_path / "set"))
    assert of_files == []
    assert len(checked(rows).problems) == len(TEN)


def test_row_numbers_are_those_of_a_spreadsheet(tmp_path: Path) -> None:
    items = 'item,kind,unit,notes\r\n\r\n"salt",reagent,g,"one\r\ntwo\r\nthree"\r\n\r\nx,y,g,\r\n'
    (problem,) = problems_of(folder_of({"items": items}, tmp_path / "set"))
    assert (problem.place.row, problem.place.column) == (5, "kind")
