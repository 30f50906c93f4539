import getpass
import os
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import text

from prepstore.amounts import Kind
from prepstore.cli.loading import take_in
from prepstore.cli.rooms import (
    department_in,
    planned,
    shelf_in,
    signed,
    stored_rows,
    today,
)
from prepstore.ledger.errors import StoreError
from prepstore.ledger.movements import record
from prepstore.ledger.store_file import reading, writing
from prepstore.movements import Booking, SessionUse
from prepstore.planning.calendar import Period
from prepstore.problems import RefusedError
from prepstore.report.warning_sentences import warning_in_words
from prepstore.tables.read import read_set
from tests.cli.conftest import SAMPLE
from tests.ledger.faults import IS_ADMINISTRATOR, refused
from tests.ledger.rows_of import SIGNED


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
        department = department_in(connection, date(2027, 3, 3))
    assert "acetone" not in department.catalogue.items
    assert not [held for held in department.lots.values() if held.lot.item == "acetone"]
    told = capsys.readouterr().err
    assert "the store: table items, row" in told
    assert "Left out: items acetone" in told
    plan = planned(store, Period.of_week("2027-W10"), date(2027, 3, 3))
    assert 0 < len(plan.sessions) < 19
    told_last = [warning_in_words(one) for one in plan.warnings if one.about == "the store"][-1]
    assert told_last.startswith("Left out of this plan: items acetone")


def test_a_day_may_be_set_for_exercises(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PREPSTORE_TODAY", "2027-03-08")
    assert today() == date(2027, 3, 8)
    monkeypatch.setenv("PREPSTORE_TODAY", "8 March")
    with pytest.raises(RefusedError, match="'8 March', which is not a date"):
        today()


def test_a_lot_with_a_wrong_cell_is_there_to_be_mended_and_nothing_is_taken_of_it(
    store: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with writing(store) as connection:
        connection.execute(text("update stock set expiry = '3027-01-31' where lot = 'S27-021'"))
        connection.execute(text("update stock set amount = '2.5 each' where lot = 'L0263'"))
    with reading(store) as connection:
        shelf = shelf_in(connection)
    told = capsys.readouterr().err
    assert "Lots with mistakes are shown as in quarantine here, 2 in all" in told
    acid, gloves = shelf.lot("S27-021"), shelf.lot("L0263")
    assert (acid.is_usable, gloves.is_usable) == (False, False)
    assert acid.last_day == date(1900, 1, 1)
    assert gloves.amount > 2


def test_a_session_that_was_booked_out_stays_so_when_it_is_moved(store: Path) -> None:
    use = SessionUse(
        session="W10-Mon-4", session_date=date(2027, 3, 8), practical="P", item="i",
        unit=Kind.MASS, planned=1, used=1,
    )  # fmt: skip
    with writing(store) as connection:
        record(connection, Booking(uses=(use,)), SIGNED)
        connection.execute(
            text("update timetable set date = '2027-03-12' where session = 'W10-Mon-4'")
        )
    for first in (date(2027, 3, 8), date(2027, 3, 10)):
        with reading(store) as connection:
            assert "w10-mon-4" in department_in(connection, first).timetable.booked_out


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
