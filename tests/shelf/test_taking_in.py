"""Each rule by itself; the sentences of all kinds are in `tests/cli/test_store_take_in.py`."""

from dataclasses import replace
from datetime import date

import pytest

from prepstore.amounts import Kind
from prepstore.containers import ContainerChange, ContainerWhat
from prepstore.copied import CopiedEntry, Past
from prepstore.lot_labels import LabelChange, LabelWhat
from prepstore.movements import Booking, Change, Movement, Signed, What
from prepstore.shelf.taking_in import Here, as_recorded, misfits

DAY = date(2027, 3, 9)
HERE = Here(
    now=Past(lots={"l1": 100}),
    lots={"l1": {"lot": "L1", "place": "bay 1"}},
    sessions={},
    names={},
    reserved={},
    taken_in={},
    in_common=5,
)


def _entry(*movements: Movement, before: Past | None = None, **parts: object) -> CopiedEntry:
    booking = replace(Booking(movements=movements), **parts)  # type: ignore[arg-type]
    signed = Signed(by="kim", on_day=DAY, at_utc="2027")
    return CopiedEntry(9, signed, booking, before or Past(lots={"l1": 100}))


def _moved(what: What, billionths: int) -> Movement:
    return Movement(lot="L1", what=what, billionths=billionths, unit=Kind.MASS)


@pytest.mark.parametrize(
    ("what", "billionths", "then", "fits"),
    [
        (What.USED, -100, 100, True),
        (What.USED, -101, 500, False),
        (What.USED, -60, 500, True),
        (What.RETURNED, 7, 500, True),
        (What.COUNTED, -40, 100, True),
        (What.COUNTED, -40, 101, False),
        (What.COUNTED, 0, 101, False),
        (What.DISCARDED, -40, 101, True),
        (What.DISCARDED, -100, 100, True),
        # The rest was discarded, and here another rest would be left.
        (What.DISCARDED, -60, 60, False),
    ],
)
def test_what_came_or_went_adds_up_and_what_was_found_does_not(
    *, what: What, billionths: int, then: int, fits: bool
) -> None:
    entry = _entry(_moved(what, billionths), before=Past(lots={"l1": then}))
    assert (misfits(entry, HERE) == []) is fits


def test_several_movements_of_a_lot_are_taken_one_after_the_other() -> None:
    assert not misfits(_entry(_moved(What.USED, -60), _moved(What.USED, -40)), HERE)
    assert misfits(_entry(_moved(What.USED, -60), _moved(What.USED, -41)), HERE)


@pytest.mark.parametrize(("was", "fits"), [("bay 1", True), ("", False), ("bay 2", False)])
def test_a_cell_fits_where_it_says_what_it_said(*, was: str, fits: bool) -> None:
    change = Change(column="place", was=was, now="bay 9")
    moved = replace(_moved(What.MOVED, 0), change=change)
    back = replace(moved, change=Change(column="place", was="bay 9", now="bay 1"))
    assert (misfits(_entry(moved, back), HERE) == []) is fits


def test_what_rests_on_what_is_not_here_is_told_once() -> None:
    entry = _entry(_moved(What.USED, -1), before=Past(lots={"l1": 100}, lots_began={"l1": 7}))
    assert misfits(entry, HERE) == ["It rests on entry 7 of the copy, which is not taken in."]
    # It is, but another lot has the label by now.
    assert misfits(entry, replace(HERE, taken_in={7: 12})) == ["Lot L1 is not there any more."]
    here = replace(HERE, taken_in={7: 12}, now=Past(lots={"l1": 100}, lots_began={"l1": 12}))
    assert not misfits(entry, here)


def test_what_began_before_it_was_copied_is_here_under_its_number() -> None:
    entry = _entry(_moved(What.USED, -1), before=Past(lots={"l1": 100}, lots_began={"l1": 5}))
    assert not misfits(entry, replace(HERE, now=Past(lots={"l1": 100}, lots_began={"l1": 5})))
    assert misfits(entry, replace(HERE, now=Past(lots={"l1": 100}, lots_began={"l1": 6})))


def test_a_new_label_must_be_free_or_reserved_for_the_same() -> None:
    new = replace(_moved(What.MADE, 5), lot="N1", item="buffer")
    assert not misfits(_entry(new), HERE)
    for solution, fits in (("Buffer", True), ("acid", False)):
        kept = LabelChange(what=LabelWhat.RESERVED, label="N1", solution=solution, make_on=DAY)
        assert (misfits(_entry(new), replace(HERE, reserved={"n1": kept})) == []) is fits


def test_labels_are_reserved_and_freed_once() -> None:
    kept = LabelChange(what=LabelWhat.RESERVED, label="N1", solution="acid", make_on=DAY)
    freed = replace(kept, what=LabelWhat.FREED)
    taken = replace(HERE, reserved={"n1": kept})
    assert not misfits(_entry(labels=(kept,)), HERE)
    assert misfits(_entry(labels=(kept,)), taken) == ["The label N1 is taken."]
    assert not misfits(_entry(labels=(freed,)), taken)
    assert misfits(_entry(labels=(freed,)), HERE) == ["The label N1 is not reserved any more."]


@pytest.mark.parametrize(("empty", "level", "fits"), [(1, 5, True), (0, 5, False), (1, 4, False)])
def test_a_container_never_holds_less_than_nothing_nor_an_empty_one_twice(
    *, empty: int, level: int, fits: bool
) -> None:
    change = ContainerChange(
        stream="acid", what=ContainerWhat.TAKEN_BACK, unit=Kind.VOLUME, container="W1",
        billionths=-5, empty=-1,
    )  # fmt: skip
    now = Past(containers={"W1": level}, states={"W1": "open"}, empty={"acid": empty})
    before = Past(containers={"W1": 90}, states={"W1": "open"}, empty={"acid": 3})
    entry = _entry(containers=(change,), before=before)
    assert (misfits(entry, replace(HERE, now=now)) == []) is fits


def test_a_lot_under_another_label_is_gone_by_it() -> None:
    change = Change(column="label", was="L1", now="L2")
    away = replace(_moved(What.CORRECTED, -100), change=change)
    there = replace(away, lot="L2", billionths=100, item="salt")
    assert as_recorded(Booking(movements=(away, there))).gone == {"l1": "relabelled"}
