from sqlalchemy import Connection

from prepstore.ledger.copied_entries import copied_entries, past_of, taken_in_before
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, Change, Movement, Signed, What
from tests.ledger.faults import signed
from tests.ledger.rows_of import SIGNED, book, movement, store_with_lots


def _began(connection: Connection) -> None:
    new = Movement(
        lot="N1",
        what=What.RECEIVED,
        billionths=10**9,
        unit=movement().unit,
        item="salt",
        written="1 g",
    )
    cells = {"lot": "N1", "item": "salt", "amount": "1 g", "place": "bay 1"}
    record(connection, Booking(movements=(new,), new_lots=(cells,)), signed("kim"))


def _moved(connection: Connection) -> None:
    change = Change(column="place", was="bay 1", now="bay 2")
    moved = Movement(lot="n1", what=What.MOVED, unit=movement().unit, change=change)
    record(connection, Booking(movements=(moved,), reason="tidied"), signed("ola"))


def test_entries_come_in_order_with_lots_as_they_began(place: Place) -> None:
    store_with_lots(place, L1="500")
    with writing(place) as connection:
        _began(connection)
        _moved(connection)
    book(place, movement("N1", "-1", What.USED))
    with reading(place) as connection:
        began, moved, used = copied_entries(connection, after=1)
    assert [one.number for one in (began, moved, used)] == [2, 3, 4]
    assert [one.signed.by for one in (began, moved, used)] == ["kim", "ola", "somebody"]
    assert began.booking.new_lots == (
        {"lot": "N1", "item": "salt", "amount": "1 g", "place": "bay 1"},
    )
    assert began.before.lots == {}
    assert moved.booking.reason == "tidied"
    # As the row spells the label, however the command did.
    assert moved.booking.movements[0].lot == "N1"
    assert (moved.before.lots, moved.before.lots_began) == ({"n1": 10**9}, {"n1": 2})
    assert used.before.lots == {"n1": 10**9}


def test_what_is_held_now_is_after_all_of_it(place: Place) -> None:
    store_with_lots(place, L1="500")
    book(place, movement("L1", "-2", What.USED))
    booking = Booking(movements=(movement("L1", "-2", What.USED),))
    with reading(place) as connection:
        assert past_of(connection, booking).lots == {"l1": 498 * 10**9}
        assert past_of(connection, booking, before=2).lots == {"l1": 500 * 10**9}
        assert past_of(connection, booking, before=1).lots == {}


def test_what_was_taken_in_is_known_again(place: Place) -> None:
    store_with_lots(place, L1="500")
    marked = Signed(
        by="kim", on_day=SIGNED.on_day, at_utc="2027", taken_in="2028", taken_from="a.db"
    )
    book(place, movement("L1", "-2", What.USED), signed=marked)
    with reading(place) as connection:
        assert taken_in_before(connection) == {("2027", "kim", "2027-01-25"): 2}
