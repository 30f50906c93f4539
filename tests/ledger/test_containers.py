"""What happens to waste containers in the store's file."""

from dataclasses import replace
from datetime import date

import pytest

from prepstore.containers import (
    Called,
    ContainerChange,
    ContainersHeld,
    ContainerState,
    ContainerWhat,
)
from prepstore.ledger.containers import (
    collected_containers,
    containers_held,
    recorded_containers,
    recorded_empty,
)
from prepstore.ledger.errors import StoreError
from prepstore.ledger.movements import record
from prepstore.ledger.names import record_names
from prepstore.ledger.place import Place
from prepstore.ledger.store import reading, writing
from prepstore.movements import Booking, NameChange, NameWhat
from tests.builders import figures
from tests.container_changes import change
from tests.ledger.rows_of import SIGNED, put, row, store_with_lots

OPENED = change("opened", was="", now="open", empty=-1)
SEALED = change("sealed", was="open", now="sealed")
COLLECTED = change("collected", was="sealed", now="collected")
TOLD = change("counted", "", empty=3)


@pytest.fixture
def store(place: Place) -> Place:
    path = store_with_lots(place)
    with writing(path) as connection:
        put(connection, {"waste_streams": [row("waste_streams", stream="solvent")]})
    return path


def book(path: Place, *changes: ContainerChange, day: date = SIGNED.on_day) -> int:
    """Record changes as one entry."""
    with writing(path) as connection:
        return record(connection, Booking(containers=changes), replace(SIGNED, on_day=day))


def held(path: Place) -> ContainersHeld:
    """Return the containers of a store."""
    with reading(path) as connection:
        return containers_held(connection)


def test_what_a_container_holds_is_the_sum_of_its_changes(store: Place) -> None:
    book(store, TOLD, OPENED, change("filled", ml=300), change("measured", ml=-50))
    (one,) = held(store).containers
    assert figures(one.label, one.filled, one.state) == ("W1", 250, ContainerState.OPEN)
    assert held(store).empty == {"solvent": 2}
    assert held(store).taken == {"w1"}


def test_a_container_knows_the_days_on_which_it_was_opened_sealed_and_collected(
    store: Place,
) -> None:
    days = [date(2027, 2, day) for day in (1, 5, 9)]
    for what, on in zip((OPENED, SEALED, COLLECTED), days, strict=True):
        book(store, replace(what, empty=0), day=on)
    assert held(store).containers == ()
    with reading(store) as connection:
        (one,) = collected_containers(connection)
    assert (one.opened_on, one.sealed_on, one.collected_on) == tuple(days)


def test_the_day_on_which_one_that_began_with_a_load_was_opened_is_not_known(store: Place) -> None:
    book(store, change("opening amount", ml=5, was="", now="open"))
    assert [one.opened_on for one in held(store).containers] == [None]


def test_the_number_of_empty_ones_is_known_once_it_was_told(store: Place) -> None:
    book(store, replace(OPENED, empty=0))
    assert held(store).empty == {}
    book(store, TOLD)
    assert held(store).empty == {"solvent": 3}
    with reading(store) as connection:
        (told,) = recorded_empty(connection)
    book(store, replace(TOLD, what=ContainerWhat.UNDONE, empty=-3, reverses=told.number))
    assert held(store).empty == {}


def test_a_container_whose_opening_was_undone_is_not_there(store: Place) -> None:
    book(store, replace(OPENED, empty=0))
    undone = change("undone", was="open", now="", reverses=1)
    book(store, undone)
    assert held(store) == ContainersHeld()


@pytest.mark.parametrize(
    "wrong",
    [
        (OPENED,),
        (replace(OPENED, empty=0), change("taken back", ml=-1)),
        (replace(OPENED, empty=0), replace(OPENED, empty=0, container="W2")),
        (replace(OPENED, empty=0), change("filled", ml=-1)),
        (change("filled", "", ml=1),),
    ],
)
def test_the_file_itself_refuses_what_cannot_be(
    wrong: tuple[ContainerChange, ...], store: Place
) -> None:
    with pytest.raises(StoreError, match="constraint"):
        book(store, *wrong)
    assert held(store) == ContainersHeld()


@pytest.mark.parametrize("statement", ["UPDATE {} SET empty = 1", "DELETE FROM {}"])
def test_changes_are_only_added(statement: str, store: Place) -> None:
    book(store, replace(OPENED, empty=0))
    with pytest.raises(StoreError, match="only added"), writing(store) as connection:
        connection.exec_driver_sql(statement.format("container_changes"))


def test_changes_are_found_by_entry_session_and_container_with_who_undid_them(store: Place) -> None:
    first = book(store, replace(OPENED, empty=0), change("filled", ml=5, lot="L1", item="salt"))
    with writing(store) as connection:
        booking = Booking(containers=(change("filled", ml=7),), session="Mon", reason="why")
        record(connection, booking, SIGNED)
        record_names(
            connection,
            [NameChange(what=NameWhat.RENAMED, table="items", was="salt", now="sea salt")],
            first + 1,
        )
    book(store, change("undone", ml=-7, reverses=3))
    with reading(store) as connection:
        of_session = recorded_containers(connection, session="Mon")
        of_entry = recorded_containers(connection, entry=first)
        assert len(recorded_containers(connection, containers=["W1"])) == 4
        assert recorded_containers(connection, containers=["W2"]) == []
    assert [(one.number, one.undone_by, one.reason) for one in of_session] == [(3, 3, "why")]
    # Under the name of now: what was recorded before a change of names is read by it.
    assert [one.change.item for one in of_entry] == [None, "sea salt"]
    assert of_entry[1].change.lot == "L1"


def _calls(path: Place) -> dict[str, Called]:
    return dict(held(path).called)


def test_a_collection_that_was_called_stands_until_it_is_collected_or_undone(store: Place) -> None:
    expected = date(2027, 3, 12)
    call = change("collection called", "", expected=expected)
    assert _calls(store) == {}
    book(store, call)
    assert _calls(store) == {"solvent": Called(SIGNED.on_day, expected)}
    assert held(store).empty == {}  # a call says nothing of the empty ones
    with reading(store) as connection:
        (kept,) = recorded_empty(connection)
    assert kept.change == call
    for what in (OPENED, SEALED, COLLECTED):
        book(store, replace(what, empty=0))
    assert _calls(store) == {}
    book(store, change("undone", was="collected", now="sealed", reverses=4))
    assert _calls(store) == {"solvent": Called(SIGNED.on_day, expected)}
    book(store, change("undone", "", reverses=1, expected=expected))
    assert _calls(store) == {}
