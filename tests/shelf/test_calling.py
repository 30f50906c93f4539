"""A waste collection that is called."""

from dataclasses import replace

import pytest

from prepstore.containers import Called, ContainerWhat
from prepstore.problems import RefusedError
from prepstore.shelf.calling import collection_called
from prepstore.stores import Stores
from tests.builders import day, facts_from

DAY, LATER = day("02-03"), day("02-08")


def _stores(called: Called | None = None) -> Stores:
    made = facts_from({"waste_streams": "stream,measure\nAcid,volume\noil,volume\nsolid,mass"})
    acid = replace(made.stores.containers["acid"], called=called)
    return replace(made.stores, containers={**made.stores.containers, "acid": acid})


def test_each_stream_is_called_once_with_its_day() -> None:
    booking = collection_called(_stores(), ["ACID", "solid", "acid"], LATER, DAY)
    assert [(one.stream, one.expected, one.container) for one in booking.containers] == [
        ("Acid", LATER, ""), ("solid", LATER, "")
    ]  # fmt: skip
    assert {one.what for one in booking.containers} == {ContainerWhat.CALLED}
    assert {(one.billionths, one.empty, one.now) for one in booking.containers} == {(0, 0, None)}


def test_it_may_come_on_the_day_itself_or_nobody_said_when() -> None:
    assert collection_called(_stores(), ["oil"], DAY, DAY).containers[0].expected == DAY
    assert collection_called(_stores(), ["oil"], None, DAY).containers[0].expected is None


def test_what_is_called_already_is_called_again_with_another_word_alone() -> None:
    stores = _stores(Called(DAY, LATER))
    booking = collection_called(stores, ["acid", "oil"], LATER, DAY)
    assert [one.stream for one in booking.containers] == ["oil"]
    put_off = collection_called(stores, ["acid"], day("02-10"), DAY)
    assert put_off.containers[0].expected == day("02-10")
    with pytest.raises(RefusedError, match="recorded already"):
        collection_called(stores, ["acid"], LATER, DAY)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RefusedError, match="is not expected on 2027-02-02, before that"):
        collection_called(_stores(), ["acid"], day("02-02"), DAY)
    with pytest.raises(RefusedError, match="Did you mean solid"):
        collection_called(_stores(), ["solids"], None, DAY)
