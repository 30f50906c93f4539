"""Waste streams saying what their containers hold, and what a set says otherwise."""

import pytest

from prepstore.containers import (
    NO_CONTAINERS,
    ContainersHeld,
    ContainerState,
    KeptContainer,
)
from prepstore.tables.held_containers import (
    ContainersFound,
    containers_found,
    streams_told,
    with_containers_held,
)
from prepstore.tables.understand import understand
from tests.builders import day, number
from tests.tables.written_rows import written

HEADING = "stream,measure,container,empty_containers,part_full"
OPEN = KeptContainer(label="W27-001", stream="acid", state=ContainerState.OPEN, filled=number(3200))
HELD = ContainersHeld((OPEN,), {"acid": 2}, frozenset({"w27-001"}))


def _said(cells: str, held: ContainersHeld) -> tuple[str | None, str | None]:
    rows = with_containers_held(written(waste_streams=f"{HEADING}\n{cells}"), held)
    (row,) = rows["waste_streams"]
    return row.text.get("empty_containers"), row.text.get("part_full")


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ("acid,volume,5 L,2,3.2 L", ("2", "3.2 L")),
        ("Acid,volume,5 L,02,3 L + 200 mL", ("02", "3 L + 200 mL")),
        ("acid,volume,5 L,3,3.1 L", ("2", "3200 mL")),
        ("acid,volume,5 L,,", ("2", "3200 mL")),
        ("acid,mass,5 kg,2,about 3 kg", ("2", "3200 g")),
        ("base,volume,5 L,2,3.2 L", (None, None)),
    ],
)
def test_a_stream_says_what_is_held_in_the_words_that_still_come_to_it(
    cells: str, said: tuple[str | None, str | None]
) -> None:
    assert _said(cells, HELD) == said


def test_other_tables_stay_and_none_is_added() -> None:
    rows = with_containers_held(written(items="item,kind,unit\nsalt,reagent,g"), HELD)
    assert list(rows) == ["items"]


def _found(new: str, old: str | None, held: ContainersHeld) -> ContainersFound:
    rows = written(waste_streams=f"{HEADING}\n{new}")
    stored = written(waste_streams=f"{HEADING}\n{old}") if old is not None else {}
    known, _ = understand(rows)
    return containers_found(known["waste_streams"], stored, held, day("02-01"))


def _changes(found: ContainersFound) -> list[tuple[object, ...]]:
    return [
        (str(one.what), one.container, int(one.number), one.empty, one.was, one.now)
        for one in found.changes
    ]


def test_a_stream_that_is_new_begins_with_what_its_row_says() -> None:
    found = _found("acid,volume,5 L,2,3.2 L\nbase,volume,5 L,0,0 mL", None, NO_CONTAINERS)
    assert _changes(found) == [
        ("opening amount", "W27-001", 3200, 0, "", "open"),
        ("opening amount", "", 0, 2, None, None),
        ("opening amount", "W27-002", 0, 0, "", "open"),
        ("opening amount", "", 0, 0, None, None),
    ]
    assert (found.problems, found.differing) == ([], [])


@pytest.mark.parametrize("cells", ["2,3.2 L", "2,3200 mL", ",", "2,", ",3.2 L"])
def test_what_the_store_has_so_or_a_blank_cell_changes_nothing(cells: str) -> None:
    found = _found(f"acid,volume,5 L,{cells}", "acid,volume,5 L,2,3.2 L", HELD)
    assert found == ContainersFound()


def test_what_differs_is_a_count_and_a_problem_that_gives_both() -> None:
    found = _found("acid,volume,5 L,5,3 L", "acid,volume,5 L,2,3.2 L", HELD)
    assert _changes(found) == [
        ("measured", "W27-001", -200, 0, None, None),
        ("counted", "", 0, 3, None, None),
    ]
    told = [(one.place.column, one.code) for one in found.problems]
    assert told == [
        ("part_full", "container-differs"),
        ("empty_containers", "container-differs"),
    ]
    assert "'3 L' is not what the store has of this stream, 3.2 L." in found.problems[0].sentence
    assert list(streams_told(found.differing)) == [
        "waste stream acid has 3 L in the open container and 5 empty ones now"
    ]


def test_an_amount_where_nothing_is_open_opens_a_container() -> None:
    found = _found("acid,volume,5 L,,1 L", "acid,volume,5 L,,", NO_CONTAINERS)
    assert _changes(found) == [("measured", "W27-001", 1000, 0, "", "open")]
    assert "no open container." in found.problems[0].sentence


def test_another_measure_is_refused_while_containers_are_there() -> None:
    found = _found("acid,mass,5 kg,,", "acid,volume,5 L,2,3.2 L", HELD)
    assert [(one.place.column, one.code) for one in found.problems] == [
        ("measure", "container-measure")
    ]
    assert _found("acid,mass,5 kg,,", "acid,volume,5 L,,", NO_CONTAINERS).problems == []
