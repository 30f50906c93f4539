"""Each mistake is told once, where it stands, in one line that says what is expected."""

from pathlib import Path

import pytest

from tests.bad_input.cases import CASES, Case
from tests.bad_input.small_set import (
    BASE,
    folder_of,
    problems_of,
    saved,
    sentences_of,
    workbook_of,
)


def test_there_are_enough_cases_and_no_two_have_one_name() -> None:
    assert len({case.name for case in CASES}) == len(CASES) >= 150


def test_the_small_set_itself_is_right(tmp_path: Path) -> None:
    assert sentences_of(folder_of(BASE, tmp_path / "set")) == []
    assert sentences_of(saved(workbook_of(BASE), tmp_path)) == []


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_mistake_is_told_once_where_it_stands(case: Case, tmp_path: Path) -> None:
    problems = problems_of(folder_of(case.texts, tmp_path / "set"))
    assert [problem.sentence for problem in problems][1:] == []
    (problem,) = problems
    place = problem.place
    assert (place.source, place.table, place.row) == (f"{case.table}.csv", case.table, case.row)
    if case.column:
        assert place.column == case.column
    assert [word for word in case.words if word not in problem.sentence] == []
    assert problem.sentence.isprintable()
    assert problem.sentence.endswith((".", "?"))
    assert len(problem.sentence) < 500
