"""The list of waste containers."""

from dataclasses import replace
from typing import Any

from prepstore.amounts import Kind
from prepstore.containers import Called, ContainerState, Content, KeptContainer
from prepstore.facts import WasteStream
from prepstore.filling import WasteContainer
from prepstore.planning.collections import Call, CallFor, Expected
from prepstore.planning.endings import Ended
from prepstore.planning.waste import StreamPlan, WastePlan
from prepstore.report.waste_container_list import (
    CONTAINER_COLUMNS,
    Listed,
    NotBooked,
    container_cells,
    container_list_lines,
    container_rows,
    contents_in_words,
    listed_of,
)
from prepstore.shelf.container_contents import Contents
from tests.builders import day, fact_of, number

STREAM = fact_of(WasteStream, stream="acid", measure="volume", container="5 L")
KEPT = KeptContainer(
    label="W2",
    stream="acid",
    state=ContainerState.OPEN,
    filled=number(1100),
    opened_on=day("02-01"),
)
INSIDE = Contents(
    (
        Content("acetone", Kind.VOLUME, number(600), number(600)),
        Content("salt", Kind.MASS, number("2.5"), number(0)),
    ),
    number(500),
)


def _listed(**others: Any) -> Listed:  # noqa: ANN401
    given = Listed(STREAM, KEPT, INSIDE, number(4500), 2)
    return replace(given, **others)


def _plan(container: WasteContainer, *full_on: str) -> StreamPlan:
    return StreamPlan(
        name="Acid",
        stream=STREAM,
        kind=Kind.VOLUME,
        total=Ended(),
        by_day={},
        full_on=tuple(map(day, full_on)),
        container=container,
    )


def test_the_open_one_has_the_day_on_which_it_is_full_and_its_stream_that_of_the_call() -> None:
    held = WasteContainer(number(1100), number(4500), is_open=True, empty=2)
    sealed = replace(KEPT, label="W1", state=ContainerState.SEALED)
    calls = [
        Call(stream, CallFor.CONTAINERS, day("02-20"), day(by) if by else None)
        for stream, by in (("base", "02-01"), ("Acid", None), ("Acid", "02-10"), ("Acid", "02-11"))
    ]
    waste = WastePlan((_plan(held, "02-08", "02-20"),), {})
    rows = listed_of({"acid": STREAM}, [sealed, KEPT], {}, waste, calls)
    assert [(one.full_on, one.call_by, one.empty) for one in rows] == [
        (None, day("02-10"), 2),
        (day("02-08"), day("02-10"), 2),
    ]
    lines = list(container_list_lines(rows, NotBooked(), ["Call it."]))
    assert "2027-02-08" in lines[2]
    assert lines[-1] == "Call it."
    assert [row["call_by"] for row in container_rows(rows)] == ["2027-02-10"] * 2


def test_a_call_stands_with_its_streams_and_in_each_row() -> None:
    called = Called(day("02-03"), day("02-08"))
    held = WasteContainer(number(1100), number(4500), is_open=True, empty=2, called=called)
    done = Call("Acid", CallFor.CONTAINERS, day("02-20"), day("02-10"), Expected(day("02-03"),
                day("02-08"), is_said=True))  # fmt: skip
    waste = WastePlan((_plan(held),), {})
    (row,) = listed_of({"acid": STREAM}, [KEPT], {}, waste, [done])
    assert row.call_by is None
    lines = list(container_list_lines([row, _listed()], NotBooked(), ["Call it."]))
    assert lines[-2:] == [
        "Collection called on 2027-02-03, expected on 2027-02-08: acid", "Call it."
    ]  # fmt: skip
    (told,) = container_rows([row])
    assert (told["called_on"], told["expected_on"]) == ("2027-02-03", "2027-02-08")
    unsaid = replace(row, called=replace(called, expected=None))
    assert "no day was said: acid" in list(container_list_lines([unsaid], NotBooked()))[-1]
    (told,) = container_rows([unsaid])
    assert (told["called_on"], told["expected_on"]) == ("2027-02-03", None)


def test_a_container_stands_with_how_full_it_is_and_what_is_in_it() -> None:
    lines = list(container_list_lines([_listed()], NotBooked()))
    assert lines == [
        "stream  container  state  holds         of     opened      contents",
        "acid    W2         open   1.1 L (24 %)  4.5 L  2027-02-01  "
        "600 mL acetone; 500 mL not known; 2.5 g salt",
        "Empty containers: acid 2",
    ]


def test_a_stream_without_an_open_one_says_so_and_a_full_one_its_day() -> None:
    sealed = replace(KEPT, state=ContainerState.SEALED, sealed_on=day("02-05"))
    bare = WasteContainer(number(0), None, is_open=False, empty=None)
    waste = WastePlan((_plan(bare),), {})
    rows = listed_of({"acid": STREAM}, [sealed], {"W2": INSIDE}, waste)
    lines = list(container_list_lines(rows, NotBooked()))
    assert "sealed" in lines[1]
    assert "2027-02-01  2027-02-05" in lines[1]
    assert "(24 %)" not in lines[1]
    assert lines[2].split() == ["acid", "none", "open"]
    assert lines[3] == "Empty containers: acid not known"
    collected = replace(sealed, collected_on=day("02-09"))
    assert "-02-09" in list(container_list_lines([_listed(kept=collected)], NotBooked()))[1]


def test_sessions_that_no_container_has_are_named_with_what_books_them() -> None:
    names = tuple(f"S{number}" for number in range(14))
    last = list(container_list_lines([_listed()], NotBooked(names, day("02-05"))))[-1]
    assert last.startswith("Not in these figures, since they are over and not booked out: S0, S1,")
    assert last.endswith("S11, 2 more. To book them: prepstore stock use --until 2027-02-05")


def test_many_things_are_cut_short_on_the_screen_alone() -> None:
    parts = tuple(
        Content(f"thing {place}", Kind.VOLUME, number(1), number(1)) for place in range(7)
    )
    inside = Contents(parts, number(0))
    line = list(container_list_lines([_listed(contents=inside)], NotBooked()))[1]
    assert "1 mL thing 4; 2 more" in line
    assert len(contents_in_words(inside, Kind.VOLUME)) == 7


def test_rows_have_numbers_and_an_object_for_each_thing() -> None:
    (row,) = container_rows([_listed()])
    assert set(row) == set(CONTAINER_COLUMNS)
    assert row["contents"] == [
        {"item": "acetone", "amount": 600, "unit": "mL", "measured": 600},
        {"item": "salt", "amount": 2.5, "unit": "g", "measured": 0},
        {"item": None, "amount": 500, "unit": "mL", "measured": 500},
    ]
    assert (row["amount"], row["percent"], row["opened_on"], row["sealed_on"]) == (
        1100, 24, "2027-02-01", None,
    )  # fmt: skip
    (cells,) = container_cells([_listed()])
    assert cells["contents"] == "600 mL acetone; 500 mL not known; 2.5 g salt"
    (none,) = container_rows([_listed(kept=None, contents=Contents((), number(0)))])
    assert (none["container"], none["amount"], none["empty"], none["contents"]) == (
        None, None, 2, [],
    )  # fmt: skip


def test_without_streams_there_is_nothing_to_list() -> None:
    assert list(container_list_lines([], NotBooked())) == [
        "There is no waste stream in the tables."
    ]
