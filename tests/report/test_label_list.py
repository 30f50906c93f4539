from dataclasses import replace
from datetime import date

from prepstore.lot_labels import LabelChange, LabelWhat, RecordedLabel
from prepstore.report.label_list import (
    RESERVED_COLUMNS,
    label_change_lines,
    reserved_lines,
    reserved_rows,
    still_reserved,
)

CHANGE = LabelChange(
    what=LabelWhat.RESERVED, label="2027-02-05-1", solution="brine", make_on=date(2027, 2, 5)
)


def _recorded(entry: int, change: LabelChange) -> RecordedLabel:
    return RecordedLabel(entry=entry, change=change, on_day=date(2027, 2, 3), at_utc="", by="Ana")


HISTORY = [
    _recorded(4, CHANGE),
    _recorded(4, replace(CHANGE, label="2027-02-05-2")),
    _recorded(5, replace(CHANGE, label="2027-02-05-3")),
    _recorded(6, replace(CHANGE, label="2027-02-05-3", what=LabelWhat.FREED)),
]


def test_what_is_reserved_and_what_is_free_again_is_a_line_each() -> None:
    assert list(label_change_lines([CHANGE, HISTORY[-1].change])) == [
        "2027-02-05-1 is reserved for brine, made on 2027-02-05",
        "2027-02-05-3 is free again, no longer reserved for brine",
    ]


def test_a_label_is_reserved_until_a_lot_has_it_or_it_is_freed() -> None:
    found = still_reserved(HISTORY, {"2027-02-05-2"})
    assert found == (HISTORY[0],)
    (row,) = reserved_rows(found)
    assert tuple(row) == RESERVED_COLUMNS
    assert tuple(row.values()) == ("2027-02-05-1", "brine", "2027-02-05", "2027-02-03", "Ana", 4)


def test_the_list_ends_with_how_many_there_are() -> None:
    lines = list(reserved_lines(still_reserved(HISTORY, ())))
    assert [line.split()[0] for line in lines[:3]] == ["label", "2027-02-05-1", "2027-02-05-2"]
    assert lines[-1] == "2 labels printed and not yet used"
    assert list(reserved_lines(HISTORY[:1]))[-1] == "1 label printed and not yet used"
