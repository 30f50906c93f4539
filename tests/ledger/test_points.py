import pytest
from sqlalchemy import Connection

from prepstore.ledger.ahead import ask_ahead
from prepstore.ledger.lots import all_balances, balances
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.points import going_back
from prepstore.ledger.store import all_or_nothing, reading
from prepstore.movements import Booking
from tests.ledger.faults import signed
from tests.ledger.rows_of import movement, store_with_lots


def _counted(connection: Connection, less: str) -> None:
    record(connection, Booking(movements=(movement("L1", less),)), signed("kim"))


def _refused(connection: Connection) -> None:
    with going_back(connection):
        ask_ahead(connection, [all_balances()])
        _counted(connection, "-100")
        assert balances(connection)["l1"] == 399 * 10**9
        _counted(connection, "-7")
        raise ValueError("refused")


def test_what_is_refused_goes_and_what_was_before_stays(place: Place) -> None:
    store_with_lots(place, L1="500")

    def act(connection: Connection) -> None:
        _counted(connection, "-1")
        with pytest.raises(ValueError, match="refused"):
            _refused(connection)
        assert balances(connection)["l1"] == 499 * 10**9
        with going_back(connection):
            _counted(connection, "-2")

    all_or_nothing(place, act)
    with reading(place) as connection:
        assert balances(connection)["l1"] == 497 * 10**9
