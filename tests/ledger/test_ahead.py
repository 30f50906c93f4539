from sqlalchemy import select

from prepstore.ledger.ahead import ask_ahead
from prepstore.ledger.lots import BALANCES, all_balances, balances
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading
from tests.ledger.rows_of import store_with_lots


def test_what_is_asked_ahead_changes_no_answer(place: Place) -> None:
    store_with_lots(place, L1="5", L2="7")
    with reading(place) as connection:
        ask_ahead(connection, [all_balances()], [select(BALANCES.c.lot)])
        assert balances(connection) == {"l1": 5 * 10**9, "l2": 7 * 10**9}
        assert balances(connection, "l2") == {"l2": 7 * 10**9}
