from pathlib import Path

import pytest

from prepstore.ledger.common_history import last_in_common
from prepstore.ledger.place import Place
from prepstore.ledger.store import copy_whole, reading
from prepstore.movements import What
from tests.conftest import Places
from tests.ledger.faults import signed
from tests.ledger.rows_of import book, movement, store_with_lots


def _last(one: Place, other: Place) -> int:
    with reading(one) as first, reading(other) as second:
        return last_in_common(first, second)


def test_a_copy_has_all_in_common_until_either_goes_on(places: Places, tmp_path: Path) -> None:
    store, copy = store_with_lots(places("store"), L1="500"), tmp_path / "copy.db"
    book(store, movement("L1", "-5", What.USED))
    copy_whole(store, copy)
    assert _last(store, copy) == 2
    book(copy, movement("L1", "-5", What.USED), signed=signed("kim"))
    assert _last(store, copy) == 2
    assert _last(copy, store) == 2
    # The same number is not the same entry.
    book(store, movement("L1", "-6", What.USED), signed=signed("kim"))
    assert _last(store, copy) == 2


@pytest.mark.parametrize(
    ("number", "by"), [("-6", "kim"), ("-5", "ola")], ids=["another amount", "another person"]
)
def test_what_is_compared_is_all_that_was_recorded(
    number: str, by: str, places: Places, tmp_path: Path
) -> None:
    store, copy = store_with_lots(places("store"), L1="500"), tmp_path / "copy.db"
    copy_whole(store, copy)
    book(store, movement("L1", "-5", What.USED), signed=signed("kim"))
    book(copy, movement("L1", number, What.USED), signed=signed(by))
    for place in (store, copy):
        book(place, movement("L1", "-1", What.USED), signed=signed("kim"))
    assert _last(store, copy) == 1


def test_stores_that_were_made_apart_have_nothing_in_common(places: Places, tmp_path: Path) -> None:
    store = store_with_lots(places("store"), L1="500")
    assert _last(store, store_with_lots(tmp_path / "other.db", L1="501")) == 0
