"""Things poured into containers, sealed when they are full."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat, Content, RecordedContainer
from prepstore.filling import WasteContainer
from prepstore.problems import RefusedError
from prepstore.shelf.pouring import Poured, Pouring, poured_of
from prepstore.stores import Stores
from tests.builders import day, facts_from, material, number
from tests.container_changes import ML, change, recorded

DAY = day("02-03")


def stores(filled: object = 0, *, empty: int | None = 3, is_open: bool = True) -> Stores:
    """Return stores with a stream of 100 mL containers, one of which may be open, and a tank."""
    made = facts_from(
        {
            "practicals": "practical,title\nP,A",
            "waste_streams": "stream,measure,container,fill_limit\n"
            "Solvent,volume,125 mL,80 %\ntank,volume,,\nsolid,mass,,",
        }
    ).stores
    label = "W27-001" if is_open else ""
    one = WasteContainer(number(filled), number(100), is_open=is_open, empty=empty, label=label)
    containers = {**made.containers, "solvent": one}
    return replace(made, containers=containers, container_labels=frozenset({"w27-001"}))


def _told(changes: list[ContainerChange]) -> list[tuple[object, ...]]:
    return [
        (one.container, str(one.what), one.billionths / ML, one.item_billionths / ML, one.empty)
        for one in changes
    ]


ACETONE, ETHER = (material(name, kind="solvent", unit="mL") for name in ("acetone", "ether"))


def _some(ml: int) -> Poured:
    return Poured(ml * ML, ACETONE, ml * ML)


def test_what_fits_goes_into_the_open_container() -> None:
    pouring = Pouring(stores(30), DAY)
    pouring.pour("solvent", [_some(20)])
    assert _told(pouring.changes) == [("W27-001", "filled", 20, 20, 0)]
    assert pouring.changes[0].item == "acetone"


def test_a_full_one_is_sealed_and_the_rest_goes_into_the_next() -> None:
    pouring = Pouring(stores(30), DAY)
    pouring.pour("solvent", [_some(200), Poured(40 * ML)])
    assert _told(pouring.changes) == [
        ("W27-001", "filled", 58.333333333, 58.333333333, 0),
        ("W27-001", "filled", 11.666666667, 0, 0),
        ("W27-001", "sealed", 0, 0, 0),
        ("W27-002", "opened", 0, 0, -1),
        ("W27-002", "filled", 83.333333333, 83.333333333, 0),
        ("W27-002", "filled", 16.666666667, 0, 0),
        ("W27-002", "sealed", 0, 0, 0),
        ("W27-003", "opened", 0, 0, -1),
        ("W27-003", "filled", 58.333333334, 58.333333334, 0),
        ("W27-003", "filled", 11.666666666, 0, 0),
    ]


@pytest.mark.parametrize("empty", [0, None])
def test_without_an_empty_one_the_next_is_opened_all_the_same(empty: int | None) -> None:
    pouring = Pouring(stores(is_open=False, empty=empty), DAY)
    pouring.pour("solvent", [_some(10)])
    assert _told(pouring.changes)[0] == ("W27-002", "opened", 0, 0, 0)


def test_one_filled_to_the_limit_is_sealed_and_none_is_open() -> None:
    pouring = Pouring(stores(30), DAY)
    pouring.pour("solvent", [_some(70)])
    assert [what for _, what, *_ in _told(pouring.changes)] == ["filled", "sealed"]


def test_one_that_is_over_its_limit_already_gets_no_more() -> None:
    pouring = Pouring(stores(120), DAY)
    pouring.pour("solvent", [_some(5)])
    assert _told(pouring.changes) == [
        ("W27-001", "sealed", 0, 0, 0),
        ("W27-002", "opened", 0, 0, -1),
        ("W27-002", "filled", 5, 5, 0),
    ]


def test_a_stream_without_a_size_is_never_full_and_what_adds_nothing_is_in_there() -> None:
    pouring = Pouring(stores(), DAY)
    glove = material("glove", kind="consumable", unit="each")
    pouring.pour("tank", [_some(100_000), poured_of(glove, number(3), Kind.VOLUME, "G1")])
    assert _told(pouring.changes) == [
        ("W27-002", "opened", 0, 0, 0),
        ("W27-002", "filled", 100_000, 100_000, 0),
        ("W27-002", "filled", 0, 3, 0),
    ]
    assert (pouring.changes[2].lot, pouring.changes[2].item_unit) == ("G1", Kind.COUNT)


def test_a_container_too_small_to_be_filled_is_taken_as_one_without_a_size() -> None:
    start = stores(30)
    tiny = replace(start.containers["solvent"], size=number("1e-12"))
    pouring = Pouring(replace(start, containers={**start.containers, "solvent": tiny}), DAY)
    pouring.pour("solvent", [_some(20)])
    assert _told(pouring.changes) == [("W27-001", "filled", 20, 20, 0)]


def test_nothing_opens_nothing() -> None:
    pouring = Pouring(stores(is_open=False), DAY)
    pouring.pour("solvent", [Poured(0, ACETONE, 0)])
    assert pouring.changes == []


def test_mass_becomes_volume_by_density_as_the_plan_counts() -> None:
    ether = material("ether", kind="solvent", unit="mL", density="0.7")
    assert poured_of(ether, number(10), Kind.MASS) == Poured(7 * ML, ether, 10 * ML)


@pytest.mark.parametrize(("stream", "ml"), [("solvent", 100_200), ("tank", 10**9)])
def test_more_than_can_be_meant_is_refused(stream: str, ml: int) -> None:
    with pytest.raises(RefusedError, match="Check the amount"):
        Pouring(stores(), DAY).pour(stream, [_some(ml)])


parts = st.lists(
    st.builds(
        Poured,
        st.integers(0, 300 * ML),
        st.sampled_from([ACETONE, ETHER]),
        st.integers(0, 300 * ML),
    ),
    max_size=5,
)


@given(parts, st.integers(0, 99))
def test_all_that_is_poured_is_in_containers_to_the_last_billionth(
    poured: list[Poured], filled: int
) -> None:
    start = stores(filled)
    pouring = Pouring(start, DAY)
    pouring.pour("solvent", poured)
    assert sum(one.billionths for one in pouring.changes) == sum(one.level for one in poured)
    amounts = sum(one.item_billionths for one in pouring.changes)
    assert amounts == sum(one.amount for one in poured)
    assert all(one.billionths >= 0 and one.item_billionths >= 0 for one in pouring.changes)


@given(st.lists(parts, max_size=3), st.integers(0, 150))
def test_containers_stand_as_the_plan_counts_them(poured: list[list[Poured]], filled: int) -> None:
    start = stores(filled)
    pouring = Pouring(start, DAY)
    for together in poured:
        pouring.pour("solvent", together)
    pours = [tuple(map(_content, filter(_is_anything, together))) for together in poured]
    expected = start.containers["solvent"].after(pours)
    open_one, known = {"W27-001": filled * ML}, Counter[str | None]()
    sealed = []
    for one in pouring.changes:
        open_one[one.container] = open_one.get(one.container, 0) + one.billionths
        known[one.item] += one.billionths
        if one.what is ContainerWhat.SEALED:
            sealed.append(number(open_one.pop(one.container)) / ML)
            known.clear()
    assert sealed == [one.filled for one in expected.sealed]
    assert sum(open_one.values()) == expected.filled * ML
    assert expected.is_open == bool(open_one)
    assert 3 + sum(one.empty for one in pouring.changes) == expected.empty
    # Of a mixture that is poured into several, each share is rounded to a billionth each time.
    most = sum(map(len, poured)) * (1 + len(sealed))
    assert all(abs(part.level * ML - known[part.item]) <= most for part in expected.known)


def _content(part: Poured) -> Content:
    assert part.item is not None
    return Content(part.item.name, Kind.VOLUME, number(part.amount) / ML, number(part.level) / ML)


def _is_anything(part: Poured) -> bool:
    return part.is_anything


# Taken back.


def _before(*changes: tuple[str, int, int]) -> list[RecordedContainer]:
    return recorded(
        *(
            change(
                "filled",
                label,
                level,
                stream="Solvent",
                item="Acetone",
                item_billionths=amount * ML,
                item_unit=Kind.VOLUME,
            )
            for label, level, amount in changes
        )
    )


def _two(first: int = 40, second: int = 30) -> Pouring:
    pouring = Pouring(stores(first), DAY)
    pouring.pour("solvent", [_some(100 - first + second)])
    pouring.changes.clear()
    return pouring


def test_what_comes_back_comes_out_of_the_last_container_first() -> None:
    pouring = _two()
    before = _before(("W27-001", 60, 60), ("W27-002", 30, 30))
    pouring.take_back("solvent", _some(50), before)
    assert _told(pouring.changes) == [
        ("W27-002", "taken back", -30, -30, 0),
        ("W27-001", "taken back", -20, -20, 0),
    ]


def test_no_more_comes_back_than_was_poured_and_is_still_there() -> None:
    pouring = _two()
    before = _before(("W26-099", 500, 500), ("W27-001", 5, 5), ("W27-002", 20, 20))
    pouring.take_back("solvent", _some(100), [*before, *_before(("W27-002", -10, -10))])
    assert _told(pouring.changes) == [
        ("W27-002", "taken back", -10, -10, 0),
        ("W27-001", "taken back", -5, -5, 0),
    ]


def test_a_container_that_holds_less_by_now_gives_that() -> None:
    pouring = Pouring(stores(8), DAY)
    pouring.take_back("solvent", _some(30), _before(("W27-001", 50, 50)))
    assert _told(pouring.changes) == [("W27-001", "taken back", -8, -8, 0)]


def test_what_adds_nothing_comes_back_by_its_own_amount() -> None:
    pouring = Pouring(stores(8), DAY)
    pouring.take_back("solvent", Poured(0, ACETONE, 30 * ML), _before(("W27-001", 0, 20)))
    assert _told(pouring.changes) == [("W27-001", "taken back", 0, -20, 0)]


def test_another_item_of_the_stream_is_left_alone() -> None:
    pouring = Pouring(stores(50), DAY)
    pouring.take_back(
        "solvent", Poured(5 * ML, material("ether"), 5 * ML), _before(("W27-001", 9, 9))
    )
    pouring.take_back("tank", _some(5), _before(("W27-001", 9, 9)))
    assert pouring.changes == []
