"""What happens to waste containers beside what is booked with a use."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from prepstore.containers import (
    ContainerState,
    KeptContainer,
    RecordedContainer,
)
from prepstore.movements import Booking
from prepstore.problems import RefusedError
from prepstore.shelf.shelf import Department
from prepstore.shelf.waste_containers import (
    added,
    collected,
    container_called,
    empty_counted,
    kept_of,
    level_read,
    measured,
    opened,
    sealed,
    stream_called,
    to_be_collected,
)
from prepstore.stores import Stores
from tests.builders import day, facts_from, g, ml, number
from tests.container_changes import ML, change, recorded

DAY = day("02-03")


def department() -> Department:
    """Return streams of which acid has a sealed and an open container of 1 L, filled to 900 mL."""
    made = facts_from(
        {
            "items": "item,kind,unit,density\nacetone,solvent,mL,0.8\nsalt,reagent,g,",
            "practicals": "practical,title\nP,A",
            "waste_streams": "stream,measure,container\nAcid,volume,1 L\nsolid,mass,\n"
            "oil,volume,2 L",
        }
    )
    full = KeptContainer(label="W1", stream="Acid", state=ContainerState.SEALED, filled=number(900))
    acid = replace(
        made.stores.containers["acid"],
        filled=number(200),
        is_open=True,
        label="W2",
        empty=1,
        opened_on=day("02-01"),
        sealed=(full,),
    )
    stores = replace(
        made.stores,
        containers={**made.stores.containers, "acid": acid},
        container_labels=frozenset({"w1", "w2", "w0"}),
    )
    return replace(made, stores=stores)


SHELF = department()
STORES: Stores = SHELF.stores


def told(booking: Booking) -> list[tuple[object, ...]]:
    """Return label, what happened, how much more, and how many more are empty."""
    return [
        (one.container, str(one.what), one.billionths // ML, one.empty)
        for one in booking.containers
    ]


def test_containers_stand_stream_after_stream_the_open_one_last() -> None:
    assert [(one.kept.label, one.kept.stream, str(one.kept.state)) for one in kept_of(STORES)] == [
        ("W1", "Acid", "sealed"),
        ("W2", "Acid", "open"),
    ]


def test_a_container_goes_by_its_label_or_by_the_stream_it_is_open_for() -> None:
    assert container_called(STORES, "w1").kept.label == "W1"
    assert container_called(STORES, "ACID").kept.label == "W2"
    assert container_called(STORES, "acid").kept.opened_on == day("02-01")


def refused(act: Callable[[], object]) -> str:
    """Return why something is refused."""
    with pytest.raises(RefusedError) as error:
        act()
    return " ".join(error.value.sentences)


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda: container_called(STORES, "oil"),
         "No container of oil is open. Open one: prepstore waste open oil"),
        (lambda: container_called(STORES, "W0"),
         "Container W0 was collected, or is no longer there."),
        (lambda: container_called(STORES, "acidd"), "Did you mean Acid?"),
        (lambda: stream_called(STORES, "soild"), "Did you mean solid?"),
        (lambda: opened(STORES, "acid", None, DAY),
         "Container W2 of Acid is open. Seal it first: prepstore waste seal W2"),
        (lambda: opened(STORES, "oil", "w1", DAY), "w1 is the label of another container."),
        (lambda: opened(STORES, "oil", "None", DAY), "None is the label of another container."),
        (lambda: added(SHELF, "acid", g(5), None, DAY),
         "'5 g' is not a volume, which Acid is filled by. Give it in mL; of an item that is named"),
        (lambda: added(SHELF, "acid", ml("0.0000000001"), None, DAY), "too small"),
        (lambda: added(SHELF, "acid", ml(0), "acetone", DAY), "too small"),
        (lambda: added(SHELF, "acid", ml("999999999 mL + 1"), None, DAY),
         "more than any container holds"),
        (lambda: added(SHELF, "acid", ml(5), "aceton", DAY), "Did you mean acetone?"),
        (lambda: sealed(container_called(STORES, "W1")), "Container W1 is sealed already."),
        (lambda: level_read(container_called(STORES, "W2"), g(5)), "is not a volume"),
        (lambda: to_be_collected(STORES, ["oil"]), "There is nothing to collect"),
        (lambda: to_be_collected(STORES, ["W7"]), "is not a known waste container or stream"),
        (lambda: empty_counted(STORES, "W2", 1), "is not a known waste stream"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_in_a_sentence(act: Callable[[], object], says: str) -> None:
    assert says in refused(act)


def test_an_empty_one_is_opened_under_a_label_that_is_free_or_given() -> None:
    assert told(opened(STORES, "oil", None, DAY)) == [("W27-001", "opened", 0, 0)]
    assert told(opened(STORES, "OIL", "can 7", DAY)) == [("can 7", "opened", 0, 0)]


def test_what_is_poured_in_is_known_where_it_is_named() -> None:
    unknown = added(SHELF, "acid", ml(800), None, DAY)
    assert told(unknown) == [
        ("W2", "filled", 700, 0),
        ("W2", "sealed", 0, 0),
        ("W27-001", "opened", 0, -1),
        ("W27-001", "filled", 100, 0),
    ]
    (named,) = added(SHELF, "acid", g(80), "acetone", DAY).containers
    assert (named.item, named.billionths, named.item_billionths, named.written) == (
        "acetone",
        100 * ML,
        100 * ML,
        "80 g",
    )


def _history(*changes: tuple[str, str, int]) -> list[RecordedContainer]:
    history = recorded(*(change(what, "W2", more, stream="Acid") for _, what, more in changes))
    days = (day(on) for on, *_ in changes)
    return [replace(one, on_day=on) for one, on in zip(history, days, strict=True)]


def _measured(level: int, *changes: tuple[str, str, int], on: date = DAY) -> tuple[int, int]:
    found = measured(container_called(STORES, "W2"), number(level), _history(*changes), on)
    (one,) = found.booking.containers
    assert (one.container, str(one.what)) == ("W2", "measured")
    return one.billionths // ML, found.since // ML


def test_a_measurement_is_the_difference_to_what_was_there_on_its_day() -> None:
    began = ("02-01", "opened", 0)
    assert _measured(150, began, ("02-02", "filled", 200)) == (-50, 0)
    assert _measured(200, began) == (0, 0)
    assert _measured(150, began, ("02-03", "filled", 80), ("02-04", "filled", 120)) == (70, 120)
    assert _measured(150, ("02-09", "opening amount", 200)) == (-50, 0)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ([("02-04", "opened", 0)], "Container W2 was opened on 2027-02-04, after 2027-02-03."),
        ([("02-01", "opened", 0), ("02-04", "measured", 5)], "was measured on 2027-02-04, after"),
        ([("02-01", "opened", 0), ("02-04", "taken back", -160)],
         "Since 2027-02-03 160 mL were taken out of container W2, more than was read."),
    ],
)  # fmt: skip
def test_what_happened_since_may_make_a_measurement_useless(
    changes: list[tuple[str, str, int]], says: str
) -> None:
    assert says in refused(lambda: _measured(150, *changes))


def test_a_share_is_of_the_container_and_not_of_what_it_is_filled_to() -> None:
    assert level_read(container_called(STORES, "W2"), Decimal("0.6")) == 600
    tank = replace(container_called(STORES, "W2"), stream=STORES.goods.streams["solid"])
    assert "have no size" in refused(lambda: level_read(tank, Decimal("0.6")))
    assert level_read(container_called(STORES, "W2"), ml(250)) == 250


def test_collected_are_the_sealed_ones_and_an_open_one_that_is_named() -> None:
    assert [one.kept.label for one in to_be_collected(STORES, [])] == ["W1"]
    assert [one.kept.label for one in to_be_collected(STORES, ["acid"])] == ["W1"]
    both = to_be_collected(STORES, ["W2", "acid", "w1"])
    assert [one.kept.label for one in both] == ["W2", "W1"]
    changes = collected(both).containers
    assert [(one.container, one.was, one.now) for one in changes] == [
        ("W2", "open", "sealed"),
        ("W2", "sealed", "collected"),
        ("W1", "sealed", "collected"),
    ]


def test_a_count_of_empty_ones_is_the_difference() -> None:
    assert told(empty_counted(STORES, "acid", 4)) == [("", "counted", 0, 3)]
    assert told(empty_counted(STORES, "acid", 0)) == [("", "counted", 0, -1)]
    assert told(empty_counted(STORES, "oil", 2)) == [("", "counted", 0, 2)]
