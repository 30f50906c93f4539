from dataclasses import replace
from datetime import date

import pytest

from prepstore.cell_types import fold
from prepstore.lot_labels import LabelChange, LabelWhat, RecordedLabel, ReservedLabels
from prepstore.planning.calendar import Period
from prepstore.planning.plan import Plan
from prepstore.problems import RefusedError
from prepstore.shelf.reserving import (
    label_changes_undone,
    labelled_batches,
    labels_to_reserve,
    refuse_taken,
)
from tests.builders import day
from tests.shelf.weeks import week

TODAY = day("2027-01-29")


def _plan(*reserved: LabelChange) -> Plan:
    shelf = week()
    labels = ReservedLabels({fold(one.label): one for one in reserved})
    stores = replace(shelf.stores, reserved=labels)
    return replace(shelf, stores=stores).plan(Period.of_week("2027-W05"), TODAY)


def _reserved(label: str, solution: str = "brine", make_on: date = TODAY) -> LabelChange:
    return LabelChange(what=LabelWhat.RESERVED, label=label, solution=solution, make_on=make_on)


def test_each_batch_has_a_label_of_its_day_that_printing_reserves() -> None:
    plan = _plan()
    labels = [label for _, label in labelled_batches(plan)]
    assert labels == ["2027-01-29-1"]
    assert labels_to_reserve(plan) == (_reserved("2027-01-29-1"),)


def test_what_is_reserved_for_another_batch_is_passed_over() -> None:
    plan = _plan(
        _reserved("2027-01-29-1", "lime water"), _reserved("2027-01-29-2", make_on=day("02-01"))
    )
    assert [label for _, label in labelled_batches(plan)] == ["2027-01-29-3"]
    assert labels_to_reserve(plan) == (_reserved("2027-01-29-3"),)


def test_printed_again_a_batch_has_the_label_it_had_and_nothing_is_reserved() -> None:
    plan = _plan(_reserved("2027-01-29-1"))
    assert [label for _, label in labelled_batches(plan)] == ["2027-01-29-1"]
    assert labels_to_reserve(plan) == ()


def test_a_label_given_out_in_the_meantime_is_refused_by_name() -> None:
    asked = (_reserved("D-1"), _reserved("D-2"))
    refuse_taken(asked, {"d-3"}, ReservedLabels())
    with pytest.raises(RefusedError, match="D-2 was given out in the meantime"):
        refuse_taken(asked, {"d-2"}, ReservedLabels())
    with pytest.raises(RefusedError, match="D-1, D-2 were given out in the meantime"):
        refuse_taken(asked, {"d-2"}, ReservedLabels({"d-1": _reserved("D-1")}))


def _history(*changes: tuple[int, LabelWhat, str]) -> list[RecordedLabel]:
    return [
        RecordedLabel(
            entry=entry,
            change=replace(_reserved(label), what=what),
            on_day=TODAY,
            at_utc="",
            by="Ana",
        )
        for entry, what, label in changes
    ]


def test_an_undo_frees_what_was_reserved_and_an_undo_of_that_reserves_it_again() -> None:
    history = _history((4, LabelWhat.RESERVED, "D-1"), (4, LabelWhat.RESERVED, "D-2"))
    freed = label_changes_undone(4, history)
    assert [(one.what, one.label) for one in freed] == [("freed", "D-2"), ("freed", "D-1")]
    assert label_changes_undone(3, history) == ()
    again = label_changes_undone(
        5, [*history, *_history((5, LabelWhat.FREED, "D-2"), (5, LabelWhat.FREED, "D-1"))]
    )
    assert [(one.what, one.label) for one in again] == [("reserved", "D-1"), ("reserved", "D-2")]


def test_what_a_later_entry_did_to_a_label_stands_in_the_way() -> None:
    history = _history(
        (4, LabelWhat.RESERVED, "D-1"),
        (4, LabelWhat.RESERVED, "D-2"),
        (6, LabelWhat.FREED, "d-1"),
        (7, LabelWhat.RESERVED, "D-9"),
    )
    with pytest.raises(RefusedError, match=r"again by entry 6\. Undo that first: .* undo 6"):
        label_changes_undone(4, history)
    assert label_changes_undone(7, history) != ()


def test_labels_that_an_undo_of_an_undo_brought_back_are_freed_by_undoing_the_first_again() -> None:
    first = _history((2, LabelWhat.RESERVED, "D-1"))
    freed = replace(_history((3, LabelWhat.FREED, "D-1"))[0], reason="undoes entry 2")
    back = replace(_history((4, LabelWhat.RESERVED, "D-1"))[0], reason="undoes entry 3")
    printed = _history((4, LabelWhat.RESERVED, "D-1"))
    assert [one.what for one in label_changes_undone(2, [*first, freed, back])] == ["freed"]
    with pytest.raises(RefusedError, match=r"again by entry 3\. Undo that first"):
        label_changes_undone(2, [*first, freed])
    with pytest.raises(RefusedError, match=r"again by entry 4\. Undo that first"):
        label_changes_undone(2, [*first, freed, *printed])
