"""The sample shows every rule and column: change the row that shows it, and its figure changes."""

from collections.abc import Mapping

import pytest

from prepstore.columns import SETTING_FIELD, TABLES
from tests.every_case import every_case
from tests.journeys import (
    cases_of_benches,
    cases_of_demand,
    cases_of_making,
    cases_of_stock,
    cases_of_time,
    cases_of_waste,
    cases_of_words,
)
from tests.journeys.cases_of_stock import BY_ITEM
from tests.journeys.sample import Case, Sample, unchanged

CASES = (
    *cases_of_demand.CASES,
    *cases_of_making.CASES,
    *cases_of_stock.CASES,
    *cases_of_benches.CASES,
    *cases_of_words.CASES,
    *cases_of_time.CASES,
    *cases_of_waste.CASES,
)
RULES = {*(str(number) for number in range(1, 15)), "promised", "time"}

ABOUT_ORDERS = {"10", "time", "words"}
"""What is about other things needs no search for the cheapest order."""


def same(figure: object, expected: object) -> bool:
    """Return whether two figures are one: numbers to nine places, whatever holds them."""
    match figure, expected:
        case bool(), bool():
            return figure is expected
        case ((int() | float()), (int() | float())):
            return bool(figure == pytest.approx(expected, rel=1e-9, abs=1e-9))
        case dict(), dict():
            return figure.keys() == expected.keys() and all(
                same(figure[key], expected[key]) for key in figure
            )
        case ((list() | tuple()), (list() | tuple())):
            return len(figure) == len(expected) and all(map(same, figure, expected))
        case _:
            return figure == expected


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case.rule}: {case.name}")
def test_the_figure_follows_the_row_that_shows_it(case: Case) -> None:
    is_about_orders = case.rule in ABOUT_ORDERS
    beside = case.beside or (() if is_about_orders else BY_ITEM)
    before = case.figure(unchanged(case.week, is_by_item=beside == BY_ITEM))
    after = case.figure(Sample((*beside, *case.edits), case.week))
    assert same(before, case.before), f"{before} before the change, not {case.before}"
    assert same(after, case.after), f"{after} after the change, not {case.after}"
    assert not same(before, after), "the change is not seen"


def _changed_columns() -> Mapping[tuple[str, str], list[str]]:
    """Return the names of the cases that change each column."""
    found: dict[tuple[str, str], list[str]] = {}
    for case in CASES:
        for edit in case.edits:
            for column in edit.cells:
                found.setdefault((edit.table, column), []).append(case.name)
    return found


@every_case(
    "table,column",
    [
        (table.name, column.name)
        for table in TABLES.values()
        for column in table.columns.values()
        if not column.required
    ],
)
def test_every_optional_column_has_a_case(table: str, column: str) -> None:
    assert (table, column) in _changed_columns()


@every_case(
    "table,column",
    [
        (table.name, column.name)
        for table in TABLES.values()
        for column in table.columns.values()
        if not column.required
    ],
)
def test_every_optional_column_is_filled_in_somewhere(table: str, column: str) -> None:
    assert any(column in row.text for row in unchanged("2027-W10").rows[table])


@every_case("name", list(SETTING_FIELD))
def test_every_setting_is_given_and_has_a_case(name: str) -> None:
    changed = {
        edit.row["setting"] for case in CASES for edit in case.edits if edit.table == "settings"
    }
    assert name in changed
    assert any(row.text["setting"] == name for row in unchanged("2027-W10").rows["settings"])


def test_every_rule_has_cases() -> None:
    assert {case.rule for case in CASES} >= RULES


def test_every_case_has_a_name_of_its_own() -> None:
    names = [case.name for case in CASES]
    assert len(names) == len(set(names))
