from pathlib import Path

import pytest

from prepstore.amounts import Kind
from prepstore.cli.recording import record_checked
from prepstore.ledger.load import written_rows
from prepstore.ledger.movements import Asked, recorded
from prepstore.ledger.store_file import reading, writing
from prepstore.movements import Booking, Change, Movement, NameChange, NameWhat, What
from prepstore.problems import RefusedError
from tests.ledger.rows_of import SIGNED, store_with_lots


@pytest.fixture
def store(tmp_path: Path) -> Path:
    return store_with_lots(tmp_path / "prepstore.db", L1="5")


def _expiry(day: str) -> Booking:
    change = Change(column="expiry", was="", now=day)
    return Booking(
        movements=(Movement(lot="L1", what=What.CORRECTED, unit=Kind.MASS, change=change),)
    )


def _record(store: Path, booking: Booking) -> int:
    with writing(store) as connection:
        return record_checked(connection, booking, SIGNED)


def test_what_a_load_would_take_is_recorded(store: Path) -> None:
    assert _record(store, _expiry("2029-01-31")) == 2


def test_what_a_load_would_refuse_leaves_no_trace(store: Path) -> None:
    with pytest.raises(RefusedError, match=r"Lot L1, expiry: '3027-01-31' is not in the years"):
        _record(store, _expiry("3027-01-31"))
    with reading(store) as connection:
        assert len(recorded(connection, Asked())) == 1
        assert "expiry" not in written_rows(connection, "stock")["stock"][0].text


def test_nothing_is_not_recorded(store: Path) -> None:
    with pytest.raises(RefusedError, match="There is nothing to record"):
        _record(store, Booking(reason="why not"))


def test_a_name_that_no_load_would_take_is_refused(store: Path) -> None:
    change = NameChange(what=NameWhat.RENAMED, table="items", was="salt", now="#REF!")
    with pytest.raises(RefusedError, match="error of the spreadsheet"):
        _record(store, Booking(names=(change,)))
