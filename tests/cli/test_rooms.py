from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import text

from prepstore.cli.rooms import inventory_in, planned, stored_rows, take_in, today
from prepstore.ledger.store_file import reading, writing
from prepstore.planning.calendar import Period
from prepstore.problems import RefusedError
from prepstore.tables.read import read_set
from tests.cli.conftest import SAMPLE


@pytest.fixture
def store(tmp_path: Path) -> Path:
    rows, problems = read_set(SAMPLE)
    path = tmp_path / "prepstore.db"
    take_in(path, rows, problems, count=False)
    return path


def test_every_row_of_a_set_is_in_the_store(store: Path) -> None:
    rows, _ = read_set(SAMPLE)
    held = stored_rows(store)
    assert {name: len(of_table) for name, of_table in held.items()} == {
        name: len(of_table) for name, of_table in rows.items()
    }


def test_each_new_lot_has_an_opening_movement(store: Path) -> None:
    with reading(store) as connection:
        found = connection.execute(text("select what, count(*) from movements group by what"))
        lots = len(read_set(SAMPLE)[0]["stock"])
        assert [tuple(row) for row in found] == [("opening amount", lots)]


def test_a_plan_from_the_store_is_the_plan_from_the_tables(store: Path) -> None:
    plan = planned(store, Period.of_week("2027-W10"), date(2027, 3, 3))
    assert len(plan.sessions) == 19


def test_a_store_changed_by_another_program_is_read_as_far_as_it_is_right(
    store: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with writing(store) as connection:
        connection.execute(text("update items set unit = 'bucket' where item = 'acetone'"))
    with reading(store) as connection:
        inventory = inventory_in(connection, date(2027, 3, 3))
    assert "acetone" not in inventory.items
    assert not [lot for lot in inventory.lots if lot.item == "acetone"]
    told = capsys.readouterr().err
    assert "the store: table items, row" in told
    assert "Left out: items acetone" in told
    plan = planned(store, Period.of_week("2027-W10"), date(2027, 3, 3))
    assert 0 < len(plan.sessions) < 19
    assert [one.message for one in plan.warnings if one.about == "the store"][-1].startswith(
        "Left out of this plan: items acetone"
    )


def test_a_day_may_be_set_for_exercises(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-08")
    assert today() == date(2027, 3, 8)
    monkeypatch.setenv("PREPSTORE_TODAY", "8 March")
    with pytest.raises(RefusedError, match="'8 March', which is not a date"):
        today()
