from dataclasses import replace

import pytest

from prepstore.problems import Place, Problem
from prepstore.tables.understand import understand
from prepstore.tables.unsure import WHOLE_TABLE, Unsure, unsure_about
from prepstore.written import WrittenSet
from tests.tables.written_rows import written

SET = written(
    items="item,kind,unit\nsalt,reagent,g\n",
    solutions="solution\nA\nB\n",
    solution_parts="solution,item,amount\nA,salt,1 g/L\nB,salt,1 g/L\n",
    practicals="practical,title\nP,x\nQ,y\n",
    practical_lines="practical,item,amount,per\nP,salt,1 g,group\nQ,salt,1 g,group\n",
)


def _unsure(rows: WrittenSet, *codes: tuple[str, str]) -> Unsure:
    known, _ = understand(rows)
    problems = [Problem(code, Place("x", table), "", "") for code, table in codes]
    return unsure_about(rows, known, problems)


def test_nothing_is_in_doubt_where_nothing_is_wrong() -> None:
    assert _unsure(SET) == Unsure(frozenset(), frozenset(), frozenset())


@pytest.mark.parametrize("code", sorted(WHOLE_TABLE))
def test_the_names_of_a_table_that_is_not_read_are_in_doubt(code: str) -> None:
    assert _unsure(SET, (code, "packs")).tables == {"packs"}


def test_a_problem_of_one_column_leaves_names_alone() -> None:
    assert _unsure(SET, ("column-unknown", "items")).tables == frozenset()


def test_a_table_of_another_name_may_be_any_that_the_set_lacks() -> None:
    tables = _unsure(SET, ("table-unknown", "")).tables
    assert "suppliers" in tables
    assert "items" not in tables


def test_a_row_without_its_name_puts_the_names_of_its_table_in_doubt() -> None:
    rows = {**SET, "items": written(items="item,kind,unit\n,reagent,g\n")["items"]}
    assert _unsure(rows).tables == {"items"}
    told = [replace(SET["items"][0], told=frozenset({"item"}))]
    assert _unsure({**SET, "items": told}).tables == {"items"}


def test_a_wrong_part_or_line_puts_its_own_solution_or_practical_in_doubt() -> None:
    rows = {
        **SET,
        **written(
            solution_parts="solution,item,amount\nA,salt,1\nB,salt,1 g/L\n",
            practical_lines="practical,item,amount,per,optional\n"
            "P,salt,1 g,group,\nq,salt,1 g,group,perhaps\n",
        ),
    }
    unsure = _unsure(rows)
    assert unsure.solutions == {"a"}
    assert unsure.practicals == {"q"}


def test_a_part_without_a_solution_may_be_of_any() -> None:
    rows = {**SET, **written(solution_parts="solution,item,amount\n,salt,1 g/L\n")}
    assert _unsure(rows).solutions == {"a", "b"}
