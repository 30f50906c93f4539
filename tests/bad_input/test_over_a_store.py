"""A set laid over what the store holds already."""

from collections.abc import Iterable
from pathlib import Path

import pytest

from prepstore.cell_types import fold
from prepstore.containers import (
    ContainerChange,
    ContainersHeld,
    ContainerState,
    KeptContainer,
)
from prepstore.problems import Problem, ProblemsError
from prepstore.tables.intake import NOTHING_HELD, Held, intake
from prepstore.tables.read import read_set
from tests.bad_input.small_set import BASE, folder_of


def _containers(opened: Iterable[ContainerChange]) -> ContainersHeld:
    """Return the containers that begin with a load."""
    kept, empty = [], {}
    for change in opened:
        if change.container:
            state = ContainerState.OPEN
            label, stream, filled = change.container, change.stream, change.number
            kept.append(KeptContainer(label=label, stream=stream, state=state, filled=filled))
        else:
            empty[fold(change.stream)] = change.empty
    return ContainersHeld(tuple(kept), empty)


def _problems_over_base(texts: dict[str, str], folder: Path) -> tuple[Problem, ...]:
    stored, _ = read_set(folder_of(BASE, folder / "stored"))
    opened = intake(stored, {}, [], held=NOTHING_HELD, count=False)
    balances = {fold(movement.lot): movement.billionths for movement in opened.movements}
    held = Held(balances, {}, containers=_containers(opened.containers))
    new, of_files = read_set(folder_of(texts, folder / "new"))
    try:
        intake(new, stored, of_files, held=held, count=False)
    except ProblemsError as error:
        return error.problems
    return ()


def test_the_set_that_the_store_holds_is_right(tmp_path: Path) -> None:
    assert _problems_over_base(dict(BASE), tmp_path) == ()


def test_a_unit_in_other_capitals_is_the_same_unit(tmp_path: Path) -> None:
    items = "item,kind,unit\nhydrochloric acid,reagent,ML\n"
    assert _problems_over_base({"items": items}, tmp_path) == ()


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("H-1,0,2027-02-31,PO 1", ("on_order", 2, "due")),
        (",0,2027-02-01,PO 1", ("on_order", 2, "pack")),
    ],
)
def test_a_row_that_clears_an_order_is_checked_as_well(
    text: str, place: tuple[str, int, str], tmp_path: Path
) -> None:
    tables = {"on_order": f"pack,packs,due,reference\n{text}\n"}
    (problem,) = _problems_over_base(tables, tmp_path)
    assert (problem.place.table, problem.place.row, problem.place.column) == place


@pytest.mark.parametrize("amount", ["999999999 scoop", "999999999 kmol", "9 scoop + 9999999 kg"])
def test_a_lot_beyond_measure_is_told_once(amount: str, tmp_path: Path) -> None:
    tables = {"stock": f"lot,item,amount\nL9,sodium chloride,{amount}\n"}
    (problem,) = _problems_over_base(tables, tmp_path)
    assert (problem.code, problem.place.column) == ("number-too-large", "amount")


def test_a_lot_of_measures_beyond_measure_is_told_once(tmp_path: Path) -> None:
    tables = {
        "items": "item,kind,unit,density,measures\nlead,reagent,g,999999,tank = 999999999 mL\n",
        "stock": "lot,item,amount\nL9,lead,999999999 tank\n",
    }
    (problem,) = _problems_over_base(tables, tmp_path)
    assert (problem.code, problem.place.column) == ("number-too-large", "amount")


def test_a_table_that_cannot_be_read_does_not_put_stored_names_in_doubt_for_ever(
    tmp_path: Path,
) -> None:
    tables = {"items": "", "stock": "lot,item,amount\nL1,sodium chloride,1.4 kg\n"}
    codes = [problem.code for problem in _problems_over_base(tables, tmp_path)]
    assert codes == ["header-missing", "stock-differs"]


def test_only_the_set_is_named_where_the_set_is_wrong(tmp_path: Path) -> None:
    tables = {"items": "item,kind,unit,density\nhydrochloric acid,reagent,mL,\n"}
    problems = _problems_over_base(tables, tmp_path)
    assert {problem.code for problem in problems} == {"no-route"}
