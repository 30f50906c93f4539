from datetime import date

import pytest

from prepstore.movements import NewName, What
from prepstore.problems import ProblemsError
from prepstore.tables.intake import Held, Intake, intake, summary
from prepstore.written import STORE, WrittenRow, WrittenSet


def _row(table: str, source: str = "set", **text: str) -> WrittenRow:
    return WrittenRow(table, 2, source, text, frozenset(text))


ITEM = _row("items", item="salt", kind="reagent", unit="g")
LOT = _row("stock", STORE, lot="L1", item="salt", amount="1 kg")
STORED = {"items": [ITEM], "stock": [LOT]}


BILLION = 1_000_000_000
HELD = {"l1": 1000 * BILLION}


def _taken(new: WrittenSet, stored: WrittenSet, *, count: bool = False) -> Intake:
    return intake(new, stored, [], held=Held(HELD, {}), count=count)


def test_a_new_lot_opens_with_its_amount() -> None:
    taken = _taken({"items": [ITEM], "stock": [LOT]}, {})
    [movement] = taken.movements
    assert movement.what is What.OPENING_AMOUNT
    assert (movement.billionths, movement.unit, movement.written) == (1000 * BILLION, "g", "1 kg")
    assert movement.item == "salt"


def test_a_count_records_the_difference_in_the_item_s_unit() -> None:
    counted = {"stock": [_row("stock", lot="L1", item="salt", amount="980 g")]}
    taken = _taken(counted, STORED, count=True)
    [movement] = taken.movements
    assert movement.what is What.COUNTED
    assert movement.billionths == -20 * BILLION
    assert movement.item is None


def test_a_difference_that_is_no_count_gives_both_amounts() -> None:
    counted = {"stock": [_row("stock", lot="L1", item="salt", amount="980 g")]}
    with pytest.raises(ProblemsError) as told:
        _taken(counted, STORED)
    [problem] = told.value.problems
    assert problem.code == "stock-differs"
    assert "980 g" in problem.sentence
    assert "1 kg" in problem.sentence


def test_a_column_that_the_set_does_not_have_stays() -> None:
    stored = {"items": [_row("items", STORE, **ITEM.text, notes="fine grade")]}
    taken = _taken({"items": [ITEM]}, stored)
    assert taken.rows["items"][0].text["notes"] == "fine grade"


def test_a_blank_cell_of_a_column_that_the_set_has_clears_it() -> None:
    stored = {"items": [_row("items", STORE, **ITEM.text, notes="fine grade")]}
    cleared = WrittenRow("items", 2, "set", ITEM.text, frozenset({*ITEM.text, "notes"}))
    taken = _taken({"items": [cleared]}, stored)
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
        _taken({"items": [without]}, stored)
    assert "the store: table practical_lines" in str(told.value)
    assert "no density" in str(told.value)


@pytest.mark.parametrize(
    ("column", "cell", "what"),
    [
        ("place", "shelf 2", What.MOVED),
        ("state", "quarantine", What.STATE_CHANGED),
        ("opened", "2027-01-11", What.OPENED),
        ("tested", "2027-01-12", What.TESTED),
        ("expiry", "2029-01-31", What.CORRECTED),
    ],
)
def test_a_cell_of_a_lot_that_changes_is_a_movement(column: str, cell: str, what: What) -> None:
    cells = {**LOT.text, column: cell}
    taken = _taken({"stock": [_row("stock", **cells)]}, STORED)
    [movement] = taken.movements
    assert (movement.lot, movement.what, movement.billionths) == ("L1", what, 0)
    assert movement.change is not None
    assert (movement.change.column, movement.change.was, movement.change.now) == (column, "", cell)


def test_a_known_label_on_another_item_is_told() -> None:
    new = {
        "items": [_row("items", item="sugar", kind="reagent", unit="g")],
        "stock": [_row("stock", lot="L1", item="sugar", amount="1 kg")],
    }
    with pytest.raises(ProblemsError) as told:
        _taken(new, STORED)
    assert [problem.code for problem in told.value.problems] == ["lot-of-another-item"]
    assert "salt" in str(told.value)


RENAMED = {("items", "halite"): NewName("salt", date(2027, 3, 3))}


def _told_of_names(new: WrittenSet, stored: WrittenSet) -> list[tuple[str, str, str]]:
    with pytest.raises(ProblemsError) as told:
        intake(new, stored, [], held=Held(HELD, RENAMED), count=False)
    return [
        (problem.code, problem.place.table, problem.place.column) for problem in told.value.problems
    ]


def test_a_name_that_was_given_up_is_told_wherever_a_set_still_has_it() -> None:
    new = {
        "items": [_row("items", item="Halite", kind="reagent", unit="g")],
        "stock": [_row("stock", lot="L1", item="halite", amount="1 kg")],
    }
    assert _told_of_names(new, STORED) == [
        ("name-renamed", "items", "item"),
        ("name-renamed", "stock", "item"),
    ]


def test_a_name_that_was_given_up_says_the_new_one_and_since_when() -> None:
    new = {"stock": [_row("stock", lot="L2", item="halite", amount="1 kg")]}
    with pytest.raises(ProblemsError) as told:
        intake(new, STORED, [], held=Held(HELD, RENAMED), count=False)
    (problem,) = told.value.problems
    assert problem.what == "'halite' was renamed to 'salt' on 2027-03-03."


def test_a_solution_cannot_take_the_name_that_an_item_gave_up() -> None:
    new = {"solutions": [_row("solutions", solution="halite")]}
    assert _told_of_names(new, STORED) == [("name-renamed", "solutions", "solution")]


def test_a_name_that_something_in_the_store_bears_again_is_free() -> None:
    stored = {**STORED, "solutions": [_row("solutions", STORE, solution="halite")]}
    new = {"stock": [_row("stock", lot="L2", item="halite", amount="1 L")]}
    taken = intake(new, stored, [], held=Held(HELD, RENAMED), count=False)
    assert [movement.lot for movement in taken.movements] == ["L2"]
