"""What an entry says of what belongs to it."""

from dataclasses import replace
from pathlib import Path

from prepstore.ledger.entries import told_of, with_entries, with_entries_and_undoing
from prepstore.ledger.movements import MOVEMENTS, record
from prepstore.ledger.store_file import reading, writing
from prepstore.ledger.timetable import TIMETABLE_CHANGES
from prepstore.movements import Booking, TimetableChange, What
from tests.ledger.rows_of import SIGNED, movement, store_with_lots


def test_a_row_has_who_when_and_why_and_which_entry_undid_it(tmp_path: Path) -> None:
    store = store_with_lots(tmp_path / "prepstore.db", L1="500")
    with writing(store) as connection:
        used = movement("L1", "-3", What.USED)
        record(connection, Booking(movements=(used,), session="Mon", reason="why"), SIGNED)
        back = replace(movement("L1", "3", What.UNDONE), reverses=2)
        record(connection, Booking(movements=(back,)), SIGNED)
    number = MOVEMENTS.c.movement
    with reading(store) as connection:
        rows = connection.execute(
            with_entries_and_undoing(MOVEMENTS, number).order_by(number)
        ).all()
    assert [(row.movement, row.undone_by, row.of_session) for row in rows] == [
        (1, None, None), (2, 3, "Mon"), (3, None, None),
    ]  # fmt: skip
    assert told_of(rows[1]) == {
        "entry": 2,
        "on_day": SIGNED.on_day,
        "at_utc": SIGNED.at_utc,
        "by": "somebody",
        "reason": "why",
        "database_user": None,
        "taken_in": None,
        "taken_from": None,
    }


def test_a_session_of_its_own_is_not_mixed_up_with_that_of_the_entry(tmp_path: Path) -> None:
    store = store_with_lots(tmp_path / "prepstore.db")
    change = TimetableChange(session="Tue", column="session", was="", now="Tue")
    with writing(store) as connection:
        record(connection, Booking(timetable=(change,), session="Mon"), SIGNED)
    with reading(store) as connection:
        (row,) = connection.execute(with_entries(TIMETABLE_CHANGES)).all()
    assert (row.session, row.of_session) == ("Tue", "Mon")
