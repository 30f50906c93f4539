from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy import text

from prepstore.ledger.errors import StoreError
from prepstore.ledger.movements import record
from prepstore.ledger.place import Place
from prepstore.ledger.reserved_labels import recorded_labels, reserved_labels
from prepstore.ledger.soundness import faults
from prepstore.ledger.store import reading, writing
from prepstore.lot_labels import LabelChange, LabelWhat
from prepstore.movements import Booking, NameChange, NameWhat
from tests.ledger.rows_of import SIGNED, store_with_lots

FIRST = LabelChange(
    what=LabelWhat.RESERVED, label="2027-02-05-1", solution="Brine", make_on=date(2027, 2, 5)
)
SECOND = replace(FIRST, label="2027-02-05-2")


@pytest.fixture
def store(place: Place) -> Place:
    return store_with_lots(place)


def _record(path: Place, *labels: LabelChange, names: tuple[NameChange, ...] = ()) -> int:
    with writing(path) as connection:
        return record(connection, Booking(labels=labels, names=names), SIGNED)


def test_what_was_reserved_is_there_until_it_is_freed(store: Place) -> None:
    entry = _record(store, FIRST, SECOND)
    _record(store, replace(FIRST, what=LabelWhat.FREED))
    with reading(store) as connection:
        assert list(faults(connection)) == []
        assert reserved_labels(connection).of == {"2027-02-05-2": SECOND}
        (first, *_) = recorded_labels(connection)
    assert (first.entry, first.change, first.by) == (entry, FIRST, "somebody")
    assert first.on_day == SIGNED.on_day
    _record(store, FIRST)
    with reading(store) as connection:
        # What was reserved last stands last.
        assert list(reserved_labels(connection).of) == ["2027-02-05-2", "2027-02-05-1"]


def test_a_label_is_for_the_solution_by_its_present_name(store: Place) -> None:
    _record(store, FIRST)
    renamed = NameChange(what=NameWhat.RENAMED, table="solutions", was="brine", now="salt water")
    _record(store, names=(renamed,))
    _record(store, SECOND)
    with reading(store) as connection:
        named = [one.solution for one in reserved_labels(connection).of.values()]
    assert named == ["salt water", "Brine"]


@pytest.mark.parametrize(
    "change", ["UPDATE label_changes SET entry = 7", "DELETE FROM label_changes"]
)
def test_what_happened_is_only_added_to(change: str, store: Place) -> None:
    _record(store, FIRST)
    with pytest.raises(StoreError, match="only added"), writing(store) as connection:
        connection.execute(text(change))


def test_a_store_without_labels_has_none_reserved(store: Place) -> None:
    with reading(store) as connection:
        assert reserved_labels(connection).of == {}
        assert recorded_labels(connection) == []
