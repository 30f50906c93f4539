"""Labels reserved for batches: those that are, and what a booking changes of them."""

from collections.abc import Container, Iterable, Iterator, Sequence
from typing import Any

from prepstore.cell_types import fold
from prepstore.lot_labels import LabelChange, LabelWhat, RecordedLabel
from prepstore.report.text_table import as_table

RESERVED_COLUMNS = ("label", "solution", "make_on", "printed_on", "by", "entry")


def label_change_lines(changes: Iterable[LabelChange]) -> Iterator[str]:
    """Yield a line a label that is reserved for a batch, or free again."""
    for one in changes:
        if one.what is LabelWhat.RESERVED:
            yield f"{one.label} is reserved for {one.solution}, made on {one.make_on}"
        else:
            yield f"{one.label} is free again, no longer reserved for {one.solution}"


def still_reserved(
    history: Iterable[RecordedLabel], lots: Container[str]
) -> tuple[RecordedLabel, ...]:
    """Return the labels that are reserved and that no lot (folded labels) has yet."""
    last = {fold(one.change.label): one for one in history}
    return tuple(
        one
        for label, one in last.items()
        if one.change.what is LabelWhat.RESERVED and label not in lots
    )


def reserved_rows(found: Iterable[RecordedLabel]) -> list[dict[str, Any]]:
    """Return a row a label that is reserved."""
    return [
        {
            "label": one.change.label,
            "solution": one.change.solution,
            "make_on": one.change.make_on.isoformat(),
            "printed_on": one.on_day.isoformat(),
            "by": one.by,
            "entry": one.entry,
        }
        for one in found
    ]


def reserved_lines(found: Sequence[RecordedLabel]) -> Iterator[str]:
    """Yield a heading and a line a label that is reserved, and how many there are."""
    rows = reserved_rows(found)
    headings = ("label", "solution", "made on", "printed on", "by", "entry")
    yield from as_table(headings, [tuple(map(str, row.values())) for row in rows])
    yield f"{len(rows)} label{'s' if len(rows) != 1 else ''} printed and not yet used"
