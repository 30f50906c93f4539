from decimal import Decimal

import pytest

from prepstore.problems import ProblemsError
from prepstore.tables.intake import intake, summary
from prepstore.written import STORE, WrittenRow


def _row(table: str, source: str = "set", **text: str) -> WrittenRow:
    return WrittenRow(table, 2, source, text, frozenset(text))


ITEM = _row("items", item="salt", kind="reagent", unit="g")
LOT = _row("stock", STORE, lot="L1", item="salt", amount="1 kg")
STORED = {"items": [ITEM], "stock": [LOT]}


def test_a_new_lot_opens_with_its_amount() -> None:
    taken = intake({"items": [ITEM], "stock": [LOT]}, {}, [], count=False)
    [change] = taken.lots
    assert change.is_new
    assert (change.number, change.unit, change.written) == (Decimal(1000), "g", "1 kg")


def test_a_count_records_the_difference_in_the_item_s_unit() -> None:
    counted = {"stock": [_row("stock", lot="L1", item="salt", amount="980 g")]}
    taken = intake(counted, STORED, [], count=True)
    [change] = taken.lots
    assert not change.is_new
    assert change.number == Decimal(-20)


def test_a_difference_that_is_no_count_gives_both_amounts() -> None:
    counted = {"stock": [_row("stock", lot="L1", item="salt", amount="980 g")]}
    with pytest.raises(ProblemsError) as told:
        intake(counted, STORED, [], count=False)
    [problem] = told.value.problems
    assert problem.code == "stock-differs"
    assert "980 g" in problem.sentence
    assert "1 kg" in problem.sentence


def test_a_column_that_the_set_does_not_have_stays() -> None:
    stored = {"items": [_row("items", STORE, **ITEM.text, notes="fine grade")]}
    taken = intake({"items": [ITEM]}, stored, [], count=False)
    assert taken.rows["items"][0].text["notes"] == "fine grade"


def test_a_blank_cell_of_a_column_that_the_set_has_clears_it() -> None:
    stored = {"items": [_row("items", STORE, **ITEM.text, notes="fine grade")]}
    cleared = WrittenRow("items", 2, "set", ITEM.text, frozenset({*ITEM.text, "notes"}))
    taken = intake({"items": [cleared]}, stored, [], count=False)
    assert "notes" not in taken.rows["items"][0].text
    assert list(summary(taken.changes)) == ["items: 1 changed"]


def test_a_mistake_in_stored_rows_that_a_load_brings_about_is_told() -> None:
    stored = {
        "items": [_row("items", STORE, item="salt", kind="reagent", unit="g", density="2.1")],
        "practicals": [_row("practicals", STORE, practical="P", title="T")],
        "practical_lines": [
            _row("practical_lines", STORE, practical="P", item="salt", amount="1 mL", per="group")
        ],
    }
    without = WrittenRow("items", 2, "set", ITEM.text, frozenset({*ITEM.text, "density"}))
    with pytest.raises(ProblemsError) as told:
        intake({"items": [without]}, stored, [], count=False)
    assert "the store: table practical_lines" in str(told.value)
    assert "no density" in str(told.value)
