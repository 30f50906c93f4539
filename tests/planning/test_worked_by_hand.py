"""The worked example of the docs: its tables through the real readers, its figures held to.

The figures stand in docs/explanation/worked-by-hand.md and were worked out there by hand, as exact
fractions, apart from the program.
"""

import json
import re
from decimal import Decimal
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.report.plan_json import plan_json
from tests.builders import day, facts_from, needs_of

PAGE = Path(__file__).parents[2] / "docs" / "explanation" / "worked-by-hand.md"
BLOCK = re.compile(r"\*\*([a-z_]+)(?:\.csv)?\*\*\n\n```(?:csv|json)\n(.*?)```", re.DOTALL)
FOR_THE_READER = {"exact", "before_rounding"}
NAMED_BY = ("session", "item", "solution", "pack", "lot", "stream")


@cache
def _blocks() -> dict[str, str]:
    return dict(BLOCK.findall(PAGE.read_text(encoding="utf-8")))


@cache
def _expected() -> dict[str, Any]:
    expected: dict[str, Any] = json.loads(_blocks()["expected"], parse_float=Decimal)
    return expected


@cache
def _plan() -> Plan:
    tables = {name: text for name, text in _blocks().items() if name != "expected"}
    period = Period.of_week(_expected()["week"])
    return facts_from(tables).plan(period, day(_expected()["today"]))


def _key(row: dict[str, Any]) -> tuple[str, ...]:
    if "pack" in row:
        return (row["pack"],)
    return tuple(str(row[name]) for name in NAMED_BY if name in row)[:1]


def _holds(ours: Any, by_hand: Any, where: str) -> None:  # noqa: ANN401 - any part of JSON
    """Compare what the page gives: rows by name, numbers to 1e-12 of themselves."""
    match by_hand:
        case dict():
            for name in by_hand.keys() - FOR_THE_READER:
                _holds(ours[name], by_hand[name], f"{where}.{name}")
        case [dict(), *_]:
            found = {_key(row): row for row in ours}
            for row in by_hand:
                _holds(found[_key(row)], row, f"{where}{_key(row)}")
        case bool() | str() | list() | None:
            assert ours == by_hand, where
        case _:
            assert Decimal(ours) == pytest.approx(by_hand, rel=Decimal("1e-12")), where


@pytest.mark.parametrize("table", ["sessions", "needs", "making_up", "stock", "orders", "waste"])
def test_the_plan_comes_to_the_figures_worked_by_hand(table: str) -> None:
    ours = json.loads(plan_json(_plan()), parse_float=Decimal)
    _holds(ours[table], _expected()[table], table)


@pytest.mark.parametrize("table", ["sessions", "needs", "making_up", "orders", "waste"])
def test_the_plan_has_no_row_that_the_page_does_not_work_out(table: str) -> None:
    ours = json.loads(plan_json(_plan()))[table]
    assert {_key(row) for row in ours} == {_key(row) for row in _expected()[table]}


def test_the_figures_inside_the_plan_are_the_exact_fractions_to_28_digits() -> None:
    expected = _expected()
    exact = {
        **{row["item"]: Fraction(row["exact"]) for row in expected["needs"]},
        **{row["item"]: Fraction(row["exact"]) for row in expected["making_up"][0]["parts"]},
    }
    parts = {part.ingredient.material.name: part.amount for part in _plan().batches[0].parts}
    ours = {**needs_of(_plan(), "COPPER-1"), **parts}
    assert ours.keys() == exact.keys()
    for name, amount in ours.items():
        assert abs(Fraction(amount) - exact[name]) <= exact[name] * Fraction(1, 10**26), name


def test_what_cannot_be_measured_in_its_stream_is_named() -> None:
    named = {name for stream in _plan().waste.streams for name in stream.uncounted}
    assert named == set(_expected()["counted_as_nothing"])


def test_every_block_of_the_page_is_used() -> None:
    fences = re.findall(r"^```(?:csv|json)$", PAGE.read_text(encoding="utf-8"), re.MULTILINE)
    assert len(fences) == len(_blocks())
