import getpass
import os
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import text

from prepstore.cli.rooms import inventory_in, planned, signed, stored_rows, take_in
from prepstore.ledger.errors import StoreError
from prepstore.ledger.store_file import reading, writing
from prepstore.planning.calendar import Period
from prepstore.problems import ProblemsError
from prepstore.tables.read import read_set
from tests.cli.conftest import SAMPLE
from tests.ledger.faults import IS_ADMINISTRATOR, refused


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


def test_a_store_changed_by_another_program_is_checked_again(store: Path) -> None:
    with writing(store) as connection:
        connection.execute(text("update items set unit = 'bucket' where item = 'acetone'"))
    with (
        reading(store) as connection,
        pytest.raises(ProblemsError, match="the store: table items, row"),
    ):
        inventory_in(connection, date(2027, 3, 3))


NAMES_OF_A_USER = ("LOGNAME", "USER", "LNAME", "USERNAME")


def test_who_records_is_known_by_the_login_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("LOGNAME", "kim")
    assert signed().by == "kim"
    assert signed("Marit").by == "Marit"


@pytest.mark.skipif(not IS_ADMINISTRATOR, reason="only an administrator can become another user")
def test_who_has_no_login_name_is_known_by_number(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in NAMES_OF_A_USER:
        monkeypatch.delenv(name, raising=False)

    def sign() -> None:
        raise StoreError(signed().by)

    assert refused(sign, user=4_000_123) == "user 4000123"


@pytest.mark.parametrize("error", [KeyError, OSError, ImportError])
def test_whatever_python_says_of_a_user_without_a_name_he_is_known_by_number(
    error: type[Exception], monkeypatch: pytest.MonkeyPatch
) -> None:
    def nobody() -> str:
        raise error

    monkeypatch.setattr(getpass, "getuser", nobody)
    assert signed().by == f"user {os.getuid()}"
